"""A plan: the start of every task that is still to do, and what is known about how good that is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from .problem import ProblemError
from .reading import FAR

FORMAT = "plan/1"
BEST, WITHIN, FEASIBLE, LATE, NONE = "best", "within", "feasible", "late", "none"
STATUSES = (BEST, WITHIN, FEASIBLE, LATE, NONE)
MEASURES = ("missed", "lateness", "stale", "tight", "sessions", "moved", "age")


@dataclass(frozen=True, slots=True)
class Plan:
    """Starts in minutes after the problem's origin, with status, objective, proved bounds and lateness.

    `status` is best (every objective proved), within (sessions within 5 % of the bound), feasible, late
    (something comes late and it is not proved that it must) or none (no plan known).
    """

    starts: Mapping[str, int]
    status: str = FEASIBLE
    objective: Mapping[str, int] = field(default_factory=dict)
    bound: Mapping[str, int] = field(default_factory=dict)
    late: Mapping[str, int] = field(default_factory=dict)
    seconds: float = 0.0

    def __post_init__(self):
        for name in ("starts", "objective", "bound", "late"):
            object.__setattr__(self, name, MappingProxyType(dict(getattr(self, name))))

    def __bool__(self) -> bool:
        """A plan of status none is no plan."""
        return self.status != NONE


def plan_to_json(plan: Plan | None) -> dict | None:
    """Return the JSON form of `plan`; None stays None."""
    if plan is None:
        return None
    return {
        "format": FORMAT,
        "starts": dict(plan.starts),
        "status": plan.status,
        "objective": dict(plan.objective),
        "bound": dict(plan.bound),
        "late": dict(plan.late),
        "seconds": plan.seconds,
    }


def plan_from_json(obj) -> Plan:
    """Return the Plan that `obj` (parsed JSON) describes; only `starts` is needed.

    Raises
    ------
    ProblemError
        with (path, sentence) for every fault found.
    """
    if not isinstance(obj, dict):
        raise ProblemError([("plan", "must be an object with starts")])
    faults = []
    if obj.get("format", FORMAT) != FORMAT:
        faults.append(("plan.format", f"must be {FORMAT!r}"))
    if "starts" not in obj:
        faults.append(("plan.starts", "is missing"))
    fields = {name: obj.get(name) or {} for name in ("starts", "objective", "bound", "late")}
    for name, amounts in fields.items():
        if not isinstance(amounts, dict):
            faults.append((f"plan.{name}", "must be an object of names and whole numbers"))
            continue
        for key, value in amounts.items():
            if not isinstance(value, int) or isinstance(value, bool) or abs(value) > FAR * FAR:
                faults.append((f"plan.{name}.{key}", "must be a whole number"))
    status, seconds = obj.get("status", FEASIBLE), obj.get("seconds", 0.0)
    if status not in STATUSES:
        faults.append(("plan.status", f"must be one of {', '.join(STATUSES)}"))
    if not isinstance(seconds, int | float) or isinstance(seconds, bool):
        faults.append(("plan.seconds", "must be a number"))
    if faults:
        raise ProblemError(faults)
    return Plan(status=status, seconds=float(seconds), **fields)

"""The plan: asked for, worked out without any transaction, checked, and put where it belongs in one."""

from datetime import UTC, datetime, timedelta

from django.db import transaction
from django.utils import timezone

from bakery.background.services import enqueue

from ..adapters import midnight
from ..models import Job, Plan
from .ahead import speak_for
from .rows import sync_jobs

REPLAN, PROOFS = "replan", "tonight_proofs"
KEPT = 20
WORTH_MINUTES, WORTH_JOBS = 30, 4
"""By how much a second proposal must be better than the first one, which she may be reading."""


def ask_for_plan(*, reason: str = "", force: bool = False, weak: bool = False, settled: bool = False):
    """Queue the working out; asked twice it is done once.

    A reason already waiting is not lost to an empty one, nor to a `weak` one that only follows from it. With
    `settled` she has just agreed to the plan on the wall: as long as it breaks no rule, no other is looked
    for.
    """
    from bakery.background.models import Computation

    waiting = Computation.objects.filter(kind=REPLAN, key="", state__in=Computation.ACTIVE).first()
    if waiting:
        args = waiting.rerun_args or (waiting.args if waiting.state == Computation.State.QUEUED else {})
        if weak or not reason:
            reason = args.get("reason", "") or reason
        force = force or args.get("force", False)
        settled = settled or (weak and args.get("settled", False))
    return enqueue(REPLAN, "", {"reason": reason[:200], "force": force, "settled": settled})


def latest_reason() -> str:
    """Why the working out that waits or runs was asked for."""
    from bakery.background.models import Computation

    row = Computation.objects.filter(kind=REPLAN, state__in=Computation.ACTIVE).first()
    return ((row.rerun_args or row.args).get("reason") or "") if row else ""


def make_plan(*, now=None, reason: str = "", force: bool = False) -> str:
    """Work it out and save it here and now; says what became of it. Call it outside any transaction."""
    from ..working_out import work_out

    for _ in range(3):
        found = work_out(now=now or timezone.now(), reason=reason, force=force)
        with transaction.atomic():
            kind = save_outcome(found)
        if kind != "changed":
            return kind
    return "changed"


def save_outcome(found) -> str:
    """Keep what was worked out, unless the data has changed meanwhile. Call it inside a transaction."""
    from ..adapters import fingerprint, scene
    from ..scene import shares_of

    it = scene(now=found.now)
    problem, works, _ = it.problem()
    if fingerprint(problem, found.now) != found.fingerprint:
        return "changed"
    outcome = found.outcome
    if outcome.plan is not None and outcome.kind != "proposed":
        problem, works, _ = it.problem(shares_of(found.shares))
    sync_jobs(problem=problem, works=works)
    wall = Plan.objects.select_for_update().filter(state=Plan.State.WALL).first()
    if outcome.kind == "proposed":
        if wall is not None:
            _place_known(problem, outcome.wall)
            Plan.objects.filter(pk=wall.pk).update(tonight=found.wall_tonight)
        return "proposed" if _propose(found) else "left"
    retract_proposal()
    if outcome.kind == "none" or outcome.plan is None:
        return "none"
    place_jobs(problem, outcome.plan.starts)
    speak_for(it)
    fields = {"problem": found.problem_json, "plan": found.plan_json, "fingerprint": found.fingerprint,
              "tonight": found.tonight, "shares": found.shares}  # fmt: skip
    if wall is not None and outcome.kind == "same":
        Plan.objects.filter(pk=wall.pk).update(**fields)
        return "same"
    Plan.objects.filter(state=Plan.State.WALL).update(state=Plan.State.PAST)
    Plan.objects.create(state=Plan.State.WALL, reason=found.reason, made_at=found.now, **fields)
    _prune()
    return "wall"


def _propose(found) -> bool:
    if (first := _first_still_good(found)) is not None:
        if first.plan["starts"] == found.plan_json["starts"]:
            Plan.objects.filter(pk=first.pk).update(tonight=found.tonight)
        return True
    left = Plan.objects.filter(state=Plan.State.LEFT, made_at__gt=found.now - timedelta(days=1)).first()
    if left is not None and not found.force and left.reason == found.reason and _same_days(left, found):
        retract_proposal()
        return False
    retract_proposal()
    Plan.objects.create(
        state=Plan.State.PROPOSED,
        made_at=found.now,
        reason=found.reason,
        problem=found.problem_json,
        plan=found.plan_json,
        moves=found.moves,
        tonight=found.tonight,
        fingerprint=found.fingerprint,
        shares=found.shares,
    )
    _prune()
    return True


def _first_still_good(found) -> Plan | None:
    """The first answer, when it still waits for her and what was found since is hardly better."""
    from bakery.craft.planning import problem_from_json, verify

    first = Plan.objects.filter(state=Plan.State.PROPOSED).first()
    if first is None or found.first or found.force or not first.reason.startswith(found.reason):
        return None
    if (first.tonight or {}).get("seen") != found.tonight["seen"]:
        return None
    if first.shares == found.shares and verify(problem_from_json(found.problem_json), first.plan["starts"]):
        return None
    return None if _clearly_better(found.plan_json["objective"], first.plan["objective"]) else first


def _clearly_better(new: dict, old: dict) -> bool:
    """Worth asking her again: fewer events missed, half an hour less late, or several jobs less moved."""
    if new["missed"] != old["missed"]:
        return new["missed"] < old["missed"]
    if abs(new["lateness"] - old["lateness"]) >= WORTH_MINUTES:
        return new["lateness"] < old["lateness"]
    if new["stale"] != old["stale"]:
        return new["stale"] < old["stale"] and new["lateness"] <= old["lateness"]
    return new["lateness"] <= old["lateness"] and new["moved"] + WORTH_JOBS <= old["moved"]


def _same_days(left, found) -> bool:
    """True when a plan she has left puts the same work on the same days."""
    return days_of(left.problem, left.plan) == days_of(found.problem_json, found.plan_json)


def days_of(problem_json, plan_json) -> dict:
    origin = datetime.fromisoformat(problem_json["origin"])
    return {
        name: timezone.localdate(origin + timedelta(minutes=start)).isoformat()
        for name, start in plan_json["starts"].items()
    }


def retract_proposal() -> None:
    """A proposal that answers a question nobody asks any more."""
    Plan.objects.filter(state=Plan.State.PROPOSED).update(state=Plan.State.PAST)


@transaction.atomic
def take_proposal(*, pk: int, now) -> bool:
    """The proposal goes on the wall. Taken twice it is taken once; False when it is no longer proposed."""
    plan = Plan.objects.select_for_update().filter(pk=pk).first()
    if plan is None or plan.state != Plan.State.PROPOSED:
        return plan is not None and plan.state == Plan.State.WALL
    Plan.objects.filter(state=Plan.State.WALL).update(state=Plan.State.PAST, settled_at=now)
    plan.state, plan.settled_at = Plan.State.WALL, now
    plan.save(update_fields=["state", "settled_at"])
    _rows_of(plan, now)
    _place_rows(plan, now)
    _thaw(plan, now)
    ask_for_plan(reason="", settled=True)
    return True


@transaction.atomic
def leave_proposal(*, pk: int, now) -> bool:
    """The plan on the wall stays."""
    return bool(
        Plan.objects.filter(pk=pk, state=Plan.State.PROPOSED).update(state=Plan.State.LEFT, settled_at=now)
    )


@transaction.atomic
def undo_take(*, pk: int) -> bool:
    """Put the plan back that hung there before this one was taken."""
    plan = Plan.objects.select_for_update().filter(pk=pk, state=Plan.State.WALL).first()
    before = plan and Plan.objects.filter(state=Plan.State.PAST, settled_at=plan.settled_at).first()
    if not before or plan.settled_at is None:
        return False
    plan.state = Plan.State.LEFT
    plan.save(update_fields=["state"])
    before.state, before.settled_at = Plan.State.WALL, None
    before.save(update_fields=["state", "settled_at"])
    _rows_of(before, timezone.now())
    _place_rows(before, timezone.now())
    ask_for_plan(reason=plan.reason)
    return True


def _thaw(plan, now) -> None:
    """The list of today as she has now agreed to it."""
    from ..models import Evening

    Evening.objects.filter(date=timezone.localdate(now)).update(frozen=None, frozen_at=None)


def place_jobs(problem, starts) -> None:
    """Planned times of everything still to do, from minutes after the problem's origin."""
    minutes = {task.id: task.minutes for task in problem.tasks if task.free}
    rows = list(Job.objects.filter(state=Job.State.PLANNED, key__in=minutes))
    moved = []
    for row in rows:
        start = starts.get(row.key)
        at = None if start is None else problem.origin + timedelta(minutes=start)
        end = None if at is None else at + timedelta(minutes=minutes[row.key])
        if (row.planned_start, row.planned_end) != (at, end):
            row.planned_start, row.planned_end = at, end
            moved.append(row)
    Job.objects.bulk_update(moved, ["planned_start", "planned_end"])


def _place_known(problem, starts) -> None:
    """While a proposal waits: what has a place on the wall keeps it, the rest has none."""
    place_jobs(problem, starts)


def _rows_of(plan, now) -> None:
    """Rows for what this plan, now on the wall, puts together or apart otherwise than the one before."""
    from ..adapters import current_problem

    wanted = set(plan.plan["starts"])
    if len(wanted) != Job.objects.filter(key__in=wanted).count():
        problem, works = current_problem(now=now)
        sync_jobs(problem=problem, works=works)


def _place_rows(plan, now) -> None:
    """Planned times from a stored plan, for what is still to do.

    Work whose new time has passed hung nowhere at that time, so nobody can have done it: it and what follows
    it today begin now. The next working out sees whether that still fits.
    """
    origin = datetime.fromisoformat(plan.problem["origin"]).astimezone(UTC)
    minutes = {task["id"]: task["minutes"] for task in plan.problem["tasks"]}
    rows = list(Job.objects.filter(state=Job.State.PLANNED, key__in=plan.plan["starts"]))
    starts = {row.key: origin + timedelta(minutes=plan.plan["starts"][row.key]) for row in rows}
    unseen = {row.key for row in rows if row.planned_start != starts[row.key]}
    first = min((starts[key] for key in unseen if starts[key] < now), default=None)
    if first is not None:
        by = _next_step(now, plan.problem["step"]) - first
        tomorrow = midnight(timezone.localdate(now) + timedelta(days=1))
        for key, start in starts.items():
            if first <= start < tomorrow and (key in unseen or start > now):
                starts[key] = start + by
    for row in rows:
        row.planned_start = starts[row.key]
        row.planned_end = row.planned_start + timedelta(minutes=minutes.get(row.key, row.minutes))
    Job.objects.bulk_update(rows, ["planned_start", "planned_end"])


def _next_step(now, step: int) -> datetime:
    """The next moment on the planning grid."""
    day = now.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    return day + -(-(now - day) // timedelta(minutes=step)) * timedelta(minutes=step)


def _prune() -> None:
    """Old plans are large and nobody looks at them again."""
    old = Plan.objects.filter(state__in=[Plan.State.PAST, Plan.State.LEFT]).values_list("pk", flat=True)
    Plan.objects.filter(pk__in=list(old[KEPT:])).delete()

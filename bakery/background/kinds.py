"""The register of computations that can run in the background.

    @computation("replan", title="Sorting out the week")
    def replan(args, report):
        ...                       # reads and computes, outside any transaction; report(0.4, "spraying")
        def effects():            # writes only, quick; runs inside the transaction that marks the row done
            ...
            return {"plan": plan.pk}   # optional, JSON: kept on the row as `result`
        return effects            # or None when there is nothing to write

Put these functions in an app's `tasks.py`; keep heavy imports inside them. A function may run more than once
(a kill, a retry), its effects take hold once. `report.attempt` numbers the attempt: put it into file names.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


class Refused(Exception):
    """The computation cannot be done and trying again will not help; the message is shown to the baker."""


class Superseded(Exception):
    """Another worker has taken this row over, or it was called off: stop, and write nothing."""


@dataclass(frozen=True)
class Kind:
    name: str
    title: str
    function: Callable[[dict, Callable], Callable[[], Any] | None]


_kinds: dict[str, Kind] = {}


def computation(name: str, *, title: str = ""):
    """Register the decorated function as the computation called `name`."""

    def register(function):
        other = _kinds.get(name)
        if other and other.function.__module__ != function.__module__:
            raise ValueError(f"Two computations are called {name!r}.")
        _kinds[name] = Kind(name, title or name.replace("_", " ").capitalize(), function)
        return function

    return register


def kind_named(name: str) -> Kind:
    """The kind called `name`; LookupError when no app registers it."""
    try:
        return _kinds[name]
    except KeyError:
        raise LookupError(f"No computation is called {name!r}.") from None


def title_of(name: str) -> str:
    kind = _kinds.get(name)
    return kind.title if kind else name

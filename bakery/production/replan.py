"""What to do about the plan on the wall when something has changed: pure functions over the planner's data.

Nothing moves silently. Work that has a place keeps it; new work is put around it, but not into a day
whose list she has seen. Only when that breaks a rule or hurts an order is the whole solved anew, and then
it is a
proposal.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from bakery.craft.planning import Plan, measure, solve, verify

from .settle import closed_up, current_session, first_good, harm, in_window, tidied

WALL, SAME, PROPOSED, NONE = "wall", "same", "proposed", "none"
HURTS = ("missed", "lateness", "stale")


@dataclass(frozen=True)
class Outcome:
    """What came of it: `kind` says where the plan belongs, `wall_holds` whether the old plan still breaks
    no rule.
    """

    kind: str
    plan: Plan | None
    wall: Mapping[str, int] = field(default_factory=dict)
    wall_holds: bool = True


def decide(
    problem,
    *,
    frozen: Iterable[tuple[int, int]] = (),
    not_done: Iterable[str] = (),
    group_of: Callable[[str], object] = lambda name: name,
    seconds: float = 2.0,
    deterministic: float | None = None,
) -> Outcome:
    """The plan that answers `problem`, whose `wall` holds the places that work has now.

    `frozen` are spans of minutes whose list she has seen, `not_done` is work she said was not done: its
    old place is gone, so giving it a new one is always a proposal.
    """
    limits = {"seconds": seconds, "deterministic": deterministic}
    ids = {task.id for task in problem.tasks if task.free}
    keep = {window.start for window in problem.windows if _inside(window, frozen)}
    wall = _on_the_grid(problem, ids)
    if not wall:
        return _first(problem, ids, keep, group_of, limits)
    wall = _followed(problem, wall)
    missing = ids - set(wall)
    if not missing and not verify(problem, wall):
        quiet = wall
    else:
        quiet = _around(problem, wall, keep, limits)
    forced = bool(missing & set(not_done))
    if quiet is not None and not forced and not any(harm(problem, quiet, HURTS)):
        if not missing:
            return Outcome(SAME, described(problem, quiet), wall)
        return Outcome(WALL, described(problem, tidied(problem, quiet, group_of, keep)), wall)
    return _weigh(problem, wall, quiet, missing, forced, keep, group_of, limits)


def standing(problem) -> tuple[dict, bool]:
    """The places on the wall as she stands now, and whether they are whole and break no rule."""
    ids = {task.id for task in problem.tasks if task.free}
    wall = _on_the_grid(problem, ids)
    wall = _followed(problem, wall) if wall else wall
    return wall, not (ids - set(wall)) and not verify(problem, wall)


def _weigh(problem, wall, quiet, missing, forced, keep, group_of, limits) -> Outcome:
    """Something hurts or has lost its place: is there a better plan, moving as little as it can?"""
    holds = not missing and quiet is not None
    best = None if forced else quiet
    for starts in _repairs(problem, wall, quiet, missing, limits):
        if best is None or _worth(problem, starts) < _worth(problem, best):
            best = starts
        if not any(harm(problem, best, HURTS)):
            break
    if best is None:
        return Outcome(NONE, None, wall, wall_holds=False)
    if best is quiet and not forced:
        settled = tidied(problem, best, group_of, keep)
        return Outcome(SAME if not missing else WALL, described(problem, settled), wall)
    settled = tidied(problem, best, group_of, _running(problem))
    return Outcome(PROPOSED, described(problem, settled), wall, wall_holds=holds)


def _worth(problem, starts):
    """What hurts, then how much moves: the less the better."""
    return (*harm(problem, starts, HURTS), *harm(problem, starts, ("moved", "tight")))


def _repairs(problem, wall, quiet, missing, limits):
    """Complete plans that free more and more of the work: what is touched, what lies before it is due,
    everything.
    """
    touched = _touched(problem, wall, quiet, missing)
    due = max((order.pickup for order in problem.orders if order.id in touched), default=problem.now)
    near = {task.id for task in problem.tasks if task.free and wall.get(task.id, problem.now) <= due}
    own = {task.id for task in problem.tasks if task.free and set(task.orders) & touched}
    tried = set()
    for free in (missing, own | missing, own | near | missing):
        free = frozenset(free)
        if free and free not in tried:
            tried.add(free)
            starts = _with_free(problem, wall, free, limits)
            if starts is not None:
                yield starts
    found = solve(problem, hint=quiet, **limits)
    if found:
        yield {task.id: found.starts[task.id] for task in problem.tasks if task.free}


def _touched(problem, wall, quiet, missing) -> set[str]:
    """Orders whose work has no place, whose place breaks a rule, or that come too late."""
    names = set(missing) | {sentence.split(":", 1)[0] for sentence in verify_known(problem, wall)}
    orders = {order for task in problem.tasks if task.id in names for order in task.orders}
    if quiet is not None:
        orders |= set(measure(problem, quiet)["late"])
    return orders


def _with_free(problem, wall, free, limits):
    """Complete starts with all work in its place on the wall but `free`; None when that breaks a rule."""
    tasks = tuple(
        replace(task, pinned=True, start=wall[task.id])
        if task.free and task.id in wall and task.id not in free
        else task
        for task in problem.tasks
    )
    found = solve(replace(problem, tasks=tasks), **limits)
    if not found:
        return None
    starts = {task.id: found.starts.get(task.id, wall.get(task.id)) for task in problem.tasks if task.free}
    return None if verify(problem, starts) else starts


def _first(problem, ids, keep, group_of, limits) -> Outcome:
    if not ids:
        return Outcome(SAME if problem.wall else WALL, described(problem, {}))
    found = solve(problem, **limits)
    if not found:
        return Outcome(NONE, None, wall_holds=False)
    return Outcome(WALL, described(problem, tidied(problem, dict(found.starts), group_of, keep), found))


def _on_the_grid(problem, ids) -> dict[str, int]:
    """Places on the wall that still lie ahead, rounded up to the grid."""
    step = problem.step
    return {
        name: -(-start // step) * step
        for name, start in problem.wall.items()
        if name in ids and -(-start // step) * step >= problem.now
    }


def _followed(problem, wall):
    """The rest of a session in progress follows her: in the same order, from now on, without gaps."""
    session = current_session(problem)
    if session is None or session.start > problem.now:
        return wall
    ids = in_window(problem, wall, session)
    later = closed_up(problem, wall, session, ids) if ids else None
    if later is None:
        return wall
    # A wall that misses new work cannot be verified whole; the broken rules must then be no others than that.
    return later if len(verify_known(problem, later)) <= len(verify_known(problem, wall)) else wall


def verify_known(problem, starts) -> list[str]:
    """Rules broken by these starts among the tasks that have one: tasks without a place are left out."""
    known = {task.id for task in problem.tasks if not task.free or task.id in starts}
    if len(known) == len(problem.tasks):
        return verify(problem, starts)
    orders = tuple(o for o in problem.orders if o.finish in known and set(o.bakes) <= known)
    names = {order.id for order in orders}
    part = replace(
        problem,
        # What is done of an order whose rest has no place yet stays, and belongs to nobody here.
        tasks=tuple(
            replace(task, orders=tuple(o for o in task.orders if o in names))
            for task in problem.tasks
            if task.id in known
        ),
        lags=tuple(lag for lag in problem.lags if lag.before in known and lag.after in known),
        holds=tuple(h for h in problem.holds if h.after in known and (h.until is None or h.until in known)),
        orders=orders,
    )
    return verify(part, starts)


def _around(problem, wall, keep, limits):
    """Complete starts with everything on the wall in its place and nothing new in the windows of `keep`."""
    if verify_known(problem, wall):
        return None
    if all(task.id in wall for task in problem.tasks if task.free):
        return dict(wall)
    tasks = tuple(
        replace(task, pinned=True, start=wall[task.id]) if task.free and task.id in wall else task
        for task in problem.tasks
    )
    windows = tuple(window for window in problem.windows if window.start not in keep)
    found = solve(replace(problem, tasks=tasks, windows=windows), **limits)
    if not found:
        return None
    starts = {task.id: found.starts.get(task.id, wall.get(task.id)) for task in problem.tasks if task.free}
    return None if verify(problem, starts) else starts


def _running(problem):
    session = current_session(problem)
    return {session.start} if session and session.start <= problem.now else set()


def _inside(window, spans):
    return any(start <= window.start < end for start, end in spans)


def described(problem, starts, found=None) -> Plan:
    """A plan of these starts that says of itself exactly what the arithmetic says."""
    real = measure(problem, starts)
    objective = real["objective"]
    status = "late" if real["late"] else "feasible"
    bound = dict(found.bound) if found else {}
    if found and not real["late"]:
        same = {name: value for name, value in objective.items() if name != "age"}
        claimed = {name: value for name, value in found.objective.items() if name != "age"}
        status = found.status if same == claimed else "feasible"
    return Plan(
        starts=starts,
        status=status,
        objective=objective,
        bound={name: value for name, value in bound.items() if name != "age"},
        late=real["late"],
        seconds=found.seconds if found else 0.0,
    )


def musts_first(problem, starts, session, rank, group_of):
    """The session with what can't wait at its beginning, where that is allowed."""
    ids = in_window(problem, starts, session)
    order = {name: place for place, name in enumerate(ids)}
    ranked = sorted(ids, key=lambda name: (rank(name), order[name]))
    groups: list[str] = []
    for value in sorted({rank(name) for name in ids}):
        part = [name for name in ranked if rank(name) == value]
        place: dict = {}
        for name in part:
            place.setdefault(group_of(name), len(place))
        groups += sorted(part, key=lambda name: place[group_of(name)])
    return first_good(problem, starts, session, [groups, ranked])

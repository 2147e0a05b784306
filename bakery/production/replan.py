"""What to do about the plan on the wall when something has changed: pure functions over the planner's data.

Nothing moves silently. Work that has a place keeps it; new work is put around it, but not into a day
whose list she has seen. Only when that breaks a rule or hurts an order is the whole solved anew, and then
it is a
proposal.
"""

import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from bakery.craft.planning import Plan, measure, solve, verify
from bakery.craft.planning.repair import repair

from .settle import closed_up, current_session, first_good, harm, in_window, tidied

SLICE = 3.0
"""Seconds between two reports of a long search; with 300 jobs twice as many."""
TIDYING = 4.0
"""Seconds of computing for tidying a large kitchen, the nearest sessions first."""
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


@dataclass(frozen=True)
class Limits:
    """How long may be searched, and who hears of it; a long search goes in slices, each from the best one."""

    seconds: float
    deterministic: float | None
    report: Callable[[float, str], None]

    def search(self, problem, hint=None):
        """The best plan found; falsy when none is known."""
        best, begun = None, time.monotonic()
        each = SLICE * (1 + len(problem.tasks) // 300)
        while (left := self.seconds - (time.monotonic() - begun)) > 0 or best is None:
            last = best
            found = solve(
                problem,
                seconds=min(max(left, 0.1), each),
                hint=best or hint,
                deterministic=self.deterministic,
            )
            best = found or best
            if left <= each or found.status == "best" or self.deterministic is not None:
                break
            if last is not None and found and found.objective == last.objective:
                break
            self.report(1 - left / self.seconds, "looking for a better plan")
        return best


def decide(
    problem,
    *,
    frozen: Iterable[tuple[int, int]] = (),
    not_done: Iterable[str] = (),
    group_of: Callable[[str], object] | None = lambda name: name,
    seconds: float = 2.0,
    deterministic: float | None = None,
    report: Callable[[float, str], None] = lambda share, note: None,
) -> Outcome:
    """The plan that answers `problem`, whose `wall` holds the places that work has now.

    `frozen` are spans of minutes whose list she has seen, `not_done` is work she said was not done: its
    old place is gone, so giving it a new one is always a proposal. `report` hears how far a long search is,
    and may end it by raising.
    """
    limits = Limits(seconds, deterministic, report)
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
        return Outcome(WALL, described(problem, _tidied(problem, quiet, group_of, keep)), wall)
    return _weigh(problem, wall, quiet, missing, forced, keep, group_of, limits)


def standing(problem) -> tuple[dict, bool]:
    """The places on the wall as she stands now, and whether they are whole and break no rule."""
    ids = {task.id for task in problem.tasks if task.free}
    wall = _on_the_grid(problem, ids)
    wall = _followed(problem, wall) if wall else wall
    return wall, not (ids - set(wall)) and not verify(problem, wall)


def decide_quickly(
    problem,
    *,
    frozen: Iterable[tuple[int, int]] = (),
    not_done: Iterable[str] = (),
    group_of: Callable[[str], object] | None = lambda name: name,
    seconds: float = 0.6,
) -> Outcome:
    """The first answer to a bad night, by placing alone: what still holds, and what moves at the least.

    Never puts more on the wall than it can without moving anything; NONE when there is no wall yet, or when
    nothing was found in time.
    """
    ids = {task.id for task in problem.tasks if task.free}
    wall = _on_the_grid(problem, ids)
    if not wall:
        return Outcome(NONE, None, wall_holds=False)
    wall = _followed(problem, wall)
    missing, keep = ids - set(wall), {w.start for w in problem.windows if _inside(w, frozen)}
    holds = not missing and not verify(problem, wall)
    if holds and not any(harm(problem, wall, HURTS)):
        return Outcome(SAME, described(problem, wall), wall)
    found = repair(problem, wall, seconds=seconds)
    if found is None:
        return Outcome(NONE, None, wall, wall_holds=holds)
    starts = {name: found.starts[name] for name in ids}
    if holds and harm(problem, starts, HURTS) >= harm(problem, wall, HURTS):
        return Outcome(SAME, described(problem, wall), wall)
    moved = any(starts[name] != place for name, place in wall.items())
    if moved or missing & set(not_done) or _in_windows(problem, starts, missing, keep):
        settled = _tidied(problem, starts, group_of, keep | _untouched(problem, wall, starts))
        return Outcome(PROPOSED, described(problem, settled), wall, wall_holds=holds)
    return Outcome(WALL, described(problem, starts), wall)


def _tidied(problem, starts, group_of, keep):
    """Closed up and put together; as it is where nobody says what belongs together."""
    return dict(starts) if group_of is None else tidied(problem, starts, group_of, keep)


def settled(problem, outcome: Outcome, group_of, frozen=()) -> Outcome:
    """An outcome decided without tidying, with its sessions tidied: those that she has seen stay."""
    if outcome.plan is None or outcome.kind == SAME:
        return outcome
    keep = {window.start for window in problem.windows if _inside(window, frozen)} | _running(problem)
    starts = dict(outcome.plan.starts)
    if outcome.kind == PROPOSED:
        keep = _running(problem) | _untouched(problem, outcome.wall, starts)
    found = tidied(problem, starts, group_of, keep, _after(TIDYING))
    return replace(outcome, plan=described(problem, found, outcome.plan))


def _after(seconds: float) -> Callable[[], bool]:
    """Says yes once so much computing time [s] has passed."""
    ends = time.thread_time() + seconds
    return lambda: time.thread_time() > ends


def _untouched(problem, wall, starts) -> set[int]:
    """Beginnings of the windows in which everything stays as it is: they need no tidying."""
    changed = [at for name, at in starts.items() if wall.get(name) != at]
    changed += [wall[name] for name, at in starts.items() if name in wall and wall[name] != at]
    return {w.start for w in problem.windows if not any(w.start <= at < w.end for at in changed)}


def _in_windows(problem, starts, names, keep) -> bool:
    windows = [window for window in problem.windows if window.start in keep]
    return any(window.start <= starts[name] < window.end for name in names for window in windows)


def _weigh(problem, wall, quiet, missing, forced, keep, group_of, limits) -> Outcome:
    """Something hurts or has lost its place: is there a better plan, moving as little as it can?"""
    holds = not missing and quiet is not None
    best = None if forced else quiet
    for starts in _repairs(problem, wall, limits):
        if best is None or _worth(problem, starts) < _worth(problem, best):
            best = starts
        if not any(harm(problem, best, HURTS)):
            break
    if best is None:
        return Outcome(NONE, None, wall, wall_holds=False)
    if best is quiet and not forced:
        settled = _tidied(problem, best, group_of, keep)
        return Outcome(SAME if not missing else WALL, described(problem, settled), wall)
    settled = _tidied(problem, best, group_of, _running(problem) | _untouched(problem, wall, best))
    return Outcome(PROPOSED, described(problem, settled), wall, wall_holds=holds)


def _worth(problem, starts):
    """What hurts, then how much moves: the less the better."""
    return (*harm(problem, starts, HURTS), *harm(problem, starts, ("moved", "tight")))


def _repairs(problem, wall, limits):
    """Complete plans: by placing alone with as little let go as can be, then a search from there."""
    ids = {task.id for task in problem.tasks if task.free}
    quick = repair(problem, wall)
    if quick is not None:
        yield {name: quick.starts[name] for name in ids}
    found = limits.search(problem, quick or wall)
    if found:
        yield {name: found.starts[name] for name in ids}


def _first(problem, ids, keep, group_of, limits) -> Outcome:
    if not ids:
        return Outcome(SAME if problem.wall else WALL, described(problem, {}))
    found = limits.search(problem)
    if not found:
        return Outcome(NONE, None, wall_holds=False)
    return Outcome(WALL, described(problem, _tidied(problem, dict(found.starts), group_of, keep), found))


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
    found = limits.search(replace(problem, tasks=tasks, windows=windows))
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

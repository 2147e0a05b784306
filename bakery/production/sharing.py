"""What goes together in the next plan: shares that save minutes and harm no one, decided with a plan each."""

from dataclasses import dataclass, replace
from functools import partial

from bakery.craft.planning import solve
from bakery.craft.work import choose, propose
from bakery.craft.work.choosing import HARM, harm_of
from bakery.craft.work.sharing import is_apart, jobs_in

from .replan import NONE, PROPOSED, Outcome, standing
from .scene import Scene
from .settle import current_session, harm

HURTS = ("missed", "lateness", "stale")
RANK = {NONE: 3, PROPOSED: 2}
TRIES, MOST_DECIDED = 24, 4
MANY = 300
"""With more jobs than this no trial is solved: only placing judges what goes together."""


@dataclass(frozen=True)
class Decided:
    """The outcome with its problem, its works and what goes together in it."""

    outcome: Outcome
    problem: object
    works: dict
    shares: tuple


def decide_with_shares(it: Scene, decide, *, frozen=(), anew=False, over=lambda: False) -> Decided:
    """`decide(problem, works)` with what goes together already, with what could besides, and, where that
    hurts, without.

    New shares are looked for where work has no place yet (`anew`: everywhere), and never among what she has
    seen on a list. Once `over` says yes, nothing more is tried: what goes together stays as it is.
    """
    kept = tuple(one for one in it.shares if one.key in it.held or not is_apart(one, it.apart))
    best = alone = _decided(it, kept, decide)
    wished = kept if over() else fresh_shares(it, kept, best.problem, frozen, anew=anew, over=over)
    for shares in _fewer(it, wished, kept):
        if over():
            break
        tried = _decided(it, shares, decide)
        if _badness(tried) <= _badness(alone) and not _more_evenings(tried, alone):
            best = tried
            break
    return best if over() else _parted(it, best, decide, over)


def _fewer(it: Scene, wished, kept):
    """What is tried: all that was found, then without what ties the most distant days together."""
    loose = [one for one in wished if one not in kept]

    def spread(one):
        leaves = [it.works[name].order.leaves for name in one.orders]
        return max(leaves) - min(leaves), one.kind == "dough", one.key

    loose.sort(key=spread)
    for count in range(len(loose), max(0, len(loose) - MOST_DECIDED), -1):
        near = loose[:count]
        yield tuple(one for one in wished if one in kept or one in near)


def _more_evenings(found: Decided, other: Decided) -> bool:
    """True when this plan is proved to need more evenings than the other one may, or has more where both are
    the best there are; what a search found when its time was up says nothing.
    """
    mine, theirs = found.outcome.plan, other.outcome.plan
    if mine is None or theirs is None:
        return False
    proved = mine.bound.get("sessions", 0) > theirs.bound.get("sessions", theirs.objective["sessions"])
    settled = {mine.status, theirs.status} <= {"best", "within"}
    return proved or (settled and mine.objective["sessions"] > theirs.objective["sessions"])


def fresh_shares(it: Scene, kept, problem, frozen=(), *, anew=False, judge=None, over=lambda: False) -> tuple:
    """The shares there are and those worth having besides."""
    first = anew or (not it.starts and not it.facts)
    seen = _seen(it, problem, frozen)
    if not first and not any(task.free and task.id not in problem.wall for task in problem.tasks):
        return kept
    works = list(it.works.values())

    def new(one):
        return not over() and (first or any(name not in it.starts for name in jobs_in(works, one)))

    return choose(
        works,
        it.build,
        shares=kept,
        judge=judge or (harm_or_solved if len(problem.tasks) <= MANY else partial(harm_of, stop=over)),
        tries=TRIES,
        accept=new,
        busy=it.busy | seen,
        apart=it.apart,
    )


def joined(it: Scene, shares, order: str) -> tuple:
    """The shares with all that this order could be made together with besides; empty where there is none."""
    works = list(it.works.values())
    found = propose(works, shares=shares, busy=it.busy, apart=it.apart)
    mine = tuple(one for one in found if order in one.orders)
    return (*shares, *mine) if mine else ()


def harm_or_solved(problem):
    """What hurts in the quickest plan, or where not everyone can be on time, in a solved one."""
    quick = harm_of(problem)
    if quick is not None:
        return quick
    plan = solve(problem, seconds=0.3)
    return tuple(plan.objective[name] for name in HARM) if plan else None


def _decided(it, shares, decide) -> Decided:
    problem, works, taken = it.problem(shares)
    return Decided(decide(problem, works), problem, works, taken)


def _parted(it, best: Decided, decide, over) -> Decided:
    """A late order leaves what it shares: with its own shares given up, then with all."""
    loose = [one for one in best.shares if one.key not in it.held]
    if not loose or not _hurts(best):
        return best
    late = set(best.outcome.plan.late) if best.outcome.plan is not None else None
    tries = [[one for one in loose if late is None or late & set(one.orders)], loose]
    for number, given_up in enumerate(tries):
        if not given_up or (number and given_up == tries[0]) or over():
            continue
        rest = tuple(one for one in best.shares if one not in given_up)
        tried = _decided(it, rest, decide)
        if _harm(tried) < _harm(best):
            return tried
    return best


def _hurts(found: Decided) -> bool:
    return found.outcome.plan is None or any(_harm(found)[1:])


def _harm(found: Decided):
    plan = found.outcome.plan
    if plan is None:
        return (1,)
    return (0, *harm(found.problem, dict(plan.starts), HURTS))


def _badness(found: Decided):
    """How much it hurts, whether anything has to be asked, and how tight it is: the less the better."""
    plan = found.outcome.plan
    if plan is None:
        return (1,)
    starts = dict(plan.starts)
    hurts, tight = harm(found.problem, starts, HURTS), harm(found.problem, starts, ("tight",))
    return (0, *hurts, RANK.get(found.outcome.kind, 0), *tight)


def _seen(it: Scene, problem, frozen) -> set[str]:
    """Jobs on a list that she has seen, or of the session in progress: they stay as they are."""
    spans = list(frozen)
    session = current_session(problem)
    if session is not None and session.start <= problem.now:
        spans.append((session.start, session.end))
    origin = problem.origin

    def minute(moment):
        return (moment - origin).total_seconds() / 60

    return {name for name, at in it.starts.items() if any(a <= minute(at) < b for a, b in spans)}


def as_saved(it: Scene, found: Decided, problem) -> Outcome:
    """The outcome as it is saved: while it only waits, the work on the wall keeps the places it has there.

    `problem` is the one with the shares on the wall; the outcome may have others.
    """
    if found.outcome.kind != PROPOSED or found.shares == it.shares:
        return found.outcome
    wall, holds = standing(problem)
    return replace(found.outcome, wall=wall, wall_holds=holds)


__all__ = ["Decided", "as_saved", "decide_with_shares", "fresh_shares", "joined"]

"""From the rows to a checked plan with everything the pages say about it. Reads and computes; writes
nothing.
"""

from dataclasses import dataclass, field, replace
from datetime import datetime
from time import monotonic

from bakery.craft.planning import measure, plan_to_json, problem_to_json, verify
from bakery.orders.models import Order, State

from . import words
from .adapters import fingerprint, frozen_spans, job_named, scene
from .asking import softened
from .chains import earliest_fit
from .models import Job, JobEvent
from .moves import moves_between
from .old_work import old_work
from .replan import (
    HURTS,
    NONE,
    PROPOSED,
    SAME,
    Outcome,
    decide,
    decide_quickly,
    described,
    musts_first,
)
from .replan import settled as settled_outcome
from .scene import shares_json
from .settle import current_session, harm
from .sharing import as_saved, decide_with_shares
from .tightness import tight_spots
from .verdicts import look_at_tonight, unjudged, verdicts_tonight, wall_only


@dataclass(frozen=True)
class Found:
    """What was worked out at one moment, ready to be saved as it is."""

    now: datetime
    outcome: Outcome
    fingerprint: str
    reason: str = ""
    force: bool = False
    problem_json: dict = field(default_factory=dict)
    plan_json: dict = field(default_factory=dict)
    moves: list = field(default_factory=list)
    tonight: dict | None = None
    wall_tonight: dict | None = None
    shares: list = field(default_factory=list)
    trouble: str = ""
    first: bool = False


QUICK, DEEP = 1.0, 4.0
"""Seconds for the verdicts of a session: at once, and when something stayed undecided."""
USUAL, LONG, MANY = 1.5, 20.0, 400
"""Seconds of search where somebody is late, with up to so MANY jobs and with more."""
FIRST, PATIENT, HUGE = 0.6, 10.0, 1000
"""Seconds for placing alone: usually, and with more jobs than HUGE, for which there is nothing else."""
TRYING, WHOLE = 14.0, 26.0
"""Seconds after which nothing more is tried together or apart, and after which no longer search begins."""


class BrokenPlan(Exception):
    """A plan that the checker does not accept: never saved, never shown."""


def work_out(
    *,
    now: datetime,
    reason: str = "",
    force: bool = False,
    deep: bool = False,
    settled: bool = False,
    seconds: float | None = None,
    report=lambda share, note: None,
) -> Found:
    """Solve, check, compare with the wall, and gather what tonight's page says; `deep` takes its time for
    proofs. `report` hears how far it is, and may end it by raising. With `settled` a plan on the wall that
    breaks no rule stays, whoever is late in it: she has agreed to it.
    """
    seen, begun = newest_word(), monotonic()
    it = scene(now=now)
    on_wall, works_on_wall, _ = it.problem()
    frozen, not_done = frozen_spans(on_wall, now), said_not_done()
    sign = fingerprint(on_wall, now)
    if seconds is None:
        seconds = USUAL if len(on_wall.tasks) <= MANY else LONG
    many = len(on_wall.tasks) > MANY
    seen_by = {"frozen": frozen, "not_done": not_done}

    def deciding(problem, works):
        report(0.15, "placing the work")
        # In a large kitchen tidying takes longer than placing: only what is kept in the end is tidied.
        mine = {**seen_by, "group_of": None if many else grouping(works)}
        huge = len(problem.tasks) > HUGE
        quick = decide_quickly(problem, **mine, seconds=PATIENT if huge else FIRST)
        if quick.kind in (SAME, PROPOSED) or (many and hurts(problem, quick)) or (huge and problem.wall):
            return quick  # where it hurts, a longer search follows; in what is huge it would find nothing
        return decide(problem, **mine, seconds=min(seconds, USUAL))

    def over():
        return monotonic() - begun > TRYING

    found = decide_with_shares(it, deciding, frozen=frozen, anew=force, over=over)
    search = not (settled and found.outcome.kind == SAME) and len(found.problem.tasks) <= HUGE
    if search and found.outcome.kind != NONE and hurts(found.problem, found.outcome):
        softer = softened(found.problem, held_orders())
        searched = decide(
            softer,
            **seen_by,
            group_of=grouping(found.works),
            seconds=max(USUAL, min(seconds, WHOLE - (monotonic() - begun))),
            report=lambda share, note: report(0.2 + 0.6 * share, note),
        )
        found = replace(found, outcome=_kindest(found, searched, softer))
    elif many:
        tidy = settled_outcome(found.problem, found.outcome, grouping(found.works), frozen)
        found = replace(found, outcome=tidy)
    outcome, problem, works, shares = found.outcome, found.problem, found.works, found.shares
    group_of = grouping(works)
    if outcome.plan is None:
        return Found(now, outcome, sign, reason, force, trouble=why_no_plan(problem, works))
    check(problem, outcome.plan)
    report(0.85, "looking at tonight")
    verdicts = verdicts_tonight(problem, outcome.plan, seconds=DEEP if deep else QUICK)
    if outcome.kind != PROPOSED:
        outcome = _musts_first(problem, outcome, verdicts, frozen, group_of)
        check(problem, outcome.plan)
    tonight = look_at_tonight(problem, outcome.plan, works, verdicts, patience=DEEP / QUICK if deep else 1.0)
    tonight["seen"] = seen
    tonight["tight"] = tight_spots(problem, outcome.plan, works)
    tonight["old"] = old_work(problem, works, it.facts, outcome.plan.starts)
    wall_tonight, moves = None, []
    if outcome.kind == PROPOSED:
        # What is on the wall keeps its verdicts, which are about the work and not about a plan; no more
        # is claimed.
        moves = moves_between(problem, outcome.wall, outcome.plan.starts, works, not_done=not_done)
        outcome = as_saved(it, found, on_wall)
        wall_tonight = wall_only(on_wall, outcome.wall, works_on_wall, tonight)
        wall_tonight |= {
            "broken": not outcome.wall_holds,
            "old": old_work(on_wall, works_on_wall, it.facts, outcome.wall),
        }
    return _found(now, outcome, sign, reason, force, problem, moves, tonight, wall_tonight, shares)


def first_look(*, now: datetime, reason: str = "", setbacks=None) -> Found:
    """The first answer to a bad night: as little moved as can be, by placing alone, without verdicts."""
    seen, it = newest_word(), scene(now=now, setbacks=setbacks)
    problem, works, shares = it.problem()
    not_done = said_not_done()
    outcome = decide_quickly(
        problem, frozen=frozen_spans(problem, now), not_done=not_done, group_of=grouping(works)
    )
    sign = fingerprint(problem, now)
    if outcome.plan is None:
        return Found(now, outcome, sign, reason, first=True)
    check(problem, outcome.plan)
    moves = []
    if outcome.kind == PROPOSED:
        moves = moves_between(problem, outcome.wall, outcome.plan.starts, works, not_done=not_done)
    bare = unjudged(problem) | {"seen": seen}
    wall_tonight = bare | {
        "broken": not outcome.wall_holds,
        "old": old_work(problem, works, it.facts, outcome.wall),
    }
    bare["old"] = old_work(problem, works, it.facts, outcome.plan.starts)
    return _found(now, outcome, sign, reason, False, problem, moves, bare, wall_tonight, shares, first=True)


def _found(now, outcome, sign, reason, force, problem, moves, tonight, wall_tonight, shares, first=False):
    return Found(
        now=now,
        outcome=outcome,
        fingerprint=sign,
        reason=reason,
        force=force,
        problem_json=problem_to_json(problem),
        plan_json=plan_to_json(outcome.plan),
        moves=moves,
        tonight=tonight,
        wall_tonight=wall_tonight,
        shares=shares_json(shares),
        first=first,
    )


def _kindest(found, searched, softer) -> Outcome:
    """What the search came to; where held orders made way in it (`softer`), only if that helps those that are
    booked. In what is kept a held order that is late is late: she may still want to tell them.
    """
    if softer == found.problem:
        return searched
    if searched.plan is None:
        return found.outcome

    def badness(outcome):
        told = measure(softer, outcome.plan.starts)
        booked = told["objective"]
        firm = (booked["missed"], booked["lateness"] - told["soft"], booked["stale"])
        return firm, harm(found.problem, dict(outcome.plan.starts), HURTS)

    if badness(found.outcome) < badness(searched):
        return found.outcome
    return replace(searched, plan=described(found.problem, dict(searched.plan.starts), searched.plan))


def hurts(problem, outcome) -> bool:
    """True when somebody's event is missed, somebody's order late, or a bake too old."""
    return outcome.plan is not None and any(harm(problem, dict(outcome.plan.starts), HURTS))


def check(problem, plan) -> None:
    """Every plan is checked before it is saved or shown."""
    broken = verify(problem, plan)
    if broken:
        raise BrokenPlan("; ".join(broken[:5]))


def _musts_first(problem, outcome, tonight, frozen, group_of) -> Outcome:
    """A session she has not seen yet begins with what can't wait."""
    session = current_session(problem)
    if session is None or session.start < problem.now or any(a <= session.start < b for a, b in frozen):
        return outcome
    ranks = {"must": 0, "undecided": 1}
    verdicts = tonight["tasks"]

    def rank(name):
        return ranks.get(verdicts.get(name, {}).get("verdict"), 2)

    starts = musts_first(problem, dict(outcome.plan.starts), session, rank, group_of)
    if starts == dict(outcome.plan.starts):
        return outcome
    return replace(outcome, plan=described(problem, starts, outcome.plan))


def grouping(works):
    """What belongs together in an evening: one step and colour over trays and orders; all mixing in one."""

    def group_of(name):
        job, _ = job_named(works, name)
        return (job.kind,) if job.kind in ("mix", "dough", "bake") else (job.kind, job.colours, job.title)

    return group_of


def said_not_done() -> set[str]:
    """Work she said was not done: it has lost its place on the wall."""
    open_rows = Job.objects.filter(state=Job.State.PLANNED, said=True, planned_start=None)
    return set(open_rows.values_list("key", flat=True))


def held_orders() -> set[str]:
    """Orders whose place is kept softly: they make way before anything that is booked."""
    held = Order.objects.filter(state=State.HELD).values_list("number", flat=True)
    return {f"o{number}" for number in held}


def newest_word() -> int:
    """The number of the newest thing she said: what is worked out before it is out of date after it."""
    return JobEvent.objects.order_by("-pk").values_list("pk", flat=True).first() or 0


def plan_for(problem, works, *, seconds: float = 2.0):
    """The wall's plan where it still answers the problem, else a new one; checked either way, or None."""
    outcome = decide(problem, group_of=grouping(works), seconds=seconds)
    if outcome.plan is not None:
        check(problem, outcome.plan)
    return outcome.plan


def why_no_plan(problem, works) -> str:
    """What stands in the way of any plan, as far as it is plain."""
    sessions = [window for window in problem.windows if window.longest is None and window.hands > 0]
    if not sessions:
        return "There are no baking hours ahead, so nothing can be planned. Set them in Set-up."
    for task in problem.tasks:
        if task.free and earliest_fit(problem, task, problem.now) is None:
            job, _ = job_named(works, task.id)
            title = works[job.order].order.title
            return (
                f"“{job.title}” for {title} takes {words.length(task.minutes)} in one go, longer than any "
                "of your baking hours. Longer hours on one day, or fewer cookies, would help."
            )
    return (
        "No plan was found that fits all orders. A look at the newest order, or more baking hours, may help."
    )


def is_undecided(tonight) -> bool:
    """True when some verdict, or where she may stop, was not settled in the time there was."""
    if not tonight or not tonight.get("stop"):
        return False
    verdicts = {told["verdict"] for told in tonight["tasks"].values()}
    return "undecided" in verdicts or not tonight["stop"]["sure"]

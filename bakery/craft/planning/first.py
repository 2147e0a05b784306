"""A first complete plan: passes, then CP-SAT without an objective, then one with few orders late."""

from __future__ import annotations

from . import limits
from .assignment import MOST, Assignment, choices
from .backward import checked, latest_fit
from .forward import forward_plan
from .model import FEW, Model
from .overload import least_late, worth
from .plan import Plan
from .repair import repair

ALONE = 0.1  # seconds for one searcher: what placing misses it mostly finds in half of that, at half the work


def first_plan(grid, clock, *, hint=None, seed=1, workers=2) -> Plan | None:
    """Return a checked plan, on time where one is found, or None when no plan at all is known."""
    old = dict(grid.problem.wall) if hint is None else dict(getattr(hint, "starts", hint))
    mended = _repaired(grid, old, clock) if old else None
    plans = [found for found in (_quick(grid, clock), mended, _as_it_is(grid, old)) if found is not None]
    plan = min(plans, key=worth, default=None)
    if plan is not None and not plan.late:
        return plan
    answer, slots = on_time_plan(grid, clock, share=0.4, seed=seed, workers=workers)
    if answer == "yes":
        return checked(grid, slots)
    # However full it is, placing forward finds a plan; the others find better ones, but not always.
    late = (
        least_late(grid, clock, seed=seed, workers=workers, give_up=clock.long_over),
        forward_plan(grid, stop=clock.long_over) if not plans or not clock.long_over() else None,
    )
    plans += [found for found in late if found is not None]
    if mended is not None and mended.objective["missed"] <= min(one.objective["missed"] for one in plans):
        return mended  # no more is missed and little moves: later stages look round the late orders
    if plans:
        return min(plans, key=worth)
    return _any_plan(grid, clock, seed, workers)


def _repaired(grid, old, clock):
    """A plan near the old places; it takes at most half of the time."""
    seconds = None if clock.deterministic is not None else min(0.6, max(0.05, clock.left() / 2))
    return repair(grid.problem, old, seconds=seconds, grid=grid)


def _as_it_is(grid, old):
    """Old starts as a plan, when they are complete and still break no rule."""
    starts = {name: old[name] for name in grid.ids if name in old}
    if len(starts) < grid.n or any(start % grid.step for start in starts.values()):
        return None
    return checked(grid, grid.slots_of(starts))


def _quick(grid, clock):
    """The backward pass, asking for spare time and for soft orders on time as long as that works."""
    for spare, soft in ((True, True), (False, True), (False, False)):
        lo, hi, empty = limits.tighten(grid, *limits.on_time(grid, spare=spare, soft=soft))
        if empty is not None:
            continue
        slots = latest_fit(grid, lo, hi, stop=clock.over)
        if slots is not None:
            return checked(grid, slots)
    return None


def on_time_plan(grid, clock, *, share=1.0, seed=1, workers=2, lo=None, hi=None):
    """Ask CP-SAT for any plan on time. Return ("yes", slots), ("no", None) = proved, or ("unknown", None)."""
    lo0, hi0 = limits.on_time(grid)
    lo = lo0 if lo is None else [max(a, b) for a, b in zip(lo, lo0, strict=True)]
    hi = hi0 if hi is None else [min(a, b) for a, b in zip(hi, hi0, strict=True)]
    lo, hi, empty = limits.tighten(grid, lo, hi)
    if empty is not None:
        return "no", None
    if clock.over():
        return "unknown", None
    relaxed = Model(grid, lo, hi, relaxed=True)
    answer, slots = _asked(relaxed, clock.part(share / 2, ALONE), seed=seed, workers=1)
    if answer == "unknown" and grid.n > FEW and choices(grid, lo, hi) <= MOST and not clock.over():
        status, _, _ = clock.run(_whether(grid, lo, hi), share / 2, seed=seed, workers=workers)
        answer = "no" if status == "infeasible" else answer
    if answer == "unknown":
        part = clock.part(share / 4, 4 * ALONE)
        answer, slots = _asked(relaxed, part, seed=seed, workers=1, slots=slots)
    if answer == "unknown":
        part = clock.part(share / 2 if relaxed.left_out else share)
        answer, slots = _asked(relaxed, part, seed=seed, workers=workers, slots=slots)
    if answer == "unknown" and relaxed.left_out and not clock.over():
        full = Model(grid, lo, hi)
        answer, slots = _asked(full, clock.part(share), seed=seed, workers=workers, slots=slots)
    return answer, slots if answer == "yes" else None


def _asked(model, clock, *, seed, workers, slots=None):
    """(answer, slots) of one model; "unknown" with slots when these break a rule that it leaves out."""
    if slots is not None:
        model.hint(slots)
    status, found, _ = clock.run(model, seed=seed, workers=workers, first=True)
    if status == "infeasible":
        return "no", None
    fits = found is not None and checked(model.grid, found) is not None
    return ("yes" if fits else "unknown"), found or slots


def _whether(grid, lo, hi):
    """The question whether windows have room for all, without any aim."""
    work = Assignment(grid, lo, hi)
    work.model.clear_objective()
    return work


def _any_plan(grid, clock, seed, workers):
    """CP-SAT without deadlines: when even this finds nothing, no plan is known."""
    lo, hi, empty = limits.tighten(grid, grid.lo, grid.hi)
    if empty is not None:
        return None
    _, slots, _ = clock.run(Model(grid, lo, hi), 0.5, seed=seed, workers=workers, first=True)
    return None if slots is None else checked(grid, slots)

"""Which shares are taken: those that save minutes and harm no one, judged by a plan with and one without."""

from collections.abc import Callable, Sequence

from ..planning.backward import backward_pass
from ..planning.problem import Problem
from .pieces import Work
from .sharing import Share, is_apart, narrower, propose, share

__all__ = ["choose", "harm_of"]

HARM = ("missed", "lateness", "stale", "tight")
"""What a share must not make worse, worst first."""
TRIES = 30


def harm_of(problem: Problem, *, stop: Callable[[], bool] | None = None) -> tuple[int, ...] | None:
    """What hurts in the quickest plan that has everyone on time; None when it finds none, or when `stop` ends
    the search.
    """
    plan = backward_pass(problem, stop=stop)
    return None if plan is None else tuple(plan.objective[name] for name in HARM)


def choose(
    works: Sequence[Work],
    build: Callable[[Sequence[Work]], Problem],
    *,
    shares: Sequence[Share] = (),
    judge: Callable[[Problem], tuple[int, ...] | None] = harm_of,
    tries: int = TRIES,
    accept: Callable[[Share], bool] = lambda share: True,
    **wanted,
) -> tuple[Share, ...]:
    """Shares worth having, beside the `shares` there are, the most saving tried first.

    Parameters
    ----------
    works : unshared works of all orders
    build : makes the planning problem of some works
    judge : what hurts in a problem's plan, comparable, or None where there is no plan by which to tell
    tries : how many problems are judged at most
    accept : says of a share whether it is wanted at all
    wanted : what `propose` is told besides

    A share that does harm is tried again without its first and without its last member. Where not even the
    plan without it can be judged, nothing new is shared.
    """
    works, chosen = tuple(works), tuple(shares)
    least = judge(build(share(works, chosen, held=_keys(shares))[0]))
    if least is None:
        return chosen
    waiting = list(propose(works, shares=chosen, **wanted))
    while waiting and tries > 0:
        one = waiting.pop(0)
        _, kept = share(works, [one])
        barred = is_apart(one, wanted.get("apart", ()))
        if not kept or barred or _clashes(one, chosen) or not accept(one):
            continue
        tries -= 1
        harm = judge(build(share(works, (*chosen, one), held=_keys(shares))[0]))
        if harm is not None and harm <= least:
            chosen, least = (*chosen, kept[0]), harm
        else:
            waiting += narrower(one)
    return chosen


def _keys(shares) -> frozenset[str]:
    return frozenset(one.key for one in shares)


def _clashes(one: Share, chosen: Sequence[Share]) -> bool:
    """True when something of this share is in another one already."""
    for other in chosen:
        if other.key == one.key or set(one.jobs) & set(other.jobs):
            return True
        same = (one.kind, one.name) == (other.kind, other.name) and not one.jobs
        if same and set(one.orders) & set(other.orders):
            return True
    return False

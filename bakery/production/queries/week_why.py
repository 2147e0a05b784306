"""Why a run stands where it stands: its way over work and drying to the hand-over."""

from dataclasses import dataclass
from datetime import timedelta

from django.db.models import Q

from bakery.craft.planning import problem_from_json
from bakery.orders.models import Order

from .. import words
from ..chains import chain_of, tails_of
from ..models import Job, JobShare
from . import freshness
from .whys import _steps


@dataclass(frozen=True)
class RunWhy:
    key: str
    order: int
    title: str
    steps: tuple
    closing: str


def why_run(problem, plan, key: str, now) -> RunWhy | None:
    """The reason chain of the task `key`, or None when it is no work that the plan still has to do."""
    starts = plan.plan["starts"]
    task = next((one for one in problem.tasks if one.id == key), None)
    if task is None or not task.free or key not in starts:
        return None
    tails = tails_of(problem)
    numbers = [one[1:] for one in task.orders if one[1:].isdigit()]
    shared = JobShare.objects.filter(order__number__in=numbers).values("job")
    mine = Q(order__number__in=numbers) | Q(pk__in=shared)
    jobs = Job.objects.filter(mine).only("key", "kind", "title")
    rows = {row.key: (row.kind, row.title) for row in jobs}
    try:
        chain = chain_of(problem, starts, key, tails, lambda name: rows.get(name, (_kind(problem, name), "")))
    except KeyError:  # a link of the way was placed by hand since: the next plan has it again
        return None
    spec = next(one for one in problem.orders if one.id == chain["order"])
    order = Order.objects.filter(number=spec.id[1:]).first() if spec.id[1:].isdigit() else None
    if order is None:
        return None
    closing = _closing(problem, starts, spec, chain, now)
    return RunWhy(key, order.number, order.title, tuple(_steps(chain["steps"], now)), closing)


def why_now(key: str, now) -> RunWhy | None:
    """The same, read from the plan on the wall."""
    plan = freshness.wall() if key else None
    return why_run(problem_from_json(plan.problem), plan, key, now) if plan else None


def _kind(problem, name: str) -> str:
    return next(task.kind for task in problem.tasks if task.id == name)


def _closing(problem, starts, spec, chain, now) -> str:
    """When the last link ends and how long before the hand-over that is."""
    last = next(task for task in problem.tasks if task.id == chain["path"][-1])
    end = (starts[last.id] if last.free else last.start) + last.minutes
    at = words.day_and_time(problem.origin + timedelta(minutes=end), now)
    spare = spec.pickup - end
    if spare < 0:
        return f"Ready {at}: {words.length(-spare)} after the hand-over."
    return f"Ready {at}: {words.length(spare)} before the hand-over."

"""A small kitchen on a Tuesday evening: one order that needs tonight, one that has time."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import time_machine

from bakery.craft.planning import verify
from bakery.production.adapters import current_problem
from bakery.production.models import Job, Plan
from bakery.production.services import make_plan
from tests.factories import KindFactory, OrderFactory, ReadingFactory, StudioFactory

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 11, 24, 17, 30, tzinfo=LONDON)  # a Tuesday; baking hours 18:30 to 22:30
NEXT_MORNING = datetime(2026, 11, 25, 7, 5, tzinfo=LONDON)


def at(hour, minute=0, *, days=0):
    return NOW.replace(hour=hour, minute=minute) + timedelta(days=days)


@pytest.fixture
def clock():
    """The time machine: `clock.move_to(moment)`; it begins at NOW and stands still."""
    with time_machine.travel(NOW, tick=False) as machine:
        yield machine


@pytest.fixture
def kitchen(db, clock):
    """Started, with a dry room; ferns for Friday that are baked, and plain rounds for the week after."""
    StudioFactory(started_at=NOW - timedelta(days=30))
    ReadingFactory(at=NOW - timedelta(hours=1))
    ferns = OrderFactory(
        number=118, title="Botanical supper", hand_over_at=at(15, days=3), event_at=at(20, days=3),
        lines__kind=KindFactory(key="stencil_detail"), lines__quantity=24, lines__colours=3, lines__spares=0,
        lines__stage="baked", lines__stage_at=NOW - timedelta(hours=20),
    )  # fmt: skip
    rounds = OrderFactory(
        number=119, title="Rowing tea", hand_over_at=at(12, days=11), lines__quantity=24, lines__spares=0
    )
    return {"ferns": ferns, "rounds": rounds}


@pytest.fixture
def planned(kitchen):
    """The kitchen with its first plan on the wall."""
    assert make_plan(now=NOW) == "wall"
    return kitchen


def wall() -> Plan:
    return Plan.objects.get(state=Plan.State.WALL)


def proposed() -> Plan | None:
    return Plan.objects.filter(state=Plan.State.PROPOSED).first()


def tonights(day=NOW) -> list[Job]:
    return [job for job in Job.objects.exclude(planned_start=None).order_by("planned_start", "key")
            if job.planned_start.astimezone(LONDON).date() == day.date()]  # fmt: skip


def planned_starts():
    return dict(Job.objects.exclude(planned_start=None).values_list("key", "planned_start"))


def broken_rules(now) -> list[str]:
    """What the jobs' places break, taken as a plan for the rows as they stand: nothing, when all is right."""
    problem, _ = current_problem(now=now)
    return verify(problem, {task.id: problem.wall[task.id] for task in problem.tasks
                            if task.free and task.id in problem.wall})  # fmt: skip

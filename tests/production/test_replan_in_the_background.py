"""The working out of a plan as a background computation: progress, called off, killed and taken up again."""

from datetime import timedelta
from itertools import pairwise

import pytest
from django.utils import timezone

from bakery.background import ownership
from bakery.background.kinds import Superseded
from bakery.background.models import Computation
from bakery.background.running import Report, run
from bakery.background.services import cancel
from bakery.production import replan as replanning
from bakery.production import working_out
from bakery.production.models import Job, Plan
from bakery.production.services import ask_for_plan, make_plan
from bakery.production.tasks import replan
from bakery.studio.services import change_date
from tests.factories import KindFactory, OrderFactory

from .conftest import NOW, at, broken_rules, proposed

pytestmark = pytest.mark.django_db
State = Computation.State


@pytest.fixture
def hurt(planned):
    """An order that cannot be on time any more: a long search begins."""
    OrderFactory(number=140, title="Too soon", hand_over_at=at(23), lines__quantity=36, lines__spares=0,
                 lines__kind=KindFactory(key="two_colour"))  # fmt: skip
    change_date(day=NOW.date(), kind="off")
    ask_for_plan(reason="You said: Tuesday is off.")
    return Computation.objects.get(kind="replan", state=State.QUEUED)


@pytest.fixture
def slices(monkeypatch):
    """Searches in many short slices, every report written down."""
    monkeypatch.setattr(replanning, "SLICE", 0.05)
    monkeypatch.setattr(working_out, "USUAL", 0.6)
    monkeypatch.setattr(Report, "SECONDS_BETWEEN_WRITES", 0.0)


def test_it_says_how_far_it_is(hurt, slices):
    said = []
    replan(hurt.args, lambda share, note="": said.append((share, note)))
    shares = [share for share, _ in said]
    assert shares == sorted(shares)
    assert {"looking at the orders", "placing the work", "looking at tonight"} <= {note for _, note in said}
    assert 0 < max(shares) <= 1


def test_called_off_it_stops_and_leaves_everything_as_it_was(hurt, slices, monkeypatch):
    def everything():
        return [*Plan.objects.values_list("pk", "state"), *Job.objects.values_list("key", "planned_start")]

    before = everything()
    real, calls = working_out.decide_quickly, []

    def called_off(*args, **options):
        calls.append(cancel(pk=hurt.pk))
        return real(*args, **options)

    monkeypatch.setattr(working_out, "decide_quickly", called_off)
    assert run(hurt.pk, beating=False) == "superseded"
    assert calls
    assert everything() == before


def test_killed_half_way_it_is_taken_up_again_and_saved_once(hurt):
    """The first worker falls silent after computing, comes back late, and changes nothing."""
    assert ownership.claim(hurt.pk, "dead") is not None
    late_effects = replan(hurt.args, lambda share, note="": None)
    Computation.objects.filter(pk=hurt.pk).update(heartbeat=timezone.now() - timedelta(days=1))
    assert run(hurt.pk, beating=False) == "done"
    after = proposed()
    plans = set(Plan.objects.values_list("pk", "state"))
    with pytest.raises(Superseded):
        ownership.finish(hurt.pk, "dead", late_effects)
    assert set(Plan.objects.values_list("pk", "state")) == plans
    assert Plan.objects.filter(state=Plan.State.PROPOSED).count() == 1
    assert proposed().pk == after.pk
    hurt.refresh_from_db()
    assert (hurt.state, hurt.attempt) == (State.DONE, 2)


def test_what_changed_meanwhile_is_not_overwritten_but_worked_out_again(hurt, run_queued):
    effects = replan(hurt.args, lambda share, note="": None)
    OrderFactory(number=141, title="Came in meanwhile", hand_over_at=at(12, days=9), lines__quantity=12)
    Computation.objects.filter(pk=hurt.pk).update(state=State.DONE)
    assert effects() == {"kind": "changed"}
    run_queued("replan")
    assert "o141" in {order["id"] for order in (proposed() or Plan.objects.first()).problem["orders"]}


@pytest.mark.slow
def test_a_hundred_orders_are_planned_and_a_lost_evening_is_answered(kitchen, capsys):
    """Printed: how long the first plan, the first answer and the closer look take."""
    from time import perf_counter

    kinds = [KindFactory(key=key) for key in ("plain", "two_colour", "stencil")]
    for number in range(200, 300):
        OrderFactory(
            number=number, title=f"Order {number}", hand_over_at=at(16, days=4 + (number - 200) * 9 // 10),
            lines__kind=kinds[number % 3], lines__quantity=12 + number % 3 * 6, lines__spares=1,
        )  # fmt: skip
    took = [("first plan", perf_counter())]
    assert make_plan(now=NOW) == "wall"
    took.append(("first answer to a lost evening", perf_counter()))
    change_date(day=NOW.date(), kind="off")
    look = working_out.first_look(now=NOW, reason="You said: Tuesday is off.")
    took.append(("closer look", perf_counter()))
    assert look.outcome.kind in ("proposed", "same")
    make_plan(now=NOW, reason="You said: Tuesday is off.")
    took.append(("", perf_counter()))
    with capsys.disabled():
        jobs = Job.objects.count()
        for (name, begun), (_, ended) in pairwise(took):
            print(f"\n  {jobs} jobs, {name}: {ended - begun:.1f} s", end="")
    if proposed() is None:
        assert broken_rules(NOW) == []


def test_a_plan_taken_while_another_is_worked_out_stays_agreed(hurt, monkeypatch):
    """What was being worked out is out of date then, and does not come back as a second proposal."""
    monkeypatch.setattr("bakery.production.tasks.save_outcome", lambda found: "changed")
    effects = replan(hurt.args, lambda share, note="": None)
    Computation.objects.filter(pk=hurt.pk).update(state=State.RUNNING)
    ask_for_plan(reason="", settled=True)  # as taking a proposal does
    assert effects() == {"kind": "changed"}
    hurt.refresh_from_db()
    assert hurt.rerun
    assert hurt.rerun_args["settled"]

"""The room, touches and the dryer in the plan: a reading moves only its 36 hours, a finger the rest."""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import pytest
from django.urls import reverse

from bakery.craft.planning import plan_from_json, problem_from_json, verify
from bakery.orders.adapters import spec_to_plan
from bakery.orders.models import Order
from bakery.paperwork.day import day_of, day_sheet
from bakery.production import words
from bakery.production.adapters import current_problem
from bakery.production.also import read_also, store
from bakery.production.asking import ask
from bakery.production.levers import drying_levers
from bakery.production.models import Job, Setback
from bakery.production.other_ways import ways_out
from bakery.production.queries.tonight import tonight_view
from bakery.production.scene import SLOW
from bakery.production.services import (
    another_way,
    answer_now,
    finish_run,
    make_plan,
    start_run,
    still_wet,
    undo_setback,
)
from bakery.production.services.touches import touched
from bakery.production.touching import hard_after, lying
from bakery.studio import adapters as studio
from bakery.studio.models import Reading, Studio, Touch
from bakery.studio.touches import refuse_touch
from tests.factories import OrderFactory, ReadingFactory

from .conftest import NOW, at, proposed, tonights, wall

pytestmark = pytest.mark.django_db


def lags(now=NOW):
    """Minutes of each wait that is a drying, by the jobs between which it lies."""
    problem, _ = current_problem(now=now)
    return {(lag.before, lag.after): lag.min for lag in problem.lags if "dry" in lag.why}


def begins(key):
    return Job.objects.get(key=key).planned_start


def damp(now=NOW, **more):
    return ReadingFactory(at=now, **({"temperature_c": 19, "humidity_percent": 63, "fan": False} | more))


def floods():
    return [job for job in tonights() if job.kind == "flood"]


def test_a_damp_reading_moves_only_what_is_laid_within_its_hours(planned):
    before, view = lags(), tonight_view(NOW)
    damp()
    after = lags()
    assert before.keys() == after.keys()
    changed = {pair[0] for pair in after if after[pair] > before[pair]}
    same = {pair[0] for pair in after if after[pair] == before[pair]}
    far = {job.key for job in Job.objects.filter(planned_start__gte=NOW + SLOW)}
    assert {job.key for job in floods()} <= changed
    assert changed, "tonight's floods take longer"
    assert not changed & far, "what is laid later dries in a usual month"
    assert same & far
    make_plan(now=NOW)
    plan = proposed() or wall()
    told = plan.tonight["dry"]
    tonight = {job.key for job in floods()}
    old = {key: run.dry_slow for run in view.runs for key in run.keys if key in tonight}
    slower = [key for key in tonight & set(told) & set(old) if told[key]["slow"] > before_slow(before, key)]
    assert slower, "tonight's list says later"
    assert verify(problem_from_json(plan.problem), plan_from_json(plan.plan)) == []


def before_slow(before, key):
    return max(minutes for (first, _), minutes in before.items() if first == key)


def test_a_reading_of_the_day_before_yesterday_moves_nothing(planned):
    ordinary = lags(NOW)
    Reading.objects.all().delete()
    usual = lags(NOW)
    damp(NOW - SLOW - timedelta(hours=1))
    assert lags(NOW) == usual
    assert ordinary.keys() == usual.keys()


def test_new_order_asks_with_the_slow_figure_of_the_room(planned):
    spec, slow = spec_to_plan(planned["ferns"]), []
    for humidity in (40, 64):
        Reading.objects.all().delete()
        damp(humidity_percent=humidity)
        asked = replace(spec, id="o900", hand_over=at(15, days=2), event=None)
        _, works = current_problem(now=NOW, extra=asked)
        slow.append(max(wait.slow_minutes for wait in works["o900"].waits if wait.kind == "base_dry"))
        assert slow[-1] == studio.drying(NOW).wait("base_dry").slow
    assert slow[1] > slow[0]


def test_new_order_says_no_where_the_room_is_too_damp_and_yes_where_it_is_dry(planned):
    spec = replace(spec_to_plan(planned["ferns"]), id="o900", hand_over=at(15, days=3), event=None)
    said = []
    for humidity in (35, 74):
        Reading.objects.all().delete()
        damp(temperature_c=22, humidity_percent=humidity, fan=humidity == 35)
        Order.objects.filter(number=118).delete()
        said.append(ask(spec, now=NOW).answer)
    assert said == ["yes", "no"]


def test_the_day_sheet_says_the_slow_figure_of_the_room(planned):
    last = max(floods(), key=lambda job: job.planned_end)
    told = day_of(NOW.date(), NOW).drying(last.key)["slow"]
    damp()
    slow = day_of(NOW.date(), NOW).drying(last.key)["slow"]
    assert slow == studio.drying(NOW).wait("base_dry").slow > told
    dry = words.on_five(last.planned_end + timedelta(minutes=slow))
    assert words.clock(dry) in repr(day_sheet(NOW.date(), now=NOW))


def test_an_unplanned_order_far_ahead_is_asked_with_a_usual_month(planned):
    damp()
    order = OrderFactory(number=140, hand_over_at=at(12, days=20), lines__quantity=12)
    _, works = current_problem(now=NOW, extra=spec_to_plan(order), without=(order.key,))
    waits = [wait.slow_minutes for wait in works["o140"].waits if wait.kind in ("base_dry", "dry_through")]
    assert max(waits) == studio.usual_drying(order.hand_over_at).wait("dry_through").slow


# Touches


@pytest.fixture
def flooded(planned, clock):
    """Tonight's list done as planned; it is the next morning."""
    for job in tonights():
        clock.move_to(job.planned_start)
        start_run(keys=[job.key], now=job.planned_start)
        finish_run(keys=[job.key], now=job.planned_end)
    morning = at(8, days=1)  # too early for a slow night
    clock.move_to(morning)
    make_plan(now=morning)
    return morning


def test_a_hard_touch_ends_the_wait_and_teaches(flooded):
    keys = [job.key for job in Job.objects.filter(kind="flood", state=Job.State.DONE)]
    before = lags(flooded)
    touches, wrong = touched(keys=keys, hard=True, now=flooded)
    assert wrong is None
    assert {touch.job for touch in touches} == set(keys)
    assert hard_after(flooded).keys() == set(keys)
    after = lags(flooded)
    first = [pair for pair in after if pair[0] in keys]
    assert first
    assert all(after[pair] < before[pair] for pair in first)
    assert studio.drying(flooded).bias.mean < 0
    assert touched(keys=keys, hard=True, now=flooded + timedelta(seconds=20))[0], "twice is once"
    assert Touch.objects.count() == len(keys)


def test_a_touch_that_she_takes_back_is_asked_for_again(flooded):
    key = floods_done()[0].key
    kept, _ = touched(keys=[key], hard=True, now=flooded)
    assert key not in {job.key for job in lying(flooded)}
    refuse_touch(pk=kept[0].pk)
    assert key in {job.key for job in lying(flooded)}


def test_soft_before_the_slow_figure_is_only_kept(flooded):
    keys = [floods_done()[0].key]
    touches, wrong = touched(keys=keys, hard=False, now=floods_done()[0].done_at + timedelta(hours=2))
    assert len(touches) == 1
    assert wrong is None
    assert not Setback.objects.exists()


def floods_done():
    return list(Job.objects.filter(kind="flood", state=Job.State.DONE).order_by("done_at"))


def test_soft_after_the_slow_figure_is_a_bad_night_with_levers(flooded, clock, signed_in):
    last = floods_done()[-1]
    late = last.done_at + timedelta(minutes=studio.drying(flooded).wait("base_dry").slow + 30)
    clock.move_to(late)
    response = signed_in.post(reverse("touched"), {"soft": last.key})
    assert response.url != reverse("tonight") + "?list", list(Touch.objects.values())
    said = Setback.objects.get()
    assert response.url == reverse("answer", args=[said.pk])
    page = signed_in.get(response.url).content.decode().replace("\u00a0", " ")
    assert "What helps" in page
    assert "usually dry in" in page
    assert touched(keys=[last.key], hard=True, now=late + timedelta(hours=1))[0]
    assert last.key in hard_after(late + timedelta(hours=1)), "the last word counts"


def test_hard_then_said_to_be_wet_is_wet(flooded):
    key = floods_done()[0].key
    touched(keys=[key], hard=True, now=flooded)
    still_wet(keys=[key], now=flooded + timedelta(minutes=5))
    assert hard_after(flooded + timedelta(minutes=6)) == {}


def test_tonight_asks_for_a_touch_before_a_spray_run(flooded, signed_in, clock):
    view = tonight_view(flooded)
    sprays = [run for run in view.runs if run.kind == "spray"]
    assert sprays, "the ferns are sprayed that evening"
    assert view.touch
    assert "before it is sprayed" in view.touch[0].text.lower()
    page = signed_in.get(reverse("tonight") + "?list").content.decode()
    assert "Touch the middle of the thickest" in page
    signed_in.post(reverse("touched"), {"hard": " ".join(view.touch[0].keys)})
    assert not [ask for ask in tonight_view(flooded).touch if ask.keys == view.touch[0].keys]


def test_the_morning_page_takes_a_touch_and_stays(planned, clock, signed_in):
    clock.move_to(at(7, days=1))
    page = signed_in.get(reverse("tonight")).content.decode()
    assert "Touch the middle of the thickest" in page
    assert 'name="soft"' in page
    keys = " ".join(job.key for job in floods())
    response = signed_in.post(reverse("touched"), {"hard": keys, "back": "morning", "answer": "", "day": "x"})
    assert response.url == reverse("morning")
    assert "Touched." in signed_in.get(response.url).content.decode()
    assert Touch.objects.filter(hard=True).count() == len(floods())


@pytest.mark.parametrize(
    "said",
    [{}, {"hard": ""}, {"hard": "nothing here"}, {"soft": "x" * 5000}, {"hard": "o1\x00"}, {"back": "x"}],
)
def test_a_touch_of_nothing_is_said_kindly(planned, signed_in, said):
    assert signed_in.post(reverse("touched"), said).status_code == 302
    assert not Touch.objects.exists()


def test_work_that_is_not_laid_yet_cannot_be_touched(planned):
    assert touched(keys=[floods()[0].key], hard=True, now=NOW) == ([], None)


# Levers and the dryer


def test_levers_say_hours_and_the_dryer_its_cookies(kitchen):
    Studio.objects.update(dryer_trays=1, cookies_per_tray=12)
    damp(humidity_percent=74)
    told = [text.replace("\u00a0", " ") for text in drying_levers(NOW)]
    assert any(text.startswith("Heat by 3 °C and dehumidify to 55 %: usually dry in 1") for text in told)
    assert any(text.startswith("The dryer, 12 cookies at a time: usually dry in ") for text in told)
    assert not any("mm next time" in text for text in told), "no coat is thin enough for such air"


def test_tonight_says_that_it_will_not_harden_and_what_helps(planned):
    damp(humidity_percent=74)
    told = " ".join(tonight_view(NOW).damp).replace("\u00a0", " ")
    assert told.startswith("What you flood won’t harden tonight as it is. ")
    assert "dehumidify to 55 %: " in told


def test_on_a_dry_night_tonight_says_nothing_of_it(planned):
    assert tonight_view(NOW).damp == ()


def test_trays_in_the_dryer_wait_less_and_take_its_places(planned):
    Studio.objects.update(dryer_trays=1)
    keys = [job.key for job in floods()]
    before = lags()
    another_way(title="The ferns dry in the dryer", now=NOW, dryer=keys)
    after, problem = lags(), current_problem(now=NOW)[0]
    first = [pair for pair in before if pair[0] in keys]
    assert all(after[pair] < before[pair] for pair in first)
    assert {hold.after for hold in problem.holds if hold.resource == "dryer"} == set(keys)
    assert problem.resources["dryer"] == 1
    make_plan(now=NOW)
    plan = proposed() or wall()
    assert verify(problem_from_json(plan.problem), plan_from_json(plan.plan)) == []
    ends = sorted(
        (plan.plan["starts"][key], next(t["minutes"] for t in plan.problem["tasks"] if t["id"] == key))
        for key in keys
        if key in plan.plan["starts"]
    )
    minutes = min(hold.minutes for hold in problem.holds if hold.resource == "dryer")
    for (one, long), (other, length) in pairwise(ends):
        assert one + long + minutes <= other + length, "one tray at a time"


def test_a_touch_in_the_dryer_teaches_the_dryer_alone(flooded):
    """What went in at once teaches it; what lay in the room before teaches nothing, and is shown."""
    Studio.objects.update(dryer_trays=4)
    first, last = floods_done()[0], floods_done()[-1]
    room = studio.drying(flooded).bias
    another_way(title="At once", now=first.done_at + timedelta(minutes=10), dryer=[first.key])
    another_way(title="Later", now=last.done_at + timedelta(hours=4), dryer=[last.key])
    kept, wrong = touched(keys=[first.key, last.key], hard=True, now=flooded)
    assert wrong is None
    assert {touch.air for touch in kept} == {"dryer"}
    assert {touch.job for touch in kept if touch.model_hours} == {first.key}
    assert studio.drying(flooded).bias == room
    assert studio.drying(flooded, air="dryer").bias.mean != 0
    assert hard_after(flooded).keys() == {first.key, last.key}, "the plan takes them as hard all the same"


def test_the_dryer_is_offered_on_a_bad_night_where_a_plan_shows_that_it_helps(flooded, signed_in, run_queued):
    """The ferns stay wet for days as they lie; in the dryer they are dry by the evening."""
    keys = [job.key for job in floods_done()]
    said = still_wet(keys=keys, now=flooded, dry_by=flooded + timedelta(days=4))
    answer_now(reason=said.words, now=flooded)
    assert proposed().plan["late"]
    assert not [way for way in ways_out(said, proposed(), flooded) if way.value.startswith("dryer:")]
    Studio.objects.update(dryer_trays=len(keys))
    way = next(way for way in ways_out(said, proposed(), flooded) if way.value.startswith("dryer:"))
    assert way.words.startswith("Into the dryer now: ")
    assert way.gain == "every hand-over holds"
    response = signed_in.post(reverse("answer_way", args=[said.pk]), {"use": way.value})
    dried = Setback.objects.get(kind="way")
    assert response.url == reverse("answer", args=[dried.pk])
    run_queued("replan")
    plan = proposed() or wall()
    assert not plan.plan["late"]
    assert verify(problem_from_json(plan.problem), plan_from_json(plan.plan)) == []
    undo_setback(pk=dried.pk, now=flooded)
    assert "dryer" not in {hold.resource for hold in current_problem(now=flooded)[0].holds}


def test_no_more_trays_go_in_than_it_has_places(flooded):
    said = still_wet(keys=[job.key for job in floods_done()], now=flooded, dry_by=flooded + timedelta(days=4))
    answer_now(reason=said.words, now=flooded)
    Studio.objects.update(dryer_trays=1)
    ways = [way for way in ways_out(said, proposed(), flooded) if way.value.startswith("dryer:")]
    assert all(len(way.value.split(";")) == 1 for way in ways)


def test_new_order_offers_the_dryer_on_a_no_and_keeps_it_with_the_order(planned, signed_in):
    Studio.objects.update(dryer_trays=4)
    damp(humidity_percent=74)
    spec = replace(spec_to_plan(planned["ferns"]), id="o900", hand_over=at(15, days=3), event=None)
    Order.objects.filter(number=118).delete()
    assert ask(spec, now=NOW).answer == "no"
    assert ask(spec, now=NOW, also=read_also("dryer", now=NOW)).answer == "yes"
    order = OrderFactory(number=150, hand_over_at=at(23, days=5), lines__quantity=12)
    assert store(read_also("dryer", now=NOW), now=NOW, order=order) == [
        "Its trays are planned into the dryer."
    ]
    problem, _ = current_problem(now=NOW)
    assert [hold for hold in problem.holds if hold.resource == "dryer" and hold.after.startswith("o150.")]


def test_without_a_dryer_none_is_offered(planned):
    assert not any("dryer" in text.lower() for text in drying_levers(NOW))


def test_tonights_form_of_the_room_asks_about_a_room_no_tray_stands_in(planned, signed_in):
    said = {"temperature_c": "2", "humidity_percent": "80", "where": "trays"}
    page = signed_in.post(reverse("room_reading"), said).content.decode().replace("\u00a0", " ")
    assert "Is that from the weather report?" in page
    assert Reading.objects.count() == 1

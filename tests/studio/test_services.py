"""Each write: once however often it is pressed, checked before it is kept, and told to the plan."""

from datetime import date, time, timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from bakery.studio import services
from bakery.studio.answers import USUAL_HOURS, StartAnswers, Stint, stints_between, stints_of
from bakery.studio.models import BakingHours, HoursChange, Outage, Studio
from bakery.studio.signals import studio_changed

pytestmark = pytest.mark.django_db
USUAL = StartAnswers(stints_of(USUAL_HOURS))


@pytest.fixture
def told():
    reasons = []

    def hear(sender, reason, **more):
        reasons.append(reason)

    studio_changed.connect(hear)
    yield reasons
    studio_changed.disconnect(hear)


def test_starting_keeps_the_answers(told, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        services.start_studio(answers=StartAnswers(USUAL.stints, 12, 8, 24, Decimal("18")))
    studio = Studio.objects.get()
    assert (studio.cookies_per_sheet, studio.rack_places, studio.cookies_per_batch) == (12, 8, 24)
    assert studio.cookies_per_tray == 12
    assert studio.started
    assert BakingHours.objects.count() == 5
    assert told == ["she started"]


def test_starting_twice_starts_once():
    services.start_studio(answers=USUAL)
    services.start_studio(answers=StartAnswers((Stint(0, time(9), time(10)),), rack_places=1))
    assert Studio.objects.get().rack_places == 12
    assert BakingHours.objects.count() == 5


def test_the_example_is_left_before_her_own_is_started():
    Studio.objects.create(pk=1, is_example=True, started_at=timezone.now())
    with pytest.raises(services.AlreadyBaking, match="Leave the example"):
        services.start_studio(answers=USUAL)


def test_hours_that_end_before_they_begin_leave_the_old_week_alone():
    services.save_hours(stints=USUAL.stints)
    with pytest.raises(ValidationError):
        services.save_hours(stints=[Stint(0, time(10), time(9))])
    assert BakingHours.objects.count() == 5


def test_a_setting_out_of_range_is_refused():
    services.start_studio(answers=USUAL)
    with pytest.raises(ValidationError):
        services.change_settings(values={"rack_places": 0})


def test_saving_what_is_already_so_is_no_change(told, django_capture_on_commit_callbacks):
    services.start_studio(answers=USUAL)
    with django_capture_on_commit_callbacks(execute=True):
        services.change_settings(values={"rack_places": 12})
    assert told == []


def test_a_date_is_off_once_and_the_last_word_counts():
    day = date(2027, 1, 5)
    services.change_date(day=day, kind="off")
    services.change_date(day=day, kind="off")
    services.change_date(day=day, kind="instead", start=time(9), end=time(12))
    services.change_date(day=day, kind="extra", start=time(20), end=time(21))
    assert list(HoursChange.objects.values_list("kind", flat=True)) == ["instead", "extra"]


def test_a_tool_reported_twice_is_out_once_and_comes_back_early():
    now = timezone.now()
    said = {"resource": "airbrush", "start": now - timedelta(hours=1), "end": now + timedelta(days=2)}
    services.report_outage(**said)
    outage = services.report_outage(**said)
    assert Outage.objects.count() == 1
    services.end_outage(pk=outage.pk, now=now)
    services.end_outage(pk=outage.pk, now=now)
    assert Outage.objects.get().end == now


def test_an_outage_that_has_not_begun_is_taken_back_whole():
    now = timezone.now()
    outage = services.report_outage(
        resource="oven", start=now + timedelta(days=1), end=now + timedelta(days=2)
    )
    services.end_outage(pk=outage.pk, now=now)
    assert not Outage.objects.exists()


def test_ticked_tiles_that_touch_become_one_stretch():
    assert stints_of({(5, "morning"), (5, "midday")}) == (Stint(5, time(9), time(15)),)


def test_overlapping_parts_of_a_day_never_count_twice():
    parts = {"morning": (time(9), time(13)), "midday": (time(12), time(15)), "evening": (time(18), time(20))}
    assert stints_between({(0, "morning"), (0, "midday")}, parts) == (Stint(0, time(9), time(15)),)

"""The Drying page: hours for now, levers, touches with what they taught; bad input gets a sentence."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from bakery.studio.models import Reading, Studio, Touch
from bakery.studio.touches import Tray, record_touch
from tests.factories import ReadingFactory, StudioFactory

pytestmark = pytest.mark.django_db
PAGE = "/drying/"


def words(answer) -> str:
    return answer.content.decode().replace("\u00a0", " ").replace("&nbsp;", " ")


def touch(number, hours, hard, *, days=0):
    at = timezone.now() - timedelta(days=days, minutes=number)
    tray = Tray(f"o{number}.l1.flood.1", at - timedelta(hours=hours))
    return record_touch(trays=[tray], hard=hard, at=at)


def test_without_a_reading_a_typical_month_is_assumed_and_said(signed_in):
    StudioFactory()
    page = words(signed_in.get(PAGE))
    assert "A 2.5 mm coat dries in 12 h 25." in page
    assert "On a slow night in 19 h 30" in page
    assert f"a typical {timezone.localtime():%B} is assumed" in page
    assert "These figures are ours, without a source" in page


def test_a_thinner_coat_and_a_fan_are_one_press_away(signed_in):
    StudioFactory()
    page = words(signed_in.get(PAGE, {"mm": "2.0", "air": "fan"}))
    assert "A 2 mm coat dries in 4 h 50" in page
    assert "50 %, a fan" in page


@pytest.mark.parametrize("mm", ["much", "99", "-3", "nan", "inf", "1e400", "２", "2.5; drop"])
def test_a_thickness_that_is_none_gets_a_sentence(signed_in, mm):
    StudioFactory()
    answer = signed_in.get(PAGE, {"mm": mm, "air": "storm"})
    assert answer.status_code == 200
    if mm != "２":
        assert "thick" in words(answer)


def test_in_wet_air_it_never_shows_a_finite_time_but_levers_with_hours(signed_in):
    StudioFactory(dryer_trays=1, cookies_per_tray=12)
    ReadingFactory(temperature_c=19, humidity_percent=74)
    page = words(signed_in.get(PAGE))
    assert "It won’t harden here as it is." in page
    assert page.count(">never<") == 4, "base dry and wafer, usually and on a slow night"
    assert "Heat by 3 °C and dehumidify to 55 %" in page
    assert "The dryer, 12 cookies at a time" in page
    assert "slow night</text>" not in page


def test_a_reading_is_kept_in_place(signed_in):
    StudioFactory()
    said = {"temperature_c": "19", "humidity_percent": "58", "where": "trays"}
    assert signed_in.post(PAGE, said).url == PAGE
    assert Reading.objects.get().humidity_percent == 58
    wrong = signed_in.post(PAGE, said | {"humidity_percent": "many"})
    assert wrong.status_code == 422
    assert "Give a number" in words(wrong)


def test_a_room_colder_than_the_model_is_no_error(signed_in):
    StudioFactory()
    ReadingFactory(temperature_c=-12, humidity_percent=40)
    assert signed_in.get(PAGE).status_code == 200


def test_touches_say_what_they_taught_and_can_be_left_out(signed_in):
    StudioFactory()
    for number in range(1, 8):
        touch(number, 15.5, False, days=number)
    page = words(signed_in.get(PAGE))
    assert "times slower than the book in still air: rests on 7 touches" in page
    assert "Soft after 15 h 30" in page
    slow = Touch.objects.first()
    signed_in.post(reverse("touch_refuse", args=[slow.pk]), {"refused": "yes"})
    page = words(signed_in.get(PAGE))
    assert "rests on 6 touches" in page
    assert "Does not count: you said so." in page
    signed_in.post(reverse("touch_refuse", args=[slow.pk]), {"refused": "no"})
    assert "rests on 7 touches" in words(signed_in.get(PAGE))
    signed_in.post(reverse("air_reset"), {"air": "still"})
    assert "Nothing is known in still air yet" in words(signed_in.get(PAGE))
    assert Touch.objects.count() == 7, "put aside, not thrown away"


def test_a_slip_is_held_back_and_shown(signed_in):
    StudioFactory()
    for number in range(1, 8):
        touch(number, 11, False, days=number)
        record_touch(trays=[Tray(f"o{number}.l1.flood.1", timezone.now() - timedelta(days=number, hours=11))],
                     hard=True, at=timezone.now() - timedelta(days=number) + timedelta(hours=3))  # fmt: skip
    touch(30, 1, True)
    page = words(signed_in.get(PAGE))
    assert "One held back: the others do not explain it." in page
    assert "Held back: the other touches do not explain it." in page


@pytest.mark.parametrize("said", [{}, {"air": "storm"}, {"air": "still"}])
def test_beginning_anew_with_nothing_is_quiet(signed_in, said):
    assert signed_in.post(reverse("air_reset"), said).url == PAGE


def test_a_touch_that_is_not_there_is_quiet(signed_in):
    assert signed_in.post(reverse("touch_refuse", args=[10**12])).url == PAGE
    assert signed_in.post(f"/drying/touch/{10**30}/").url == PAGE


def test_her_own_year_takes_the_place_of_ours(signed_in):
    StudioFactory()
    year = {f"m{number}": "60" for number in range(1, 13)}
    assert signed_in.post(reverse("drying_year"), year).url == PAGE
    assert Studio.objects.get().month_humidity == [60] * 12
    page = words(signed_in.get(PAGE))
    assert "60 %, still air" in page
    assert "These are your figures" in page
    wrong = signed_in.post(reverse("drying_year"), year | {"m3": "wet", "m4": "", "m5": "99"})
    assert wrong.status_code == 422
    assert "Give a whole number" in words(wrong)
    assert "How damp is April" in words(wrong)
    assert "it rains indoors" in words(wrong)
    assert Studio.objects.get().month_humidity == [60] * 12
    signed_in.post(reverse("drying_year"), {"ours": "yes"})
    assert Studio.objects.get().month_humidity == []


def test_queries_do_not_grow_with_touches(signed_in):
    StudioFactory()

    def count():
        with CaptureQueriesContext(
            connection,
        ) as found:
            signed_in.get(PAGE)
        return len(found)

    touch(1, 9, False)
    few = count()
    for number in range(2, 40):
        touch(number, 9 + number % 5, number % 2 == 0, days=number)
    assert count() == few
    assert few < 30


@pytest.mark.parametrize("page", ["/drying/", "/set-up/room/"])
def test_a_reading_that_no_tray_can_have_gets_a_sentence(signed_in, page):
    StudioFactory()
    page = reverse("setup_group", args=["room"]) if "set-up" in page else page
    said = {"temperature_c": "2", "humidity_percent": "80", "where": "trays"}
    assert "Is that from the weather report?" in words(signed_in.post(page, said))
    assert not Reading.objects.exists()
    assert signed_in.post(page, said | {"where": "weather"}).status_code == 302
    assert Reading.objects.exists()

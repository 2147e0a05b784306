"""Dough, icing and cookies too old after an evening lost are named where she decides and where she works."""

from datetime import timedelta

import pytest
from django.urls import reverse

from bakery.orders.models import OrderLine
from bakery.production.models import Job
from bakery.production.old_work import old_words
from bakery.production.services import answer_now, day_off, make_plan

from .conftest import NOW, at, proposed, wall

pytestmark = pytest.mark.django_db


@pytest.fixture
def old_dough(planned):
    """The dough of the rounds was made six days ago; dough keeps three."""
    dough, made = Job.objects.filter(order=planned["rounds"], kind="dough"), NOW - timedelta(days=6)
    dough.update(
        state="done", started_at=made - timedelta(minutes=30), done_at=made, said=True,
        planned_start=made - timedelta(minutes=30), planned_end=made,
    )  # fmt: skip
    return planned


def words_of(response) -> str:
    return " ".join(response.content.decode().split())


def test_tonight_says_which_dough_is_too_old_and_what_to_do(old_dough, signed_in):
    make_plan(now=NOW, force=True)
    row = next(row for row in wall().tonight["old"] if row["what"] == "the dough")
    assert row["keeps"] == 3 * 24 * 60
    assert row["made"] == (NOW - timedelta(days=6)).isoformat()
    page = words_of(signed_in.get(reverse("tonight") + "?list"))
    assert page.count("The dough of Wednesday for Rowing tea is") == 1, "two batches, said once"
    assert "it keeps 3 days. Make it fresh." in page


def test_the_answer_to_a_lost_evening_says_it_too_and_not_once_it_is_taken_back(old_dough, signed_in):
    said = day_off(days=[NOW.date()], now=NOW)
    answer_now(reason=said.words, now=NOW)
    page = words_of(signed_in.get(reverse("answer", args=[said.pk])))
    assert "The dough of Wednesday for Rowing tea is" in page
    signed_in.post(reverse("answer_undo", args=[said.pk]))
    assert "The dough of" not in words_of(signed_in.get(reverse("answer", args=[said.pk])))


def test_fresh_things_are_not_spoken_of(planned, signed_in):
    assert wall().tonight["old"] == []
    assert "too-old" not in words_of(signed_in.get(reverse("tonight") + "?list"))


def test_cookies_past_their_keeping_at_the_hand_over_are_named(planned, signed_in):
    """Baked four days ago for a hand-over in three days; she keeps cookies five days."""
    ferns = planned["ferns"]
    OrderLine.objects.filter(order=ferns).update(stage_at=NOW - timedelta(days=4))
    make_plan(now=NOW, force=True)
    plan = proposed() or wall()
    row = next(row for row in plan.tonight["old"] if row["what"] == "cookies")
    assert row["for"] == [ferns.key]
    assert "Cookies of Friday for Botanical supper are 7 days old at the hand-over" in old_words(
        [row], {ferns.key: ferns.title}, NOW
    )[0]  # fmt: skip


def test_what_can_still_be_used_in_time_says_until_when():
    row = {"what": "the icing (bone)", "made": (NOW - timedelta(days=6)).isoformat(), "for": ["o1"],
           "keeps": 7 * 1440, "used": (NOW + timedelta(days=2)).isoformat()}  # fmt: skip
    (said,) = old_words([row], {"o1": "Place cards"}, NOW)
    assert said == (
        "The icing (bone) of Wednesday for Place cards is 8 days old when you use it, Thursday; it keeps "
        "7 days. Use it by tomorrow 17:30, or make it fresh."
    )


def test_a_long_list_is_cut_short(planned):
    rows = [{"what": f"the dough {n}", "made": NOW.isoformat(), "for": [], "keeps": 60,
             "used": at(23).isoformat()} for n in range(5)]  # fmt: skip
    assert old_words(rows, {}, NOW)[-1] == "2 more things will be too old."
    assert old_words(None, {}, NOW) == ()

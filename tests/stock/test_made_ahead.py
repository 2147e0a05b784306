"""Dough, blanks and transfers in the cupboard: put down, spoken for, moved, gone, taken back."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.core.exceptions import ValidationError

from bakery.stock import ahead_words, made_ahead
from bakery.stock.models import AheadUse, MadeAhead
from tests import factories as make

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 24, 17, 30, tzinfo=ZoneInfo("Europe/London"))  # a Tuesday
DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def clock():
    with time_machine.travel(NOW, tick=False) as machine:
        make.StudioFactory()
        yield machine


def ovals(quantity=60, place="freezer", **rest):
    return made_ahead.make_ahead(what="blank", quantity=quantity, place=place, shape="oval 70 x 90", **rest)


def test_it_keeps_as_long_as_its_place_lets_it():
    assert ovals(place="tin").keeps_until == (NOW + 5 * DAY).date()
    assert ovals(place="freezer").keeps_until == (NOW + 80 * DAY).date()
    dough = made_ahead.make_ahead(what="dough", quantity=2, place="fridge")
    assert dough.keeps_until == (NOW + 4 * DAY).date()


def test_frozen_days_do_not_age(clock):
    item = ovals(place="tin")
    clock.shift(2 * DAY)
    item = made_ahead.move_ahead(item=item, place="freezer")
    assert item.aged_days == pytest.approx(2)
    clock.shift(20 * DAY)
    item = made_ahead.move_ahead(item=item, place="tin")
    assert item.aged_days == pytest.approx(2)
    assert item.keeps_until == (NOW + 22 * DAY + 3 * DAY).date()
    core = made_ahead.ahead_items({})[0][0]
    assert core.counts_as_made == NOW + 20 * DAY


def test_nobody_takes_more_than_there_is():
    item = ovals(10)
    made_ahead.use_ahead(item=item, quantity=7)
    with pytest.raises(ValidationError):
        made_ahead.use_ahead(item=item, quantity=4)
    assert made_ahead.lying()[0].left == 3
    assert made_ahead.gone(item=item).quantity == 3
    assert made_ahead.gone(item=item) is None
    assert made_ahead.lying() == ()


def test_taken_back_it_is_there_again():
    use = made_ahead.gone(item=ovals(10))
    assert made_ahead.take_back(use=use)
    assert not made_ahead.take_back(use=use)
    assert made_ahead.lying()[0].left == 10


def test_what_is_spoken_for_is_there_until_it_is_used():
    from bakery.craft.work import Use

    row = ovals(60)
    item = made_ahead.ahead_items({"o1"})[0][0]
    for _ in range(2):
        made_ahead.claim(uses=[Use(item, "o1", "l1", 24)], orders={"o1", "o2"})
    assert AheadUse.objects.count() == 1
    lying = made_ahead.lying()[0]
    assert (lying.left, lying.free) == (60, 36)
    assert made_ahead.ahead_items({"o2"})[0][0].quantity == 36
    assert made_ahead.ahead_items({"o1", "o2"})[0][0].quantity == 60
    made_ahead.claim(uses=[Use(item, "o1", "l1", 24)], orders={"o1"}, begun={"o1"})
    assert made_ahead.lying()[0].left == 36
    assert made_ahead.release(orders={"o1"}) == 0, "what was used is gone"
    made_ahead.claim(uses=[Use(item, "o2", "l1", 6)], orders={"o2"})
    made_ahead.claim(uses=[], orders={"o2"})
    assert made_ahead.lying()[0].free == 36
    assert row.uses.get().order == "o1"


def test_the_words_say_where_what_and_until_when():
    rows = ahead_words.rows(
        [made_ahead.Lying(ovals(92, for_order="o124"), 92)], {"o124": "Wedding"}, NOW
    )  # fmt: skip
    assert rows[0]["words"] == "Freezer: 92 ovals"
    assert (rows[0]["for"], rows[0]["until"]) == ("Wedding", "till February")
    tin = ovals(1, "tin")
    assert ahead_words.thing(tin) == "1 oval"
    assert ahead_words.until(tin, NOW) == "till Sunday"
    assert ahead_words.until(tin, NOW + 9 * DAY) == "past its day"


def test_it_is_put_down_moved_and_gone_without_javascript(signed_in):
    page = signed_in.get("/cupboard/").content.decode()
    assert "Nothing lies ready" in page
    answer = signed_in.post("/cupboard/ahead/", {"thing": "dough:", "quantity": "2", "place": "fridge"})
    assert answer.status_code == 302
    item = MadeAhead.objects.get()
    page = signed_in.get("/cupboard/").content.decode()
    assert "Fridge: 2 batches of dough" in page
    assert "till Saturday" in page
    signed_in.post(f"/cupboard/ahead/{item.pk}/move/", {"place": "freezer"})
    item.refresh_from_db()
    assert item.place == "freezer"
    signed_in.post(f"/cupboard/ahead/{item.pk}/gone/")
    page = signed_in.get("/cupboard/").content.decode()
    assert "2 batches of dough: gone." in page
    use = AheadUse.objects.get()
    signed_in.post(f"/cupboard/ahead/back/{use.pk}/")
    assert "Freezer: 2 batches of dough" in signed_in.get("/cupboard/").content.decode()


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "Pick what it is."),
        ({"thing": "dough:", "quantity": "none", "place": "tin"}, "A whole number, please."),
        ({"thing": "dough:", "quantity": "0", "place": "tin"}, "At least one."),
        ({"thing": "dough:", "quantity": "9" * 30, "place": "tin"}, "Up to 5000."),
        ({"thing": "icing:", "quantity": "1", "place": "tin"}, "Pick one of the list."),
        ({"thing": "dough:", "quantity": "1", "place": "shed"}, "Pick one of the places."),
        ({"thing": "blank:", "quantity": "1", "place": "tin"}, "say whose they are"),
        ({"thing": "dough:", "quantity": "1", "place": "tin", "made_on": "2030-01-01"}, "still to come"),
        ({"thing": "dough:", "quantity": "1", "place": "tin", "made_on": "0001-01-01"}, "More than a year"),
        ({"thing": "dough:", "quantity": "1", "place": "tin", "for_order": "o9"}, "not open any more"),
    ],
)
def test_a_wrong_field_is_explained_and_nothing_is_kept(signed_in, sent, said):
    answer = signed_in.post("/cupboard/ahead/", sent)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not MadeAhead.objects.exists()


def test_strange_addresses_break_nothing(signed_in):
    item = ovals()
    assert signed_in.post(f"/cupboard/ahead/{item.pk}/move/", {"place": "<b>"}).status_code == 302
    assert signed_in.post(f"/cupboard/ahead/{item.pk}/move/").status_code == 302
    assert signed_in.post("/cupboard/ahead/999/gone/").status_code == 404
    assert signed_in.post("/cupboard/ahead/back/999/").status_code == 302
    assert signed_in.get(f"/cupboard/ahead/{item.pk}/gone/").status_code == 405


def test_the_cupboard_takes_as_many_queries_however_much_lies_there(signed_in, django_assert_max_num_queries):
    for _ in range(12):
        ovals()
    with django_assert_max_num_queries(20):
        signed_in.get("/cupboard/")

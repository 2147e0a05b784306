"""The cupboard page: one press, with or without JavaScript."""

import pytest

from bakery.stock.models import LevelMark, StockItem
from tests import factories as make

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture(autouse=True)
def studio(db):
    return make.StudioFactory()


def test_an_empty_cupboard_says_so_and_offers_the_first_thing(signed_in):
    page = signed_in.get("/cupboard/").content.decode()
    assert "Nothing on the shelves yet" in page
    assert "Add the first thing" in page


def test_a_press_without_javascript_comes_back_with_undo(signed_in):
    item = make.StockItemFactory(name="Flour")
    answer = signed_in.post(f"/cupboard/{item.pk}/level/", {"state": "out"})
    assert answer.status_code == 302
    page = signed_in.get(answer.url).content.decode()
    assert "Flour: out." in page
    assert "Undo" in page
    assert "Undo" not in signed_in.get("/cupboard/").content.decode(), "undo is offered once"


def test_a_press_with_htmx_gets_the_shelves_and_the_headline(signed_in):
    item = make.StockItemFactory(name="Flour")
    page = signed_in.post(f"/cupboard/{item.pk}/level/", {"state": "out"}, **HTMX).content.decode()
    assert "<html" not in page
    assert 'hx-swap-oob="true"' in page
    assert "1 out" in page


def test_undo_puts_it_back(signed_in):
    item = make.StockItemFactory()
    signed_in.post(f"/cupboard/{item.pk}/level/", {"state": "low"})
    mark = LevelMark.objects.get()
    signed_in.post(f"/cupboard/{item.pk}/undo/{mark.pk}/")
    item.refresh_from_db()
    assert item.level == "have"
    assert LevelMark.objects.count() == 2


def test_a_wrong_word_or_a_wrong_address_breaks_nothing(signed_in):
    item = make.StockItemFactory()
    assert signed_in.post(f"/cupboard/{item.pk}/level/", {"state": "<b>"}).status_code == 302
    assert signed_in.post(f"/cupboard/{item.pk}/level/").status_code == 302
    assert signed_in.post("/cupboard/99/level/", {"state": "out"}).status_code == 404
    assert signed_in.get(f"/cupboard/{item.pk}/level/").status_code == 405
    assert not LevelMark.objects.exists()


@pytest.mark.parametrize("name", ["<img src=x onerror=alert(1)>", "=HYPERLINK(1)", "'; drop table", "a" * 80])
def test_any_name_is_shown_as_it_is_written(signed_in, name):
    signed_in.post("/cupboard/add/", {"name": name, "group": "dry"})
    page = signed_in.get("/cupboard/").content.decode()
    assert StockItem.objects.get().name == name
    assert "<img" not in page
    assert f'aria-label="{name}"' in page or "&" in page


@pytest.mark.parametrize(
    "wrong",
    [
        {"name": ""},
        {"group": "attic"},
        {"hex": "blue"},
        {"pack_price": "-4"},
        {"name": "x" * 500},
        {"lead_days": "-1"},
        {"lead_days": "9999999"},
    ],
)
def test_wrong_fields_get_a_sentence_and_keep_what_was_typed(signed_in, wrong):
    data = {"name": "Sea salt", "group": "dry", "supplier": "Capstan Stores"} | wrong
    answer = signed_in.post("/cupboard/add/", data)
    assert answer.status_code == 422
    assert "field__error" in answer.content.decode()
    assert "Capstan Stores" in answer.content.decode()
    assert not StockItem.objects.exists()


def test_the_whole_cupboard_takes_a_handful_of_queries(signed_in, django_assert_max_num_queries):
    make.StockItemFactory.create_batch(60)
    signed_in.get("/cupboard/")
    with django_assert_max_num_queries(14):
        signed_in.get("/cupboard/")


@pytest.mark.parametrize("unseen", ["\u202e", "\x00", "\x1b"])
def test_signs_that_cannot_be_seen_are_dropped(signed_in, unseen):
    signed_in.post("/cupboard/add/", {"name": f"Brown {unseen}gel", "group": "gel"})
    assert StockItem.objects.filter(name="Brown gel").exists()

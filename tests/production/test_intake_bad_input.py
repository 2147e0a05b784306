"""What bad input gets: a sentence beside its field, nothing lost, never a broken page, never two orders."""

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bakery.orders.models import Order

from .test_intake import NEW, body, fields, value_of, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def page(kitchen, signed_in):
    return signed_in


def taken() -> int:
    return Order.objects.exclude(number__in=(118, 119)).count()


BAD = [
    ({"hand_over": "20 Nov 10:00"}, "has passed", "hand_over"),
    ({"hand_over": "today 9:00"}, "has passed", "hand_over"),
    ({"hand_over": ""}, "When do they get it?", "hand_over"),
    ({"hand_over": "31 Nov"}, "There is no 31 November", "hand_over"),
    ({"hand_over": "Sat 6 Dec"}, "is a Sunday, not a Saturday", "hand_over"),
    ({"hand_over": "9999-12-31"}, "more than three years away", "hand_over"),
    ({"hand_over": "", "hand_over_day": "2026-02-30"}, "not in the calendar", "hand_over_day"),
    ({"hand_over": "", "hand_over_day": "2026-11-01"}, "has passed", "hand_over_day"),
    ({"hand_over": "28 March 2027 1:30"}, "no 1:30 on Sunday 28 March", "hand_over"),
    (
        {"hand_over": "", "hand_over_day": "2027-03-28", "hand_over_time": "01:30"},
        "no 1:30 on Sunday 28 March",
        "hand_over_time",
    ),
    ({"line-0-quantity": "0"}, "at least 1", "line-0-quantity"),
    ({"line-0-quantity": "100000"}, "up to 5,000 cookies", "line-0-quantity"),
    ({"line-0-quantity": "-5"}, "whole number", "line-0-quantity"),
    ({"line-0-quantity": "9" * 300}, "whole number", "line-0-quantity"),
    ({"line-0-quantity": ""}, "How many cookies?", "line-0-quantity"),
    ({"line-0-designs": "0"}, "at least 1", "line-0-designs"),
    ({"line-0-colours": "1e9"}, "whole number", "line-0-colours"),
    ({"travel_minutes": "99999"}, "at most 600", "travel_minutes"),
    ({"own_price": "lots"}, "An amount", "own_price"),
    ({"own_price": "9" * 12}, "more than this field holds", "own_price"),
    ({"budget": "NaN"}, "An amount", "budget"),
    ({"email": "nobody"}, "name@place.example", "email"),
    ({"allergy_state": "told"}, "What did they tell you?", "allergies"),
    ({"who": "x" * 200}, "Too long: 200 signs", "who"),
    ({"names": "y" * 100}, "a name has room for 60", "names"),
]


@pytest.mark.parametrize(("wrong", "sentence", "field"), BAD)
def test_a_sentence_stands_beside_the_field_and_all_is_still_there(page, wrong, sentence, field):
    form = {**fields(do="keep", note="gold edge"), **wrong}
    response = page.post(NEW, form)
    assert response.status_code == 422
    assert sentence in words_of(response)
    assert f'id="id_{field}_error"' in body(response)
    assert f'<a href="#id_{field}">' in body(response)
    for name in ("who", "title", "line-0-quantity", "hand_over", "token"):
        assert value_of(response, name) == form[name]
    assert "gold edge" in body(response)
    assert taken() == 0
    mended = page.post(NEW, fields(do="keep", note="gold edge") | {"token": form["token"]})
    assert mended.status_code == 302
    assert taken() == 1


def test_the_field_itself_is_marked_for_those_who_cannot_see(page):
    text = body(page.post(NEW, fields(do="keep", hand_over="soon")))
    field = re.search(r'<input[^>]*name="hand_over"[^>]*>', text)[0]
    assert 'aria-invalid="true"' in field
    assert "id_hand_over_error" in field


def test_a_name_too_many_is_asked_about_once_and_then_kept(page):
    names = "\n".join(f"Name {n}" for n in range(25))
    form = fields(do="keep", names=names, **{"line-0-kind": "lettered"})
    response = page.post(NEW, form)
    assert "25 names for 24 cookies: 1 name too many." in words_of(response)
    assert names in body(response)
    assert taken() == 0
    page.post(NEW, form | {"anyway": "yes"})
    assert Order.objects.get(title="Late opening").names.count() == 25


def test_a_hand_over_before_any_baking_hours_is_a_no_that_can_still_be_kept(page):
    form = fields(hand_over="today 18:00")
    text = words_of(page.post("/orders/new/answer/", form))
    assert "No, not by Tuesday 18:00" in text
    assert page.post(NEW, form | {"do": "keep"}).status_code == 302
    assert taken() == 1


def test_a_studio_without_any_baking_hours_answers_too(signed_in, db):
    response = signed_in.post(
        "/orders/new/answer/", fields(hand_over="2026-12-05" if False else "in two weeks")
    )
    assert response.status_code == 200
    assert "No, not by" in words_of(response)


def test_a_ten_megabyte_note_gets_a_sentence_and_comes_back_whole(page):
    note = "crumb " * 1_750_000
    response = page.post(NEW, fields(do="keep", note=note))
    assert response.status_code == 422
    assert "Too long: 10,499,999 signs, and there is room for 8,000" in words_of_small(response)
    assert note.strip() in body(response)
    assert taken() == 0


def words_of_small(response) -> str:
    """The sentences beside the fields, without reading megabytes of text."""
    return " ".join(re.findall(r"<span>(Too long[^<]*)</span>", body(response)))


def test_markup_in_a_name_is_only_letters_on_every_page(page):
    hostile = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
    form = fields(do="quote", who=hostile, title=hostile, note=hostile, place=hostile,
                  names="<b>Ada</b>\n=1+1", way="delivered", their_words=hostile,
                  **{"line-0-kind": "lettered"})  # fmt: skip
    page.post(NEW, form)
    order = Order.objects.exclude(number__in=(118, 119)).get()
    assert order.customer.name == hostile
    assert [name.text for name in order.names.all()] == ["<b>Ada</b>", "=1+1"]
    for address in (
        f"/orders/{order.number}/",
        f"/orders/{order.number}/change/",
        "/orders/",
        "/orders/?q=script",
    ):
        text = body(page.get(address))
        assert "<script>alert" not in text
        assert "<img src=x" not in text
        assert "<b>Ada</b>" not in text


def test_unseen_signs_are_dropped_and_the_rest_is_kept(page):
    page.post(NEW, fields(do="keep", who="A\x00da\u202e", title="Tea\x07 party", names="Bo\x00"))
    order = Order.objects.exclude(number__in=(118, 119)).get()
    assert (order.customer.name, order.title, order.names.get().text) == ("Ada", "Tea party", "Bo")


def test_bytes_that_are_no_text_do_not_break_the_page(page):
    raw = b"hand_over=Sat+12%3A00&line-0-quantity=24&who=%ED%A0%80%FF%00x&do=keep&allergy_state=none"
    response = page.post(NEW, raw, content_type="application/x-www-form-urlencoded")
    assert response.status_code == 302


def test_a_hundred_lines_are_not_too_many_to_answer(page):
    many = {f"line-{n}-quantity": "1" for n in range(100)}
    assert page.post(NEW, {**fields(do="look"), **many}).status_code == 200


def test_five_thousand_cookies_get_an_answer_in_words(page):
    text = words_of(page.post("/orders/new/answer/", {**fields(), "line-0-quantity": "5000"}))
    assert re.search(r"(No, not by|Not sure about)", text)
    assert "£" in text


KEYS = ["who", "title", "hand_over", "event_at", "names", "note", "own_price", "way", "allergy_state",
        "allergies", "travel_minutes", "transit_days", "hand_over_day", "hand_over_time", "token",
        "revision", "their_words", "line-0-quantity", "line-0-kind", "line-0-design", "line-0-variation",
        "line-0-stage", "line-1-quantity", "line-1-line", "line-2-kind", "again", "like", "do", "anyway",
        "form_path"]  # fmt: skip
STRANGE = ["0", "24", "-1", "100000", "1e400", "\x00", "<b>", "=1+1", "2026-02-30", "stencil", "told", "none",
           "yes", "118", "quote", "add", "read", "ways", "keep", "book", "drop:0", "kind:stencil",
           "like_order:118", "use:quantity:0=6", "9" * 60, "Sat 12:00", "5 Dec",
           "24 cookies on Saturday"]  # fmt: skip
VALUES = st.one_of(
    st.text(alphabet=st.characters(exclude_categories=["Cs"]), max_size=40), st.sampled_from(STRANGE)
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(st.sampled_from(KEYS), VALUES, max_size=12))
def test_no_form_breaks_the_page_or_makes_two_orders(page, typed):
    before = taken()
    for address in (NEW, NEW, "/orders/new/answer/", "/orders/new/like/"):
        assert page.post(address, typed).status_code in (200, 302, 422)
    assert taken() - before <= 1


@pytest.mark.parametrize(
    "wrong",
    [{"line-0-design": "9" * 5000}, {"line-0-variation": "9" * 5000}, {"do": f"use:kind:{'9' * 5000}=plain"}],
)
def test_numbers_of_thousands_of_digits_name_nothing(page, wrong):
    assert page.post(NEW, {**fields(do="look"), **wrong}).status_code == 200


def test_an_order_for_next_summer_gets_its_yes(page):
    """Baking hours are read as far ahead as orders may be."""
    for day in ("2027-08-07", "2028-02-29", "2029-10-20"):
        answer = page.post("/orders/new/answer/", fields(hand_over=f"{day} 12:00"))
        assert "Yes, " in words_of(answer), day


@pytest.mark.parametrize("much", [{"note": "n" * 25_500_000}, {f"x{n}": "1" for n in range(1500)}])
def test_more_than_a_page_may_send_gets_a_page_in_words(page, much):
    answer = page.post(NEW, {**fields(do="keep"), **much})
    assert answer.status_code == 400
    assert "what you typed is still there" in words_of(answer)
    assert taken() == 0

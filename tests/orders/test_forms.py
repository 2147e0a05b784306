"""The order form: what is typed is read generously, and what cannot be gets a sentence beside its field."""

from datetime import timedelta
from decimal import Decimal

import pytest
import time_machine
from django.core.exceptions import ValidationError
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bakery.orders.fields import Distance
from bakery.orders.forms import OrderForm, initial_of
from bakery.orders.text import clean

from .conftest import NOW, some_data

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def that_evening():
    with time_machine.travel(NOW, tick=False):
        yield


def form_of(**more) -> OrderForm:
    fields = {"line-0-quantity": "24", "line-0-kind": "lettered", "hand_over": "Sat 12:00", **more}
    form = OrderForm({key: value for key, value in fields.items() if value is not None})
    form.full_clean()
    return form


def sentence(form, field) -> str:
    return " ".join(form.errors.get(field, []))


def line_sentence(form, field, at=0) -> str:
    return " ".join(form.lines[at].errors.get(field, []))


def test_four_fields_make_an_order():
    form = form_of()
    assert form.is_valid()
    data = form.order_data()
    assert (data.quantity, data.lines[0].kind, data.allergy_state) == (24, "lettered", "not_asked")
    assert timezone.localtime(data.hand_over_at).strftime("%d %H:%M") == "28 12:00"


def test_what_is_not_said_gets_the_usual():
    line = form_of(**{"line-0-kind": ""}).order_data().lines[0]
    assert (line.kind, line.designs, line.colours, line.packaging) == ("stencil_detail", 1, 3, "bag")


@pytest.mark.parametrize(
    ("quantity", "words"),
    [("0", "at least 1"), ("100000", "up to 5,000 cookies"), ("-3", "whole number"), ("1e9", "whole number"),
     ("9" * 400, "whole number"), ("9" * 25, "up to 5,000"), ("", "How many cookies?"), ("many",
      "whole number"), ("٣", "whole number"), ("12.5", "whole number")],)  # fmt: skip
def test_an_impossible_quantity_gets_a_sentence(quantity, words):
    form = form_of(**{"line-0-quantity": quantity})
    assert not form.is_valid()
    assert words in line_sentence(form, "quantity")


def test_dozens_are_counted():
    assert form_of(**{"line-0-quantity": "2 dozen"}).order_data().quantity == 24
    assert form_of(**{"line-0-quantity": "1,200"}).order_data().quantity == 1200


@pytest.mark.parametrize(
    ("text", "words"),
    [("20 Nov", "has passed"), ("", "When do they get it"), ("31 Nov", "no 31 November"),
     ("soon", "could not be read")],)  # fmt: skip
def test_an_impossible_day_gets_a_sentence(text, words):
    assert words in sentence(form_of(hand_over=text), "hand_over")


def test_a_day_picked_from_the_calendar_counts_unless_the_text_was_changed():
    picked = {"hand_over_day": "2026-12-05", "hand_over_time": "09:30"}
    shown = {"hand_over": "Sat 28 Nov, 12:00", "hand_over_shown": "Sat 28 Nov, 12:00"}
    assert form_of(**picked, **shown).order_data().hand_over_at.strftime("%d") == "05"
    assert (
        form_of(**picked, hand_over="Fri 12:00", hand_over_shown="").order_data().hand_over_at.strftime("%d")
        == "27"
    )
    assert form_of(**picked, hand_over="").is_valid()
    assert "has passed" in sentence(form_of(hand_over_day="2026-11-01", hand_over=""), "hand_over_day")


def test_a_name_too_many_is_asked_about_and_can_be_waved_through():
    names = {"names": ", ".join(f"Name {n}" for n in range(25))}
    form = form_of(**names)
    assert form.is_valid()
    assert form.needs_a_nod
    assert form.asks["names"] == "25 names for 24 cookies: 1 name too many."
    assert not form_of(**names, anyway="yes").needs_a_nod


def test_names_are_counted_and_doubles_asked_about():
    assert form_of(names="\n".join(f"N{n}" for n in range(24))).names_say() == (
        "24 names for 24 cookies.",
        "",
    )
    good, doubt = form_of(names="Ines, Bryn, Ines").names_say()
    assert good == ""
    assert doubt == "3 names for 24 cookies: 21 names to come. “Ines” is there twice. Two people?"


def test_names_count_against_the_lettered_cookies_only():
    form = form_of(**{"line-1-quantity": "40", "line-1-kind": "plain", "names": "Ada"})
    assert form.places_for_names() == 24


def test_an_event_before_the_hand_over_is_asked_about():
    assert "before the hand-over" in form_of(event_at="Fri 12:00").asks["event_at"]


def test_a_told_allergy_needs_words_and_words_mean_told():
    assert "What did they tell you" in sentence(form_of(allergy_state="told"), "allergies")
    data = form_of(allergies="no nuts").order_data()
    assert (data.allergy_state, data.allergies) == ("told", "no nuts")


@pytest.mark.parametrize(
    ("text", "amount"), [("£190", "190.00"), ("190,50", "190.50"), ("1,250.00", "1250.00")]
)
def test_money_is_read_as_written(text, amount):
    assert form_of(own_price=text).order_data().own_price == Decimal(amount)


@pytest.mark.parametrize("text", ["lots", "-5", "1e9", "NaN", "inf", "9" * 13, "1.2.3"])
def test_money_that_is_none_gets_a_sentence(text):
    assert sentence(form_of(own_price=text), "own_price")


def test_a_ten_megabyte_note_gets_a_sentence_and_is_still_there():
    note = "x" * 10_000_000
    form = form_of(note=note)
    assert "Too long: 10,000,000 signs" in sentence(form, "note")
    assert form["note"].value() == note


def test_markup_and_formulas_are_only_text():
    form = form_of(names="<script>alert(1)</script>, =1+1", who='"><b>', title="=HYPERLINK(1)")
    data = form.order_data()
    assert form.is_valid()
    assert data.names == ("<script>alert(1)</script>", "=1+1")
    assert (data.who, data.title) == ('"><b>', "=HYPERLINK(1)")


def test_signs_that_cannot_be_stored_are_dropped():
    data = form_of(who="A\x00da\ud800\u202e", note="a\x00\nb").order_data()
    assert (data.who, data.note) == ("Ada", "a\nb")


def test_a_second_empty_line_is_no_line():
    form = form_of(**{"line-3-quantity": "", "line-3-kind": ""})
    assert form.is_valid()
    assert len(form.order_data().lines) == 1


def test_no_more_lines_than_a_page_holds():
    many = {f"line-{n}-quantity": "1" for n in range(300)}
    assert len(form_of(**many).lines) == 20


def test_rows_that_are_not_there_are_not_picked():
    line = (
        form_of(**{"line-0-design": "999999", "line-0-variation": "-1", "line-0-line": "12"})
        .order_data()
        .lines[0]
    )
    assert (line.design, line.variation) == (None, None)


def test_a_form_filled_from_an_order_gives_the_same_order_back():
    data = some_data(
        names=("Ada", "Bo"), own_price=Decimal("90.00"), event_at=NOW + timedelta(days=11, hours=3)
    )
    initial = initial_of(data, revision=3)
    form = OrderForm(initial=initial)
    sent = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    sent |= {f.html_name: f.value() for f in form.lines[0] if f.value() is not None}
    back = OrderForm({key: str(value) for key, value in sent.items()})
    assert back.is_valid(), back.errors
    assert back.order_data() == data


KEYS = ["who", "title", "hand_over", "event_at", "names", "note", "own_price", "way", "allergy_state",
        "allergies", "travel_minutes", "transit_days", "hand_over_day", "hand_over_time", "hand_over_shown",
        "email", "token", "revision", "line-0-quantity", "line-0-kind", "line-0-designs", "line-0-design",
        "line-0-variation", "line-0-stage", "line-1-quantity", "line-1-spares", "line-x-quantity",
        "line-1-line", "anyway"]  # fmt: skip
STRANGE = ["0", "24", "-1", "100000", "1e400", "NaN", "<b>", "=1+1", "2026-02-30", "9999-12-31", "٣", "½",
           "{{7*7}}", "9" * 60, "Sat 12:00", "\x00", "\ud800"]  # fmt: skip
ODD = st.one_of(st.text(max_size=60), st.sampled_from(STRANGE))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(st.sampled_from(KEYS), ODD))
def test_no_input_breaks_the_form(fields):
    form = OrderForm({key: clean(value) for key, value in fields.items()})
    form.full_clean()
    form.names_say()
    if form.is_valid():
        assert form.order_data() is not None
    for bound in form:
        str(bound)


@pytest.mark.parametrize(
    ("typed", "far"), [("12", "12"), ("3.5", "3.5"), ("3,5 km", "3.5"), (" 7 KM", "7"), ("", None)]
)
def test_kilometres_as_people_write_them(typed, far):
    assert Distance().clean(typed) == (None if far is None else Decimal(far))


@pytest.mark.parametrize("typed", ["far", "-3", "3.14159", "99999", "NaN", "\u0663", "1e3", "<b>", "9" * 500])
def test_no_kilometres_get_a_sentence(typed):
    with pytest.raises(ValidationError, match=r"[Kk]ilometres|km"):
        Distance().clean(typed)

# ruff: noqa: E501  (a message and what it says stay on one line)
"""What a customer's own words say."""

import time as clock
from datetime import date, time, timedelta
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from bakery.craft.words import names_in, read
from bakery.craft.words.numbers import number_of
from bakery.craft.work import KINDS, WAYS

TODAY = date(2026, 11, 24)
"""A Tuesday."""

MESSAGES = [
    (
        "24 cookies, fern stencil look, three colours, Saturday noon",
        {"quantity": 24, "kind": "stencil", "design_words": "fern", "colours": 3, "day": date(2026, 11, 28),
         "time": time(12)},
    ),
    (
        "2 dozen dinosaurs, one name each, Sat 14th, no nuts",
        {"quantity": 24, "kind": "lettered", "design_words": "dinosaurs", "name_count": 24,
         "day": date(2026, 12, 14), "allergies": ("nuts",)},
    ),
    (
        "hiya could u do 2 doz dinos for Leos 5th, sat 12th, names on some pls",
        {"quantity": 24, "design_words": "dinos", "event": "Leos 5th", "day": date(2026, 12, 12), "kind": None,
         "names": (), "name_count": None, "doubts": ("“names on some”: ask how many names, and which.",)},
    ),
    (
        "36 hearts for Nanas 80th sun 20th, collect sat 2pm",
        {"event": "Nanas 80th", "day": date(2026, 12, 19), "event_day": date(2026, 12, 20), "time": time(14)},
    ),
    ("24 cookies, Saturday 12th noon", {"quantity": 24, "day": date(2026, 12, 12), "time": time(12)}),
    ("24 cookies, Saturday 12 noon", {"quantity": 24, "day": date(2026, 11, 28), "time": time(12)}),
    ("20 for James 40th, half of them with names", {"quantity": 20, "event": "James 40th", "name_count": None}),
    ("names on some: Ada, Bryn and Cass", {"names": ("Ada", "Bryn", "Cass")}),
    ("20 plain for Saturdays 5th", {"event": "", "day": date(2026, 12, 5)}),
    ("20 cookies for friday, 20 of them red", {"day": date(2026, 11, 27)}),
    ("about thirty for my mum's 60th on 12/12", {"quantity": 30, "event": "my mum's 60th", "day": date(2026, 12, 12)}),
    (
        "a couple dozen plain ones friday evening pls",
        {"quantity": 24, "kind": "plain", "day": date(2026, 11, 27), "time": time(18), "vague_time": True},
    ),
    ("24 lettered cookies: Ada, Bryn and Cass", {"quantity": 24, "kind": "lettered", "names": ("Ada", "Bryn", "Cass")}),
    ("24 dinosaurs, one name, Saturday 5th?", {"quantity": 24, "name_count": 1, "kind": None, "day": date(2026, 12, 5)}),
    (
        "Hi! Could I get 36 iced biscuits for our wedding on 5th December, navy, gold and white, delivered please? "
        "One guest has a nut allergy and is gluten free.",
        {"quantity": 36, "event": "wedding", "day": date(2026, 12, 5), "colour_names": ("navy", "gold", "white"),
         "colours": 3, "allergies": ("nut", "gluten"), "way": "delivered"},
    ),
    ("48 place cards with names, collect Fri 11 Dec at 3",
     {"quantity": 48, "kind": "lettered", "name_count": 48, "way": "collected", "day": date(2026, 12, 11), "time": time(15)}),
    ("3 boxes of 12, two designs, posted by 20.12.2026", {"quantity": 36, "designs": 2, "way": "posted", "day": date(2026, 12, 20)}),
    ("half a dozen for tomorrow", {"quantity": 6, "day": date(2026, 11, 25)}),
    ("20-30 stars next Saturday 10am", {"quantity": 30, "design_words": "stars", "day": date(2026, 11, 28), "time": time(10)}),
    ("a dozen and a half two-tone stars, 6/12/2026", {"quantity": 18, "kind": "two_colour", "colours": 2, "day": date(2026, 12, 6)}),
    ("one hundred and twenty plain biscuits in two weeks", {"quantity": 120, "kind": "plain", "day": date(2026, 12, 8)}),
    ("my son's 21st on the 21st, 12 rook cookies", {"quantity": 12, "event": "my son's 21st", "day": date(2026, 12, 21)}),
    ("24 cookies stencilled with ferns and piped dots", {"quantity": 24, "kind": "stencil_detail"}),
    ("2 doz ammonites hand painted, budget £150, 2pm", {"quantity": 24, "kind": "very_detailed", "budget": 150, "time": time(14)}),
    ("1,000 hearts for the fair", {"quantity": 1000, "event": "fair", "design_words": "hearts"}),
    ("stars x 18, tomorrow at half past two", {"quantity": 18, "time": time(14, 30)}),
    ("24 names: Ada, Bryn, Cass, Dov", {"names": ("Ada", "Bryn", "Cass", "Dov"), "quantity": 24, "name_count": 24}),
    ("12 cookies no allergies", {"quantity": 12, "allergies": ("none",)}),
    ("40 place cards for a dinner on Sat 28 Nov at 7pm, pick up at 10am",
     {"quantity": 40, "event": "dinner", "day": date(2026, 11, 28), "time": time(10), "event_time": time(19), "way": "collected"}),
    ("24 hearts, the wedding is on 12 December, collecting Thursday 10th December",
     {"quantity": 24, "event": "wedding", "day": date(2026, 12, 10), "event_day": date(2026, 12, 12)}),
    ("pick up on 4 Dec for my daughters 5th birthday on 5 Dec, 20 unicorns",
     {"quantity": 20, "day": date(2026, 12, 4), "event_day": date(2026, 12, 5), "event": "my daughters 5th birthday"}),
    ("12 ammonites and 12 ferns for Tuesday week", {"quantity": 24, "day": date(2026, 12, 8)}),
    ("2 cookies each for 15 guests", {"quantity": 30}),
    ('36 plaques saying "Fair winds", retirement do on 18.12.',
     {"quantity": 36, "kind": "lettered", "wording": "Fair winds", "event": "retirement do", "day": date(2026, 12, 18)}),
    ("6 cookies tomorrow, deliver to 14 Harbour Street", {"quantity": 6, "way": "delivered", "design_words": ""}),
    ("12 cookies, no writing", {"quantity": 12, "kind": None, "names": ()}),
]  # fmt: skip


@pytest.mark.parametrize(("text", "said"), MESSAGES, ids=[text[:40] for text, _ in MESSAGES])
def test_messages_as_customers_write_them(text, said):
    found = read(text, TODAY)
    assert {name: getattr(found, name) for name in said} == said


DAYS = [
    ("tomorrow", date(2026, 11, 25)),
    ("today", TODAY),
    ("Tuesday", date(2026, 12, 1)),  # today is a Tuesday: the nearest to come is in a week
    ("this weekend", date(2026, 11, 28)),
    ("in a fortnight", date(2026, 12, 8)),
    ("a week on Friday", date(2026, 12, 4)),
    ("Friday week", date(2026, 12, 4)),
    ("the 3rd", date(2026, 12, 3)),
    ("3 January", date(2027, 1, 3)),
    ("January 3rd 2028", date(2028, 1, 3)),
    ("2027-02-14", date(2027, 2, 14)),
    ("4/5", date(2027, 5, 4)),
    ("5/13/2027", date(2027, 5, 13)),  # there is no thirteenth month, so month first
    ("31.12.26", date(2026, 12, 31)),
    ("29 February", date(2028, 2, 29)),
    ("Christmas Eve", date(2026, 12, 24)),
    ("sat", date(2026, 11, 28)),
    ("24/11", TODAY),
    ("23/11", date(2027, 11, 23)),
]


@pytest.mark.parametrize(("words", "day"), DAYS)
def test_days_in_words(words, day):
    assert read(f"12 cookies, {words}", TODAY).day == day
    assert read(f"12 cookies, {words}", TODAY).quantity == 12


TIMES = [
    ("noon", time(12)), ("3pm", time(15)), ("3.30 pm", time(15, 30)), ("15:45", time(15, 45)), ("10 a.m.", time(10)),
    ("9 o'clock", time(9)), ("at 4", time(16)), ("by half past ten", time(10, 30)), ("quarter to five", time(16, 45)),
    ("12am", time(0)), ("12 noon", time(12)), ("tea time", time(16)),
]  # fmt: skip


@pytest.mark.parametrize(("words", "when"), TIMES)
def test_times_in_words(words, when):
    found = read(f"24 cookies on Saturday, {words}", TODAY)
    assert (found.quantity, found.time) == (24, when)


@pytest.mark.parametrize("text", ["31/02", "32nd", "99/99", "25:71", "0/0/0000", "2026-13-40", "30 February"])
def test_days_that_do_not_exist_are_left_alone(text):
    assert read(text, TODAY).day is None


def test_what_is_doubtful_is_said():
    assert any("Monday" in doubt for doubt in read("12, Sat 14th", TODAY).doubts)
    assert any("6 December" in doubt for doubt in read("12 on 6/12", TODAY).doubts)
    assert any("28 November" in doubt for doubt in read("12 next Saturday", TODAY).doubts)
    assert any("Thursday" in doubt for doubt in read("12 on Friday 3 December", TODAY).doubts)


def test_the_words_it_rests_on_are_shown():
    text = "24 cookies, fern stencil look, three colours, Saturday noon"
    found = read(text, TODAY)
    assert found.words("quantity") == "24 … cookies"
    assert found.words("day") == "Saturday"
    assert found.words("event") == ""
    for used in found.used:
        assert text[used.start : used.end] == used.words


def test_names_as_they_are_pasted():
    assert names_in("Ada, Bryn and Cass") == ("Ada", "Bryn", "Cass")
    assert names_in("1. Ada\n2) Bryn Lee\n- Cass\n\n") == ("Ada", "Bryn Lee", "Cass")
    assert names_in("Ines; Ines & Zoë\tO’Hara") == ("Ines", "Ines", "Zoë", "O’Hara")
    assert names_in("Anders, Sandy") == ("Anders", "Sandy")
    assert names_in("") == ()
    assert len(names_in("Ada\n" * 5000)) == 2000


def test_names_one_a_line_after_a_word_for_them():
    found = read("Names:\nAda\nBryn\nCass Lee\nDov\n\nplaques, Friday", TODAY)
    assert found.names == ("Ada", "Bryn", "Cass Lee", "Dov")
    assert found.day == date(2026, 11, 27)


@pytest.mark.parametrize(
    ("words", "value"),
    [("24", 24), ("two", 2), ("thirty six", 36), ("a hundred", 100), ("one hundred and twenty", 120),
     ("two thousand and five", 2005), ("1,250", 1250), ("2.5", 2.5), ("some", None), ("", None)],
)  # fmt: skip
def test_numbers_in_words(words, value):
    assert number_of(words) == value


PIECES = st.sampled_from(
    [
        "24",
        "two",
        "dozen",
        "doz",
        "half",
        "a",
        "an",
        "about",
        "names",
        ":",
        ",",
        ".",
        "\n",
        "Ada",
        "Bryn",
        "and",
        "&",
        "cookies",
        "stencil",
        "look",
        "dots",
        "three",
        "colours",
        "navy",
        "no",
        "nuts",
        "allergy",
        "gluten",
        "free",
        "Saturday",
        "sat",
        "14th",
        "14",
        "/",
        "12",
        "12/12",
        "5",
        "Dec",
        "December",
        "noon",
        "at",
        "3pm",
        "10:30",
        "by",
        "£50",
        "next",
        "in",
        "weeks",
        "week",
        "on",
        "mum's",
        "60th",
        "birthday",
        "wedding",
        "delivered",
        "post",
        "x",
        "18",
        "each",
        "one",
        "with",
        "-",
        "–",
        "'",
        "\x1f",
        "\x00",
        "İ",
        "ß",
        "ﬁ",
        "🍪",
        "٣",
        "½",
        "²",
        "1,000",
        "99999999999",
    ]
)


@settings(max_examples=300, deadline=None)
@given(
    st.one_of(
        st.text(max_size=400),
        st.lists(PIECES, max_size=40).map(" ".join),
        st.lists(PIECES, max_size=30).map("".join),
    )
)
@example("\x00" * 50)
@example("A and A NOON AND A")
@example("Ada, " * 3000)
@example("1/1/" * 3000)
def test_any_text_is_read_without_a_fault(text):
    found = read(text, TODAY)
    assert found.quantity is None or 0 <= found.quantity <= 9_999_999
    assert found.kind is None or found.kind in KINDS
    assert found.way is None or found.way in WAYS
    assert found.day is None or isinstance(found.day, date)
    assert len(found.names) <= 2000
    assert found == read(text, TODAY)
    spans = sorted((used.start, used.end) for used in found.used)
    assert all(start < end for start, end in spans)
    assert all(a[1] <= b[0] for a, b in pairwise(spans))


@given(st.dates(), st.sampled_from([text for text, _ in MESSAGES] + [words for words, _ in DAYS]))
def test_any_day_may_be_today(today, text):
    read(text, today)


@given(st.dates(date(2020, 1, 1), date(2090, 12, 31)), st.integers(0, 400))
def test_a_written_date_without_a_year_is_never_past(today, ahead):
    day = today + timedelta(days=ahead)
    found = read(f"12 cookies on {day.day} {day:%B}", today).day
    assert found >= today
    assert (found.day, found.month) == (day.day, day.month)


@pytest.mark.parametrize(
    "piece", ["a ", "1 ", "Ada, ", "\n", "one hundred and ", "no nuts and ", "'s 21st ", "1/1/", "A-", "x"]
)
def test_ten_megabytes_are_read_in_a_moment(piece):
    text = piece * (10_000_000 // len(piece))
    began = clock.perf_counter()
    found = read(text, TODAY)
    assert clock.perf_counter() - began < 3  # seen: 0.25 s; a busy machine gets room
    assert found.cut


@pytest.mark.parametrize("text", [None, 24, b"24 cookies", ["24"]])
def test_what_is_no_text_says_nothing(text):
    assert read(text, TODAY).quantity is None

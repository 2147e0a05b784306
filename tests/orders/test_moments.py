"""Days and times as she and her customers write them."""

from contextlib import suppress
from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from bakery.orders.moments import MomentError, in_words, parse_moment, short

ZONE = ZoneInfo("Europe/London")
NOW = datetime(2026, 11, 24, 17, 30, tzinfo=ZONE)  # a Tuesday


def read(text, **more):
    return parse_moment(text, now=NOW, **more).strftime("%Y-%m-%d %H:%M")


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("Sat 12:00", "2026-11-28 12:00"),
        ("saturday noon", "2026-11-28 12:00"),
        ("Sat 5 Dec, 18:30", "2026-12-05 18:30"),
        ("5 Dec 10", "2026-12-05 10:00"),
        ("5 Dec", "2026-12-05 12:00"),
        ("5th of December at 10am", "2026-12-05 10:00"),
        ("Dec 5, 10 am", "2026-12-05 10:00"),
        ("5.12. 10:15", "2026-12-05 10:15"),
        ("5/12 5pm", "2026-12-05 17:00"),
        ("05.12.2026 17:00", "2026-12-05 17:00"),
        ("2026-12-05T10:00", "2026-12-05 10:00"),
        ("2026-12-05", "2026-12-05 12:00"),
        ("tomorrow 5pm", "2026-11-25 17:00"),
        ("today 19:00", "2026-11-24 19:00"),
        ("tonight", "2026-11-24 18:00"),
        ("Saturday 12th", "2026-12-12 12:00"),
        ("the 12th", "2026-12-12 12:00"),
        ("Tue 12:00", "2026-12-01 12:00"),  # today's noon has passed: the next Tuesday
        ("Tuesday 18:00", "2026-11-24 18:00"),
        ("3 Jan 10:00", "2027-01-03 10:00"),
        ("in two weeks", "2026-12-08 12:00"),
        ("Wed 15h30", "2026-11-25 15:30"),
        ("Satuday 11.30", "2026-11-28 11:30"),
        ("Fri afternoon", "2026-11-27 15:00"),
        ("29 Feb 2028 10", "2028-02-29 10:00"),
    ],
)
def test_a_moment_is_read_as_it_was_meant(text, moment):
    assert read(text) == moment


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("20 Nov 10:00", "has passed"),
        ("today 9:00", "has passed"),
        ("Sat 6 Dec 10:00", "6 December is a Sunday, not a Saturday"),
        ("31 Nov", "There is no 31 November"),
        ("29 Feb 2027", "There is no 29 February"),
        ("2026-13-45", "not in the calendar"),
        ("45/45", "not in the calendar"),
        ("9999-12-31", "more than three years away"),
        ("soon", "could not be read"),
        ("", "Which day"),
        ("5 Dec xyz", "could not be read as a time"),
        ("x" * 500, "Which day"),
    ],
)
def test_what_cannot_be_gets_a_sentence(text, sentence):
    with pytest.raises(MomentError, match=sentence):
        read(text)


def test_a_day_without_a_time_takes_the_default():
    assert read("5 Dec", default=time(9)) == "2026-12-05 09:00"


def test_a_past_day_is_allowed_where_it_is_asked_for():
    assert read("20 Nov 10:00", past=True) == "2026-11-20 10:00"


def test_words_name_the_year_only_when_it_matters():
    assert in_words(datetime(2026, 12, 5, 9, 0, tzinfo=ZONE), now=NOW) == "Saturday 5 December, 9:00"
    assert in_words(datetime(2028, 12, 5, 9, 0, tzinfo=ZONE), now=NOW) == "Tuesday 5 December 2028, 9:00"


def there_is(moment) -> bool:
    """Whether the clocks of that night show this hour at all: in spring one is left out."""
    return moment.astimezone(UTC).astimezone(ZONE).replace(tzinfo=None) == moment.replace(tzinfo=None)


@given(st.datetimes(min_value=datetime(2026, 11, 25), max_value=datetime(2027, 8, 1)))
def test_a_moment_written_short_is_read_back(moment):
    moment = moment.replace(second=0, microsecond=0, tzinfo=ZONE)
    assume(there_is(moment))
    assert parse_moment(short(moment), now=NOW) == moment


@given(st.datetimes(min_value=datetime(2024, 6, 1), max_value=datetime(2029, 8, 1)))
def test_a_moment_written_with_its_year_is_read_back_from_any_year(moment):
    moment = moment.replace(second=0, microsecond=0, tzinfo=ZONE)
    assume(there_is(moment))
    assert parse_moment(short(moment, now=NOW), now=NOW, past=True) == moment


@given(st.text(max_size=90))
def test_no_text_breaks_the_reader(text):
    with suppress(MomentError):
        assert parse_moment(text, now=NOW).tzinfo is ZONE

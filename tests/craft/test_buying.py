"""When to order, and how many packs."""

from datetime import date, timedelta
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.buying import deadline, pace_of, packs_for, reaches

FRIDAY = date(2026, 12, 4)
AMOUNTS = st.decimals(min_value="0.001", max_value="100000", places=3)


def test_butter_for_fridays_dough_is_ordered_by_tuesday():
    due = deadline(FRIDAY, lead_days=2, margin_days=1, today=date(2026, 11, 30))
    assert due.by == date(2026, 12, 1)
    assert f"{due.by:%A}" == "Tuesday"
    assert due.last == date(2026, 12, 2)
    assert not due.now
    assert not due.late


@pytest.mark.parametrize(
    ("today", "now", "late"), [(0, False, False), (1, True, False), (2, True, False), (3, False, True)]
)
def test_the_margin_melts_first_then_it_is_too_late(today, now, late):
    due = deadline(FRIDAY, lead_days=2, margin_days=1, today=date(2026, 11, 30) + timedelta(days=today))
    assert (due.now, due.late) == (now, late)


def test_packs_come_whole():
    assert [packs_for(D(n), D(250)) for n in (0, 1, 250, 251, 1000)] == [0, 1, 1, 2, 4]
    assert packs_for(D("0.001"), D(3000)) == 1


@given(AMOUNTS, AMOUNTS)
def test_packs_hold_what_is_missing_and_no_pack_too_many(missing, size):
    packs = packs_for(missing, size)
    assert packs * size >= missing
    assert (packs - 1) * size < missing


@given(AMOUNTS, AMOUNTS, st.floats(0, 1000))
def test_at_a_steady_pace_the_level_is_kept_until_that_day_and_no_longer(left, pace, level):
    days = reaches(left, pace, level)
    if days is None:
        assert left - pace * 3650 > D(str(level))
    elif days:
        assert left - pace * days >= D(str(level)) - D("0.001")
        assert left - pace * (days + 1) < D(str(level)) + D("0.001")
    else:
        assert left - pace < D(str(level))


def test_what_cannot_be_is_refused():
    for wrong in (
        lambda: packs_for(D(1), D(0)),
        lambda: deadline(FRIDAY, lead_days=-1, margin_days=0, today=FRIDAY),
        lambda: pace_of(D(1), 0),
        lambda: pace_of(D(-1), 5),
    ):
        with pytest.raises(ValueError, match=r"\."):
            wrong()

"""Touches on kitchens made up with known truth (seeded): what is found, how often the slow figure holds."""

from math import exp, log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.drying import Bias, Room, learning, times
from bakery.craft.drying.learning import Learnt, Touch, learn
from bakery.craft.drying.times import PER_BATCH, Z90

MODEL = 10.5


def _touch(rng, bias: float, spread: float = PER_BATCH) -> Touch:
    """Soft at bedtime, hard in the morning, or one of them only: as a night gives it."""
    real = MODEL * exp(bias + spread * rng.standard_normal())
    bedtime, morning = 3 + rng.random() * 3, 9 + rng.random() * 4
    soft, hard = (bedtime if real > bedtime else None), (morning if real <= morning else None)
    if hard is None:
        soft = morning
        noon = morning + 4 + rng.random() * 3
        hard = noon if real <= noon else None
        soft = soft if hard is not None else noon
    if rng.random() < 0.3 and hard is not None:
        soft = None
    return Touch(MODEL, soft, hard)


def _kitchens(touches: int, kitchens: int = 250, missing: float = 0.0):
    """(share of real times within the slow figure, mean absolute error of b, spread of b)."""
    rng = np.random.default_rng(7)
    inside, wrong, spread = [], [], []
    for _ in range(kitchens):
        truth = 0.30 * rng.standard_normal()
        told = [_touch(rng, truth) for _ in range(touches)]
        known = learn([touch for touch in told if rng.random() >= missing])
        wide = (known.bias.variance + PER_BATCH**2) ** 0.5
        slow = MODEL * exp(known.bias.mean + Z90 * wide)
        inside += [MODEL * exp(truth + PER_BATCH * rng.standard_normal()) <= slow for _ in range(10)]
        wrong.append(abs(known.bias.mean - truth))
        spread.append(known.bias.variance**0.5)
    return float(np.mean(inside)), float(np.mean(wrong)), float(np.mean(spread))


@pytest.mark.parametrize("touches", [0, 3, 8])
def test_nine_nights_of_ten_stay_within_the_slow_figure(touches):
    inside, _, _ = _kitchens(touches)
    assert 0.86 <= inside <= 0.95


def test_also_with_seven_of_ten_evenings_unlogged():
    inside, wrong, _ = _kitchens(10, missing=0.7)
    assert 0.86 <= inside <= 0.95
    assert wrong < _kitchens(0)[1]


def test_more_touches_know_more():
    wrong = [_kitchens(n)[1] for n in (0, 3, 10, 30)]
    assert wrong == sorted(wrong, reverse=True)
    assert wrong[2] < 0.6 * wrong[0]


def test_measured_times_give_the_textbook_posterior_where_no_touch_is_a_slip(monkeypatch):
    """Normal mean with known variance: var = 1/(1/s0^2 + n/s^2), mean = var * sum/s^2 (any textbook)."""
    monkeypatch.setattr(learning, "STRAY", 1e-9)
    learning._chance.cache_clear()
    logs = [0.20, 0.05, 0.32, 0.11]
    told = [Touch(10.0, 10 * exp(y - 0.01), 10 * exp(y + 0.01)) for y in logs]
    found = learn(told).bias
    variance = 1 / (1 / 0.30**2 + len(logs) / PER_BATCH**2)
    assert found.variance == pytest.approx(variance, rel=0.03)
    assert found.mean == pytest.approx(variance * sum(logs) / PER_BATCH**2, abs=0.005)
    learning._chance.cache_clear()


def test_one_side_alone_counts():
    assert learn([Touch(10.0, soft=14.0)]).factor > 1.1
    assert learn([Touch(10.0, hard=6.0)]).factor < 0.9


def test_hard_very_late_says_nothing():
    assert learn([Touch(10.0, hard=60.0)]).bias.mean == pytest.approx(0, abs=0.01)


def test_a_slip_is_held_back_and_named():
    told = [Touch(10.0, 9.0, 11.0) for _ in range(6)]
    found = learn([*told[:3], Touch(10.0, hard=0.5), *told[3:]])
    assert found.held_back == (3,)
    assert found.rests_on == 6
    assert found.factor == pytest.approx(learn(told).factor)


def test_nothing_told_nothing_learnt():
    assert learn([]) == Learnt(Bias())


@given(st.lists(st.tuples(st.floats(6, 12), st.floats(0.5, 4)), min_size=1, max_size=6))
def test_touches_make_it_surer_and_their_order_does_not_matter(rows):
    told = [Touch(10.0, soft, soft + more) for soft, more in rows]
    found = learn(told)
    assert found.bias.variance < 0.30**2
    if not found.held_back:
        again = learn(list(reversed(told)))
        if not again.held_back:
            assert again.bias.mean == pytest.approx(found.bias.mean, abs=1e-9)


def test_what_is_learnt_moves_the_waits():
    slow = learn([Touch(MODEL, soft=MODEL * 1.5) for _ in range(4)]).bias
    room = Room(21.0, 0.45, True)
    assert times(room, bias=slow).wait("base_dry").usual > times(room).wait("base_dry").usual
    assert slow.mean > log(1.2)


@pytest.mark.parametrize(
    ("model", "soft", "hard"),
    [(10, None, None), (10, 5, 3), (10, -1, None), (10, None, 500), (0, 1, None), (10, float("nan"), None)],
)
def test_a_touch_that_cannot_be_is_said(model, soft, hard):
    with pytest.raises(ValueError, match=r"touch|hard"):
        Touch(model, soft, hard)

"""Cleaning minutes: known examples, and what a few timings teach."""

import numpy as np
import pytest

from bakery.craft.airbrush import CLEANING, Cleaning, Paint, clean_minutes, learn

COLOURS = {
    "yellow": "#f7dc6f", "navy": "#1b2a49", "black": "#111111", "white": "#ffffff", "pink": "#f5b7c4",
    "red": "#c0392b", "fern": "#4f7942", "sky": "#85c1e9", "plum": "#512e5f", "sand": "#e6d3a3",
}  # fmt: skip
PAINTS = [Paint(name, shade) for name, shade in COLOURS.items()]


def test_light_to_dark_is_cheap_and_dark_to_light_is_dear():
    named = {p.name: p for p in PAINTS}
    there = clean_minutes(named["yellow"], named["navy"])
    back = clean_minutes(named["navy"], named["yellow"])
    assert 0.8 < there < 1.5
    assert 4 < back < 6
    assert clean_minutes(named["black"], named["white"]) > back - 0.5
    assert clean_minutes(named["red"], named["red"]) == 0


def test_no_timing_keeps_the_usual_figures():
    assert learn([]) == CLEANING


@pytest.mark.parametrize("seed", range(6))
def test_five_timings_halve_the_error_on_average_and_many_find_the_truth(seed):
    """A made kitchen half as slow again, timings scattered by a quarter: synthetic truth, seeded."""
    rng = np.random.default_rng(seed)
    truth = Cleaning(
        0.4 * rng.lognormal(0, 0.45), 0.15 * rng.lognormal(0, 0.45), 0.55 * rng.lognormal(0, 0.45)
    )
    pairs = [(a, b) for a in PAINTS for b in PAINTS if a is not b]

    def error(found):
        return np.mean([abs(clean_minutes(a, b, found) / clean_minutes(a, b, truth) - 1) for a, b in pairs])

    def timed(n):
        chosen = [pairs[i] for i in rng.permutation(len(pairs))[:n]]
        return [(a, b, clean_minutes(a, b, truth) * rng.lognormal(0, 0.25)) for a, b in chosen]

    assert error(learn(timed(80))) < 0.15
    assert error(learn(timed(5))) < max(0.35, error(CLEANING))


def test_figures_never_fall_below_nothing():
    dark, light = PAINTS[2], PAINTS[3]
    found = learn([(dark, light, 0.0), (light, dark, 30.0), (dark, light, 0.0)])
    assert min(found.always, found.shows, found.lighter) >= 0


@pytest.mark.parametrize("minutes", [-1, 61, float("nan"), float("inf")])
def test_a_timing_that_cannot_be_is_said(minutes):
    with pytest.raises(ValueError, match="60 minutes"):
        learn([(PAINTS[0], PAINTS[1], minutes)])


@pytest.mark.parametrize("shade", ["red", "#12345", "#12345g", "", "#1234567", "<b>"])
def test_a_colour_that_is_none_is_said(shade):
    with pytest.raises(ValueError, match="looks like"):
        Paint("x", shade)


def test_drops_are_counted_from_nothing():
    with pytest.raises(ValueError, match="Drops"):
        Paint("x", "#112233", {"red": -1})

"""Levers, a usual year, crowds; and the whole model on a grid."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.drying import (
    Bias,
    Coat,
    Room,
    crowding,
    hours_to_dry,
    levers_of,
    months,
    times,
    typical_room,
    vapour_pressure,
    warmed,
)

ROOMS = st.builds(Room, st.floats(14, 30), st.floats(0.2, 0.85), st.just(True))


@given(ROOMS, st.sampled_from(["still", "fan"]), st.floats(1, 4), st.booleans())
def test_every_lever_is_quicker_than_the_room_and_never_a_stand_in(room, air, thickness, dryer):
    here = times(room, thickness, air)
    now = here.wait("base_dry")
    found = levers_of(here, dryer=dryer)
    assert [one.span.usual for one in found] == sorted(one.span.usual for one in found)
    for one in found:
        assert not one.span.never
        assert now.never or one.span.usual < now.usual
        assert one.span.usual <= one.span.slow
    assert dryer or all(one.key != "dryer" for one in found)
    assert air != "fan" or all(one.key != "fan" for one in found)


def test_what_hardens_nowhere_is_not_a_lever():
    """At 80 % no fan and no thinner coat helps; drier air does."""
    keys = {one.key for one in levers_of(times(Room(20, 0.80, True)), dryer=True)}
    assert "dry" in keys
    assert not keys & {"fan", "thin"}


def test_a_lever_gives_what_the_model_says():
    here = times(Room(19, 0.74, True))
    by = {one.key: one for one in levers_of(here, dryer=True)}
    assert by["both"].span == times(Room(22, 0.55, True)).wait("base_dry")
    assert by["dry"].span == times(Room(19, 0.55, True)).wait("base_dry")
    assert by["dryer"].span == times(Room(19, 0.74, True), air="dryer").wait("base_dry")


def test_levers_count_on_what_is_known_of_their_own_air():
    here = times(Room(20, 0.6, True))
    slow = {"fan": Bias(0.4, 0.02), "dryer": Bias(0.3, 0.02)}
    plain = {one.key: one.span for one in levers_of(here, dryer=True)}
    taught = {one.key: one.span for one in levers_of(here, dryer=True, bias=slow)}
    assert taught["fan"].usual > plain["fan"].usual
    assert taught["dryer"].usual > plain["dryer"].usual
    assert taught["dry"] == plain["dry"]


@given(ROOMS, st.floats(0, 10))
def test_warming_keeps_the_vapour(room, by):
    hot = warmed(room, by)
    assert vapour_pressure(hot.temperature_c, hot.humidity) == pytest.approx(
        vapour_pressure(room.temperature_c, room.humidity)
    )


def test_a_usual_year_is_ours_or_hers():
    assert typical_room(7).humidity == months.TYPICAL[6]
    assert typical_room(7, tuple(0.01 * month for month in range(40, 52))).humidity == 0.46
    assert not typical_room(1).measured
    assert all(0.3 < one < 0.65 for one in months.TYPICAL)
    with pytest.raises(ValueError, match="month"):
        typical_room(13)
    with pytest.raises(ValueError, match="twelve"):
        typical_room(1, (0.5,))


def test_a_tray_gives_off_about_forty_grams():
    """24 cookies of 40 cm2 and 2.5 mm: 1250 x 0.0025 x 0.8 x 0.85 kg/m2 of solids lose 20 of 100 g."""
    found = crowding(24, 40, 10.5, t_c=20.0, volume_m3=30)
    assert found.water_g == pytest.approx(1250 * 0.0025 * 0.8 * 0.85 * 0.20 * 24 * 0.004 * 1000)
    assert found.water_g == pytest.approx(41, abs=0.5)
    # 30 m3 at 20 C saturate with 30 x 17.3 g (steam tables): 41 of 519 g are 7.9 %.
    assert found.shut == pytest.approx(41 / (30 * 17.3), rel=0.02)
    assert 0 < found.ventilated < found.shut


@pytest.mark.parametrize("wrong", [(-1, 40, 5), (1, -40, 5), (1, 40, 0), (1, 40, float("nan"))])
def test_a_crowd_that_cannot_be_is_refused(wrong):
    with pytest.raises(ValueError, match="crowd"):
        crowding(*wrong)
    with pytest.raises(ValueError, match="crowd"):
        crowding(1, 40, 5, volume_m3=0)


THICK = (0.8, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0)
DAMP = tuple(0.20 + 0.02 * i for i in range(25))  # up to 0.68
WARM = tuple(range(14, 33, 2))


def through(warm, damp, thick, air):
    return hours_to_dry(float(warm), damp, "through", Coat(thickness_mm=thick), air)


def test_it_is_monotone_on_a_grid_of_all_four():
    """7 x 25 x 10 x 2 rooms and coats: up with thickness and humidity, down with warmth and moving air."""
    grid = {
        (w, d, t, a): through(w, d, t, a) for w in WARM for d in DAMP for t in THICK for a in ("still", "fan")
    }
    assert all(hours is not None and hours > 0 for hours in grid.values())
    for w in WARM:
        for d in DAMP:
            for a in ("still", "fan"):
                assert all(grid[w, d, one, a] < grid[w, d, two, a] for one, two in pairwise(THICK))
            assert all(grid[w, d, t, "fan"] < grid[w, d, t, "still"] for t in THICK)
    for t in THICK:
        for a in ("still", "fan"):
            for w in WARM:
                assert all(grid[w, one, t, a] < grid[w, two, t, a] for one, two in pairwise(DAMP))
            for d in DAMP:
                assert all(grid[one, d, t, a] > grid[two, d, t, a] for one, two in pairwise(WARM))


def test_no_finite_time_on_the_grid_above_the_limit():
    for damp in (0.70, 0.705, 0.71, 0.75, 0.84, 0.85, 0.9, 1.0):
        for warm in WARM:
            for thick in THICK:
                assert through(warm, damp, thick, "still") is None
                assert times(Room(float(warm), damp), thick).wait("base_dry").never

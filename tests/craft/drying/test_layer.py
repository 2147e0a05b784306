"""The closed form of the drying model: against its own differential equation, and how it moves."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.drying import HUMIDITY_LIMIT, MILESTONES, Coat, hours_to_dry, water_curve, water_left
from bakery.craft.drying import layer as model
from bakery.craft.drying.psychrometrics import saturation_pressure, saturation_slope

ROOMS = st.floats(12, 32)
DRY = st.floats(0.15, 0.69)
COATS = st.floats(0.8, 5.0)


def by_steps(t_c, humidity, coat, air, until, steps=2000):
    """Hours by stepping the drying rate: a surface cooled by evaporation, film, and growing dry shell."""
    film, heat = model.AIR[air], 1080 * model.AIR[air] + 10.5
    pressure, slope = saturation_pressure(t_c), saturation_slope(t_c)
    q = model.GAS * (t_c + 273.15) / model.MOLAR_WATER
    height = coat.thickness_mm / 1000
    seconds, width = 0.0, (coat.start - until) / steps
    for i in range(steps):
        x = coat.start - (i + 0.5) * width
        activity = model.SATURATED * (1 - 2.718281828459045 ** (-x / model.ISOTHERM))
        shell = height * (coat.start - x) / coat.start
        resistance = q / film + q * shell / model.SHELL + model.LATENT * slope * activity / heat
        rate = pressure * (activity - humidity) / resistance  # kg of water per square metre and second
        seconds += coat.solids * width / 100 / rate
    return seconds / 3600


@pytest.mark.parametrize("thickness", [1.5, 2.5, 4.0])
@pytest.mark.parametrize(("t_c", "humidity"), [(18, 0.61), (20.5, 0.5), (27, 0.35), (21, 0.68)])
@pytest.mark.parametrize("air", ["still", "fan"])
def test_the_closed_form_equals_two_thousand_steps(thickness, t_c, humidity, air):
    coat = Coat(thickness_mm=thickness)
    closed = hours_to_dry(t_c, humidity, "through", coat, air)
    assert closed == pytest.approx(by_steps(t_c, humidity, coat, air, model.HARD), rel=0.005)


def test_the_base_case_of_an_ordinary_kitchen():
    """2.5 mm at 21 C and 45 %: overnight; crusted within the hour, touch-dry after some three (practice)."""
    crust, touch, stencil, through = (hours_to_dry(21, 0.45, milestone) for milestone in MILESTONES)
    assert through == pytest.approx(10.5, abs=0.05)
    assert crust == pytest.approx(0.7, abs=0.05)
    assert touch == pytest.approx(2.9, abs=0.05)
    assert stencil == pytest.approx(6.4, abs=0.05)
    assert hours_to_dry(21, 0.45, air="fan") / through == pytest.approx(0.53, abs=0.01)


@given(ROOMS, DRY, COATS, st.sampled_from(["still", "fan", "dryer"]))
def test_milestones_come_in_order(t_c, humidity, thickness, air):
    coat = Coat(thickness_mm=thickness)
    hours = [hours_to_dry(t_c, humidity, milestone, coat, air) for milestone in MILESTONES]
    assert all(h is not None for h in hours)
    assert hours == sorted(hours)
    assert hours[0] >= 0


@given(ROOMS, DRY, COATS, COATS, st.sampled_from(MILESTONES))
def test_a_thicker_coat_is_never_quicker_through(t_c, humidity, one, other, milestone):
    thin, thick = sorted((one, other))
    if milestone in ("stencil", "through"):
        quick = hours_to_dry(t_c, humidity, milestone, Coat(thickness_mm=thin))
        assert quick <= hours_to_dry(t_c, humidity, milestone, Coat(thickness_mm=thick)) + 1e-9


@given(ROOMS, DRY, DRY, COATS, st.sampled_from(MILESTONES), st.sampled_from(["still", "fan", "dryer"]))
def test_a_damper_room_is_never_quicker(t_c, one, other, thickness, milestone, air):
    dry, damp = sorted((one, other))
    coat = Coat(thickness_mm=thickness)
    assert (
        hours_to_dry(t_c, dry, milestone, coat, air) <= hours_to_dry(t_c, damp, milestone, coat, air) + 1e-9
    )


@given(ROOMS, ROOMS, DRY, COATS, st.sampled_from(MILESTONES), st.sampled_from(["still", "fan"]))
def test_a_warmer_room_is_never_slower(one, other, humidity, thickness, milestone, air):
    cold, warm = sorted((one, other))
    coat = Coat(thickness_mm=thickness)
    assert (
        hours_to_dry(warm, humidity, milestone, coat, air)
        <= hours_to_dry(cold, humidity, milestone, coat, air) + 1e-9
    )


@given(ROOMS, DRY, COATS, st.sampled_from(MILESTONES))
def test_moving_air_is_quicker(t_c, humidity, thickness, milestone):
    coat = Coat(thickness_mm=thickness)
    assert hours_to_dry(t_c, humidity, milestone, coat, "fan") <= hours_to_dry(t_c, humidity, milestone, coat)


@given(ROOMS, st.floats(0.70, 1.0), COATS, st.sampled_from(["still", "fan"]))
def test_above_the_limit_the_answer_is_never(t_c, humidity, thickness, air):
    coat = Coat(thickness_mm=thickness)
    assert hours_to_dry(t_c, humidity, "through", coat, air) is None
    assert hours_to_dry(t_c, humidity, "stencil", coat, air) is None


def test_the_limit_is_where_the_isotherm_says():
    assert pytest.approx(0.707, abs=0.001) == HUMIDITY_LIMIT


def test_a_damp_room_still_crusts_which_is_the_trap():
    assert hours_to_dry(21, 0.80, "crust") == pytest.approx(5.8, abs=0.1)
    assert hours_to_dry(21, 0.80, "through") is None


@given(ROOMS, DRY, COATS)
def test_the_dryer_promises_no_less_than_two_fifths_of_still_air(t_c, humidity, thickness):
    coat = Coat(thickness_mm=thickness)
    still = hours_to_dry(t_c, humidity, "through", coat)
    assert hours_to_dry(t_c, humidity, "through", coat, "dryer") >= 0.40 * still - 1e-9


def test_the_dryer_dries_what_a_damp_room_never_would():
    assert hours_to_dry(21, 0.75) is None
    assert hours_to_dry(21, 0.75, air="dryer") is not None


@pytest.mark.parametrize(
    ("t_c", "humidity", "air"), list(itertools.product((18, 24), (0.4, 0.6), ("still", "fan", "dryer")))
)
def test_water_left_falls_from_all_to_nothing(t_c, humidity, air):
    dry = hours_to_dry(t_c, humidity, "through", None, air)
    left = [water_left(dry * share, t_c, humidity, None, air) for share in (0, 0.1, 0.3, 0.6, 0.9, 1.2, 3)]
    assert left[0] == 1
    assert left == sorted(left, reverse=True)
    assert left[-1] == 0
    if air != "dryer":
        assert water_left(
            hours_to_dry(t_c, humidity, "stencil", None, air), t_c, humidity, None, air
        ) == pytest.approx(0.30, abs=0.01)


def test_in_a_melting_room_all_the_water_stays():
    assert water_left(100, 21, 0.9) == 1.0


@pytest.mark.parametrize(
    "wrong",
    [
        {"t_c": 60},
        {"t_c": float("nan")},
        {"humidity": 1.4},
        {"humidity": -0.2},
        {"milestone": "soon"},
        {"air": "storm"},
    ],
)
def test_what_the_model_does_not_cover_is_refused(wrong):
    with pytest.raises(ValueError, match=r"There is no|outside"):
        hours_to_dry(**({"t_c": 20, "humidity": 0.5} | wrong))


@pytest.mark.parametrize(
    "wrong", [{"thickness_mm": 0}, {"thickness_mm": float("nan")}, {"water": 0.9}, {"uptake": 1.0}]
)
def test_icing_that_does_not_exist_is_refused(wrong):
    with pytest.raises(ValueError, match=r"outside|does not exist"):
        Coat(**wrong)


@given(ROOMS, st.floats(0.15, 0.82), COATS, st.sampled_from(["still", "fan", "dryer"]), st.floats(2, 60))
def test_the_curve_read_off_a_table_is_the_curve(t_c, humidity, thickness, air, hours):
    coat = Coat(thickness_mm=thickness)
    found = water_curve(hours, 9, t_c, humidity, coat, air)
    exact = [water_left(hours * i / 8, t_c, humidity, coat, air) for i in range(9)]
    assert list(found) == sorted(found, reverse=True)
    assert found == pytest.approx(exact, abs=0.01)

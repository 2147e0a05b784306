"""Moist air beside PsychroLib itself (MIT; Meyer & Thevenard, J. Open Source Software 4 (2019) 1137).

It ships as source only, which the set-up of the tests does not build: `.venv/bin/pip install psychrolib`
first, else this file is skipped and the kept tables of test_moist_air.py stand alone.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.drying import dew_point, humidity_indoors, saturation_pressure, vapour_pressure

psychrolib = pytest.importorskip("psychrolib")
psychrolib.SetUnitSystem(psychrolib.SI)
AIRS = st.floats(0.05, 1.0)


@given(st.floats(0.1, 50))
def test_saturation_pressure_beside_the_package(t):
    tolerance = 3e-4 if 5 <= t <= 45 else 5e-4
    assert saturation_pressure(t) == pytest.approx(psychrolib.GetSatVapPres(t), rel=tolerance)


@given(st.floats(5, 45), AIRS)
def test_vapour_and_dew_point_beside_the_package(t, humidity):
    assert vapour_pressure(t, humidity) == pytest.approx(
        psychrolib.GetVapPresFromRelHum(t, humidity), rel=3e-4
    )
    expected = psychrolib.GetTDewPointFromRelHum(t, humidity)
    if expected > 0.1:  # below freezing the reference's dew point is over ice
        assert dew_point(t, humidity) == pytest.approx(expected, abs=0.02)


@given(st.floats(0.1, 40), AIRS, st.floats(15, 30))
def test_outdoor_air_indoors_beside_the_package(outside, humidity, kitchen):
    """By way of the humidity ratio, which warming leaves as it is."""
    ratio = psychrolib.GetHumRatioFromRelHum(outside, humidity, 101325)
    expected = psychrolib.GetVapPresFromHumRatio(ratio, 101325) / psychrolib.GetSatVapPres(kitchen)
    assert humidity_indoors(outside, humidity, kitchen) == pytest.approx(min(1.0, expected), rel=8e-4)

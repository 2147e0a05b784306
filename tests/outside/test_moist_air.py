"""Buck (1996) against PsychroLib, IF97, IAPWS-95 and published ASHRAE points, in tables that are kept."""

import csv
from pathlib import Path

import pytest

from bakery.craft.drying import (
    dew_point,
    humidity_indoors,
    saturation_pressure,
    saturation_slope,
    vapour_pressure,
)

DATA = Path(__file__).parent / "data" / "psychrometrics"


def rows(name):
    with open(DATA / name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


SATURATION = rows("saturation_pressure_0_50C.csv")


@pytest.mark.parametrize("row", SATURATION, ids=lambda r: f"{r['t_C']} C")
def test_saturation_pressure(row):
    ours = saturation_pressure(float(row["t_C"]))
    # Buck is within 0.02 % of the ASHRAE formula, and that within 0.03 % of IF97 and IAPWS-95.
    for name in row:
        if name.startswith("p_sat") and row[name]:
            assert ours == pytest.approx(float(row[name]), rel=5e-4), name


@pytest.mark.parametrize(
    "row", [r for r in SATURATION if 5 <= float(r["t_C"]) <= 45], ids=lambda r: f"{r['t_C']} C"
)
def test_saturation_pressure_in_a_kitchen_is_within_three_in_ten_thousand_of_psychrolib(row):
    reference = float(row["p_sat_Pa_psychrolib_2_5_0_ashrae2017_eq5_eq6"])
    assert saturation_pressure(float(row["t_C"])) == pytest.approx(reference, rel=3e-4)


@pytest.mark.parametrize(
    "row",
    [
        r
        for r in rows("ashrae_published_points.csv")
        if r["quantity"] == "p_sat" and float(r["t_C_or_altitude_m"]) < 60
    ],
    ids=lambda r: f"{r['t_C_or_altitude_m']} C",
)
def test_published_points(row):
    # The handbook's Table 3; PsychroLib's own tests allow 300 ppm.
    assert saturation_pressure(float(row["t_C_or_altitude_m"])) == pytest.approx(
        float(row["value"]), rel=4e-4
    )


GRID = rows("moist_air_101325Pa.csv")


@pytest.mark.parametrize("row", GRID, ids=lambda r: f"{r['t_dry_bulb_C']} C {r['relative_humidity']}")
def test_vapour_pressure_and_dew_point(row):
    t, humidity = float(row["t_dry_bulb_C"]), float(row["relative_humidity"])
    assert vapour_pressure(t, humidity) == pytest.approx(float(row["vapour_pressure_Pa"]), rel=4e-4)
    deficit = saturation_pressure(t) - vapour_pressure(t, humidity)
    assert deficit == pytest.approx(float(row["vapour_pressure_deficit_Pa"]), rel=4e-4)
    expected = float(row["dew_point_C"])
    if expected > 0:  # below freezing the reference's dew point is over ice
        assert dew_point(t, humidity) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize("t", [5, 15, 20.5, 30, 45])
def test_the_slope_is_the_derivative(t):
    numeric = (saturation_pressure(t + 1e-4) - saturation_pressure(t - 1e-4)) / 2e-4
    assert saturation_slope(t) == pytest.approx(numeric, rel=1e-6)


def test_dew_point_leads_back_to_the_same_vapour():
    assert saturation_pressure(dew_point(21, 0.45)) == pytest.approx(vapour_pressure(21, 0.45), rel=1e-9)


def test_outside_air_is_drier_in_a_warm_kitchen():
    # 8 C and 90 % holds 966 Pa, which at 20 C (2339 Pa) is 41 %.
    assert humidity_indoors(8, 0.90, 20) == pytest.approx(0.41, abs=0.005)
    assert humidity_indoors(30, 0.9, 18) == 1.0


@pytest.mark.parametrize("t", [-60, 90, float("nan")])
def test_temperatures_no_kitchen_has_are_refused(t):
    with pytest.raises(ValueError, match="outside"):
        saturation_pressure(t)


@pytest.mark.parametrize("humidity", [-0.1, 1.2, float("nan")])
def test_humidities_out_of_range_are_refused(humidity):
    with pytest.raises(ValueError, match="humidity"):
        vapour_pressure(20, humidity)


def test_bone_dry_air_has_no_dew_point():
    with pytest.raises(ValueError, match="no dew point"):
        dew_point(20, 0)


INDOORS = [row for row in SATURATION if 18 <= float(row["t_C"]) <= 26]


@pytest.mark.parametrize("row", GRID, ids=lambda r: f"{r['t_dry_bulb_C']} C {r['relative_humidity']}")
def test_outdoor_air_brought_indoors(row):
    """The same vapour (PsychroLib's table) over the saturation pressure of the kitchen (its other table)."""
    outside, humidity = float(row["t_dry_bulb_C"]), float(row["relative_humidity"])
    assert INDOORS
    for kitchen in INDOORS:
        reference = float(row["vapour_pressure_Pa"]) / float(
            kitchen["p_sat_Pa_psychrolib_2_5_0_ashrae2017_eq5_eq6"]
        )
        found = humidity_indoors(outside, humidity, float(kitchen["t_C"]))
        assert found == pytest.approx(min(1.0, reference), rel=6e-4)

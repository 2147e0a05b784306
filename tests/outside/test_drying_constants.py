"""The drying model's constants against published water activities and evaporation rates."""

import csv
import json
from pathlib import Path

import pytest

from bakery.craft.drying import hours_to_dry
from bakery.craft.drying.layer import AIR, GAS, LATENT, MOLAR_WATER, SATURATED

DATA = Path(__file__).parent / "data" / "drying"
ACTIVITY = json.loads((DATA / "water_activity.json").read_text(encoding="utf-8"))
EVAPORATION = json.loads((DATA / "evaporation.json").read_text(encoding="utf-8"))


def test_saturated_syrup_has_the_published_water_activity():
    assert pytest.approx(ACTIVITY["saturated_published"]["a_w"], abs=0.005) == SATURATED


def test_saturated_syrup_agrees_with_norrish_between_20_and_30_degrees():
    with open(DATA / "sucrose_saturation.csv", newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if 20 <= float(row["t_C"]) <= 30]
    assert rows
    for row in rows:
        # One constant serves all temperatures there, so a hundredth is as near as it gets.
        assert float(row["norrish_water_activity_K_6_47_computed"]) == pytest.approx(SATURATED, abs=0.01)


@pytest.mark.parametrize("salt", sorted(ACTIVITY["salt_standards_25C"]))
def test_icing_dries_over_drier_salts_and_never_over_wetter_ones(salt):
    """In a jar over a saturated salt the air has the salt's activity; 0.70 is the limit for icing."""
    humidity = ACTIVITY["salt_standards_25C"][salt]
    assert (hours_to_dry(25, humidity) is None) == (humidity >= 0.70)


def film(air):
    """Our film coefficient as kg of water per second, square metre and kilopascal at 20 C."""
    return AIR[air] * MOLAR_WATER / (GAS * 293.15) * 1000


def test_the_still_film_is_near_what_was_measured_on_undisturbed_water():
    """Carrier's equation without draught; 74 % of it was measured on still water (ASHRAE Trans. 104)."""
    assert "74 %" in EVAPORATION["carrier_ip"]["source"]
    assert "0.089 + 0.0782 v" in EVAPORATION["carrier_si"]["formula"]
    carrier = 0.089 / (LATENT / 1000)
    assert film("still") == pytest.approx(0.74 * carrier, rel=0.15)


def test_the_fan_is_a_breeze_of_the_same_formula():
    """A kitchen fan at a tray: Carrier at 1.5 to 4 m/s spans it."""
    at = {v: (0.089 + 0.0782 * v) / (LATENT / 1000) for v in (1.5, 4.0)}
    assert at[1.5] < film("fan") < at[4.0]


@pytest.mark.parametrize("example", EVAPORATION["examples"], ids=lambda one: f"{one['v']} m/s")
def test_the_published_pool_is_worked_out_and_lies_between_our_still_air_and_our_fan(example):
    """g = (25 + 19 v) A (x_s - x): half a metre a second is more than a still kitchen, less than its fan."""
    assert "(25 + 19 v)" in EVAPORATION["formula"]
    area, rise = example["A"], example["x_s"] - example["x"]
    kilos = (25 + 19 * example["v"]) * area * rise
    assert kilos == pytest.approx(example["kg_per_h"], rel=1e-4)
    assert kilos / 3600 == pytest.approx(example["kg_per_s_published"], abs=0.0005)

    def pressure(x):
        """Vapour pressure [kPa] of a humidity ratio [kg/kg] at sea level."""
        return 101.325 * x / (0.622 + x)

    gap = pressure(example["x_s"]) - pressure(example["x"])
    assert film("still") < kilos / 3600 / area / gap < film("fan")

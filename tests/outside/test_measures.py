"""Household measures against USDA SR Legacy, conversions against the definitions of NIST Handbook 44."""

import csv
import re
from fractions import Fraction
from pathlib import Path

import pytest

from bakery.craft.ingredients import parse_line, weigh
from bakery.craft.units import DROP_ML, HOUSEHOLD, VOLUMES, convert, drops, grams

DATA = Path(__file__).parent / "data" / "ingredients"
UNITS = {
    "gallon_US": ("gallon", "l"),
    "cup_US": ("cup", "ml"),
    "fluid_ounce_US": ("fl oz", "ml"),
    "tablespoon_US": ("tbsp", "ml"),
    "teaspoon_US": ("tsp", "ml"),
    "ounce_avoirdupois": ("oz", "g"),
    "inch": ("inch", "mm"),
}
NDB = {food.ndb: name for name, food in HOUSEHOLD.items()}


def rows(name):
    with open(DATA / name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows("unit_conversions_exact.csv"), ids=lambda r: r["unit"])
def test_conversions_are_exact(row):
    unit, to = UNITS[row["unit"]]
    assert convert(1, unit, to) == Fraction(row["equals"])


def measure_of(text):
    """The cited table's wording as unit words, or None for measures of another state (ground, whipped)."""
    text = text.split(" (")[0].removeprefix("serving ").strip()
    text = {"cup unpacked": "loose cup", "cup packed": "cup", "cup unsifted": "cup", "tbsp unsifted": "tbsp",
            "tsp packed": "tsp", "cup, fluid": "cup", "cup, firmly packed": "cup", "cup, ground": "cup",
            "1 cube": "cube", "1 tbsp": "tbsp"}.get(text, text)  # fmt: skip
    return text


COMPARED = [
    row
    for row in rows("household_weights_usda_sr_legacy.csv")
    if int(row["ndb_no"]) in NDB
    and (
        measure_of(row["measure"]) in VOLUMES
        or measure_of(row["measure"]) in HOUSEHOLD[NDB[int(row["ndb_no"])]].measures
    )
]


@pytest.mark.parametrize("row", COMPARED, ids=lambda r: f"{r['ndb_no']} {r['measure']}")
def test_every_household_measure_agrees_with_the_table(row):
    food, unit = NDB[int(row["ndb_no"])], measure_of(row["measure"])
    # Half a gram is what the table itself is rounded to at these sizes.
    assert grams(row["amount"], unit, food) == pytest.approx(float(row["grams"]), abs=0.05, rel=0.005)


def test_most_rows_of_the_table_are_compared():
    assert len(COMPARED) >= 55


VOLUME_ROWS = [
    row
    for row in COMPARED
    if measure_of(row["measure"]) in VOLUMES and HOUSEHOLD[NDB[int(row["ndb_no"])]].density is not None
]


@pytest.mark.parametrize("row", VOLUME_ROWS, ids=lambda r: f"{r['ndb_no']} {r['measure']}")
def test_a_density_predicts_the_other_measures_to_a_few_percent(row):
    food, unit = HOUSEHOLD[NDB[int(row["ndb_no"])]], measure_of(row["measure"])
    predicted = Fraction(row["amount"]) * VOLUMES[unit] * food.density
    # The worst are spoons of sugars, which the table rounds: 12 % is seen for a teaspoon of vanilla.
    assert float(predicted) == pytest.approx(float(row["grams"]), rel=0.13)


def test_a_drop_is_the_conventional_one():
    drop = next(row for row in rows("drop_and_label_measures.csv") if row["measure"] == "drop")
    assert Fraction(drop["value"]) == DROP_ML
    assert re.search("convention", drop["source"])


def drop_or_label(name):
    row = next(row for row in rows("drop_and_label_measures.csv") if row["measure"] == name)
    return Fraction(row["value"])


def test_a_bottle_is_counted_at_the_conventional_drops_until_she_counts_hers():
    assert drops(1) == 1 / drop_or_label("drop") == 20
    assert drops(10, per_ml=30) == 300


def test_the_traditional_drop_is_a_minim():
    """1/480 of a fluid ounce, as the table computes it to four places."""
    minim = VOLUMES["fl oz"] / 480
    assert float(minim) == pytest.approx(float(drop_or_label("drop_US_traditional")), abs=5e-5)


def test_metric_spoons_are_those_of_labels():
    assert convert(1, "metric tsp", "ml") == drop_or_label("label_teaspoon")
    assert convert(1, "metric tbsp", "ml") == drop_or_label("label_tablespoon")
    assert convert(16, "metric tbsp", "ml") == drop_or_label("label_cup")
    assert convert(2, "metric tbsp", "ml") == drop_or_label("label_fluid_ounce")


def test_a_labels_ounce_is_the_exact_one_in_whole_grams():
    assert round(convert(1, "oz", "g")) == drop_or_label("label_ounce_mass")


@pytest.mark.parametrize("row", COMPARED, ids=lambda r: f"{r['ndb_no']} {r['measure']}")
def test_a_recipes_line_weighs_what_the_table_says(row):
    """The way a recipe is typed leads to the same grams as the table's own row."""
    food, unit = NDB[int(row["ndb_no"])], measure_of(row["measure"])
    line = parse_line(f"{row['amount']} {unit} {food}")
    assert (line.unit, line.name) == (unit, food)
    weighed = weigh(line)
    assert weighed.about
    assert float(weighed.grams) == pytest.approx(float(row["grams"]), abs=0.05, rel=0.005)

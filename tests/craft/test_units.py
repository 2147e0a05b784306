"""Amounts as recipes write them, and what a measure weighs."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.units import (
    HOUSEHOLD,
    LENGTHS,
    MASSES,
    VOLUMES,
    UnitError,
    convert,
    drops,
    grams,
    parse_amount,
)


@given(st.sampled_from([LENGTHS, MASSES, VOLUMES]), st.data(), st.fractions(0, 10_000))
def test_there_and_back_is_exact(kind, data, value):
    one, other = (data.draw(st.sampled_from(sorted(kind))) for _ in range(2))
    assert convert(convert(value, one, other), other, one) == value


def test_units_have_the_names_people_use():
    assert convert(1, "pounds", "oz") == 16
    assert convert(3, "teaspoons", "tbsp") == 1
    assert convert(2, "Cups", "fl oz") == 16
    assert convert(Decimal("2.5"), "inches", "cm") == Fraction("6.35")
    assert convert("0.1", "kg", "g") == 100
    assert convert(0.1, "kg", "g") == 100


def test_what_does_not_measure_the_same_is_refused():
    with pytest.raises(UnitError, match="do not measure the same"):
        convert(1, "cup", "g")


def test_a_mass_needs_no_substance_and_a_spoon_does():
    assert grams(2, "kg") == 2000
    assert grams(2, "sticks", "butter") == 226
    assert grams("1/2", "cup", "icing sugar") == 60
    assert grams(4, "large", "eggs") == 200
    assert grams(1, "tbsp", "powdered sugar") == 8
    with pytest.raises(UnitError, match="weigh it once"):
        grams(1, "cup", "moon dust")
    with pytest.raises(UnitError, match="no measure"):
        grams(1, "stick", "flour")
    with pytest.raises(UnitError, match="weigh it once"):
        grams(1, "cup", "honey")


def test_every_household_measure_is_a_positive_weight():
    assert all(g > 0 for food in HOUSEHOLD.values() for g in food.measures.values())


def test_drops_by_convention_and_as_counted():
    assert drops(20) == 400
    assert drops(20, per_ml=30) == 600
    with pytest.raises(UnitError, match="more than none"):
        drops(1, per_ml=0)


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("1 1/2 cups", Fraction(3, 2), "cups"),
        ("½ tsp", Fraction(1, 2), "tsp"),
        ("2½ tbsp", Fraction(5, 2), "tbsp"),
        ("250g", 250, "g"),
        ("2.5 kg", Fraction(5, 2), "kg"),
        ("2,5 kg", Fraction(5, 2), "kg"),
        ("3/4 cup", Fraction(3, 4), "cup"),
        ("12", 12, ""),
    ],
)
def test_amounts_are_read_as_written(text, number, unit):
    assert parse_amount(text) == (number, unit)


@pytest.mark.parametrize("text", ["", "a pinch", "1/0 cup", "-3 g"])
def test_what_is_no_amount_is_refused(text):
    with pytest.raises(UnitError):
        parse_amount(text)


@given(st.text(max_size=200))
def test_any_text_is_an_amount_or_a_sentence(text):
    try:
        number, unit = parse_amount(text)
    except UnitError:
        return
    assert number >= 0
    assert isinstance(unit, str)


@given(st.one_of(st.text(max_size=30), st.floats(), st.none()), st.text(max_size=30), st.text(max_size=30))
def test_any_nonsense_is_weighed_or_refused_in_words(value, unit, of):
    try:
        weighed = grams(value, unit, of)
    except UnitError:
        return
    assert isinstance(weighed, Fraction)

"""Recipe lines as she writes them: read, weighed where the table knows, asked about where it does not."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.ingredients import MOST, Line, allergens_of, parse_line, weigh, written
from bakery.craft.units import HOUSEHOLD, UnitError, parse_amount


@pytest.mark.parametrize(
    ("text", "amount", "unit", "name"),
    [
        ("1 1/2 cups sugar", "3/2", "cups", "sugar"),
        ("375 g flour", "375", "g", "flour"),
        ("375g flour", "375", "g", "flour"),
        ("2 eggs", "2", "", "eggs"),
        ("½ tsp salt", "1/2", "tsp", "salt"),
        ("a pinch of salt", "1", "pinch", "salt"),
        ("half a cup of milk", "1/2", "cup", "milk"),
        ("1,5 kg flour", "3/2", "kg", "flour"),
        ("250 g butter, soft", "250", "g", "butter, soft"),
        ("1 fl oz cream", "1", "fl oz", "cream"),
        ("3 large egg whites", "3", "large", "egg whites"),
        ("2 drops of oil of lemon", "2", "drops", "oil of lemon"),
    ],
)
def test_lines_are_read(text, amount, unit, name):
    assert parse_line(text) == Line(Fraction(amount), unit, name)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "salt",
        "-3 g salt",
        "0 g salt",
        "3 g",
        "1/0 cup sugar",
        "9999999 g flour",
        "1,000 g flour",
        "∞ g x",
    ],
)
def test_what_is_no_line_is_said_in_a_sentence(text):
    with pytest.raises(UnitError, match=r".+[.]"):
        parse_line(text)


@pytest.mark.parametrize(
    ("text", "grams", "about"),
    [
        ("1 lb icing sugar", Fraction("453.59237"), False),
        ("2 cups flour", 250, True),
        ("2 eggs", 100, True),
        ("3 egg whites", 99, True),
        ("1 stick unsalted butter", 113, True),
    ],
)
def test_what_is_known_is_weighed(text, grams, about):
    found = weigh(parse_line(text))
    assert (found.grams, found.about, found.why) == (grams, about, "")


@pytest.mark.parametrize("text", ["1 cup quinoa", "2 blorps", "1 tin treacle", "a pinch of salt", "3 lemons"])
def test_what_nobody_knows_is_asked_and_never_guessed(text):
    found = weigh(parse_line(text))
    assert found.grams is None
    assert found.why.startswith("How many grams is ")


def test_a_food_is_never_taken_for_a_likely_other():
    assert weigh(parse_line("1 cup almond flour")).grams is None
    assert weigh(parse_line("1 cup brown butter")).grams is None
    assert allergens_of("rice flour") == ()
    assert allergens_of("plain flour") == ("wheat",)


@given(st.fractions(Fraction(1, 8), 500, max_denominator=8), st.sampled_from(sorted(HOUSEHOLD)))
def test_what_is_written_is_read_again(amount, food):
    line = parse_line(written(amount, "cup", food))
    assert line == Line(amount, "cup", food)


@given(st.text(max_size=200))
def test_no_text_breaks_it(text):
    try:
        line = parse_line(text)
    except UnitError:
        return
    assert 0 < line.amount <= MOST
    assert line.name
    weigh(line)


def test_a_comma_between_words_stays():
    assert parse_amount("250 g butter, soft")[1] == "g butter, soft"
    assert parse_amount("1,5 kg") == (Fraction(3, 2), "kg")

"""Dough and icing: geometry, whole batches, and what an order needs."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.recipes import (
    DOUGH,
    ICING,
    amounts,
    area_of_round,
    dough_per_cookie,
    icing_on_cookie,
    icing_to_mix,
    merged,
)
from bakery.craft.work import Layer
from tests.craft.work.makers import line, work


@pytest.mark.parametrize(("inches", "grams"), [(2, 16), (2.5, 25), (3, 36), (3.5, 49), (4, 64), (5, 101)])
def test_dough_in_a_round_cookie_of_a_quarter_inch(inches, grams):
    """The table of common practice: density 1.25, rolled 1/4 in."""
    assert dough_per_cookie(area_of_round(inches * 25.4)) == pytest.approx(grams, abs=0.9)


@pytest.mark.parametrize(("inches", "grams"), [(2, 5), (2.5, 8), (3, 11), (3.5, 15), (4, 20), (5, 31)])
def test_icing_in_a_flood_coat_of_two_millimetres(inches, grams):
    """The table of common practice: nine tenths covered, density 1.35."""
    assert icing_on_cookie(area_of_round(inches * 25.4)) == pytest.approx(grams, abs=0.5)


def test_what_stays_in_the_bag_is_a_share_and_a_fixed_part():
    assert icing_to_mix(100) == pytest.approx(135)
    assert icing_to_mix(100, bags=3) == pytest.approx(175)
    assert icing_to_mix(0) == 0


def test_whole_batches_for_a_count_a_size_and_a_thickness():
    assert DOUGH.for_cookies(40)[0] == 2
    assert DOUGH.for_cookies(41)[0] == 3
    assert DOUGH.for_cookies(20, area_cm2=92)[0] == 2
    assert DOUGH.for_cookies(20, thickness_mm=3)[0] == 1
    batches, need = DOUGH.for_cookies(41)
    assert need.grams == batches * DOUGH.grams
    assert DOUGH.for_cookies(0) == (0, DOUGH.times(0))


@given(st.fractions(0, 100))
def test_a_multiplied_recipe_keeps_its_proportions(factor):
    many = DOUGH.times(factor)
    assert many.grams == DOUGH.grams * factor
    assert [i.grams for i in many.ingredients] == [i.grams * factor for i in DOUGH.ingredients]
    assert many.allergens == DOUGH.allergens


def test_a_recipe_cannot_be_made_less_than_not_at_all():
    with pytest.raises(ValueError, match="less than no"):
        DOUGH.times(-1)


def test_allergens_come_from_the_ingredients():
    assert DOUGH.allergens == ("wheat", "milk", "egg")
    assert ICING.allergens == ("egg",)


def test_ingredients_of_several_recipes_add_up_heaviest_first():
    both = merged([DOUGH, ICING, DOUGH])
    assert both[0].name == "plain flour"
    assert both[0].grams == 750
    assert sum((i.grams for i in both), Fraction(0)) == 2 * DOUGH.grams + ICING.grams


def test_an_order_needs_so_much():
    need = amounts(work(line("stencil_detail", 24, colours=("bone", "leaf", "ochre"))))
    assert (need.dough_batches, need.cookies_cut, need.packed) == (2, 28, 24)
    assert [(bag.colour, bag.cookies) for bag in need.icing] == [("ochre", 28), ("bone", 28)]
    flood = need.icing[1]
    assert flood.on_cookies == pytest.approx(28 * 46 * 0.25 * 0.9 * 1.35, abs=0.1)
    assert flood.to_mix == pytest.approx(flood.on_cookies * 1.15 + 20, abs=0.1)
    # 8 drops a dozen and placing, two placings, 28 cookies; 6 stay in the cup
    assert need.drops == {"leaf": 44}


def test_a_colour_shared_by_two_orders_is_one_bag():
    one, two = work(line(colours=("bone",)), id="o1"), work(line(colours=("bone",)), id="o2")
    apart = amounts(one).icing_grams + amounts(two).icing_grams
    together = amounts([one, two])
    assert len(together.icing) == 1
    assert together.icing_grams == pytest.approx(apart - 20, abs=0.2)


def test_amounts_of_some_jobs_only():
    made = work(line("stencil", 24, colours=("bone", "leaf")))
    first = [job for job in made.jobs if job.id == "o1.l1.flood.1"]
    need = amounts(made, first)
    assert need.icing[0].cookies == 14
    assert need.drops == {}
    assert need.dough_batches == 0


def test_colours_of_one_pass_share_its_drops():
    def need(*colours):
        layers = (Layer("flood", ("bone",)), Layer("spray", colours, wait="base_dry", placings=1))
        return amounts(work(line(layers=layers, quantity=12, spares=0))).drops

    assert need("leaf") == {"leaf": 14}
    assert need("leaf", "bark") == {"leaf": 10, "bark": 10}


def test_names_and_transfers_are_counted():
    layers = (
        Layer("flood", ("bone",)),
        Layer("transfer", ("ink",), wait="base_dry"),
        Layer("lettering", ("ink",)),
    )
    need = amounts(work(line("lettered", 10, layers=layers, names=8, spares=0)))
    assert (need.names, need.transfers) == (8, 12)

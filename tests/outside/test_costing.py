"""Costing arithmetic against worked examples of others. Sources stand beside each."""

from decimal import Decimal
from fractions import Fraction

import pytest

from bakery.craft.costing import Part, Prices, left_of, tax_of, total_for
from bakery.craft.costing.closing import close

NO_ROAD = Part("delivery", "Delivery", Decimal("0.00"))
EXACT = {"overhead": Decimal(0), "round_to": Decimal("0.01")}


def asked(spent, time, minutes, **prices):
    return close(Decimal(spent), Decimal(time), minutes, Prices(**{**EXACT, **prices}), road=NO_ROAD).total


def test_a_job_by_direct_materials_labour_and_overhead():
    """Job order costing: materials 633, labour 231 for 2 hours, overhead (748,000 / 44,000 + 1) = 18 an hour:
    a job of 900; marked up by 30 per cent it sells at 1,170.

    Source: a textbook exercise with its solution, qammunity.org/11570314.
    """
    overhead = (Decimal(748_000) / 44_000 + 1) * 2
    assert overhead == 36
    spent = Decimal(633) + overhead
    assert spent + 231 == 900
    assert asked(spent, "231", 120, margin=Decimal("0.30")) == 1170


def test_a_job_cost_sheet():
    """Job 334: materials 5,000, labour 2,400 (400 hours at 6), overhead 100,000 / 40,000 an hour: 8,400.

    Source: a worked exercise, answer.ya.guru, "Job 334 total cost"; its unit cost of 42 is for 200 pieces.
    """
    spent = Decimal(5000) + 400 * Decimal(100_000) / 40_000
    total = asked(spent, "2400", 400 * 60, margin=Decimal(0))
    assert total == 8400
    assert total / 200 == 42


@pytest.mark.parametrize(
    ("cost", "markup", "price"),
    [
        ("4290", "0.20", "5148.00"),  # job 21, 20 % on cost: anyflip.com/ouwsq/xiqe, example 2
        ("4290", "0.25", "5362.50"),  # the same, 20 % of the selling price, which is 25 % on cost
        (
            "29.99",
            "0.25",
            "37.49",
        ),  # a pocket calculator's manual, markup on cost: power.one/t/e9c57a2c5ed6c029a109
        ("40", "0.50", "60.00"),  # calcreal.com/math/markup-calculator
    ],
)
def test_markup_on_cost(cost, markup, price):
    assert asked(cost, "0", 0, margin=Decimal(markup)) == Decimal(price)


def test_markup_is_not_margin_of_the_price():
    """Half on top of 40 is 60, of which it is a third: calcreal.com/math/markup-calculator gives 33.33 %."""
    price = asked("40", "0", 0, margin=Decimal("0.50"))
    assert (1 - Fraction(40) / Fraction(price)) == Fraction(1, 3)


def test_a_fee_on_the_whole_is_solved_for():
    """Plain arithmetic, no source: to keep 97 of a payment that loses 3 per cent, ask 100; and back again."""
    prices = Prices(fee_percent=Decimal(3), round_to=PENNY)
    assert total_for(Decimal(97), prices) == 100
    assert left_of(Decimal(100), prices) == 97
    both = Prices(
        fee_percent=Decimal("2.5"), fee_fixed=Decimal("0.30"), tax_percent=Decimal(20), round_to=PENNY
    )
    total = total_for(Decimal("81.20"), both)
    assert total - total * Fraction(25, 1000) - Fraction(3, 10) - total / 6 == Fraction("81.20")


def test_tax_included_and_on_top():
    """Plain arithmetic, no source: 20 in every 120 of a price with the tax in it; 20 on 100 without."""
    inside = Prices(tax_percent=Decimal(20))
    assert tax_of(Decimal(120), inside) == 20
    assert asked("100", "0", 0, margin=Decimal(0), tax_percent=Decimal(20)) == 120
    on_top = asked(
        "99.60", "0", 0, margin=Decimal(0), tax_percent=Decimal(20), tax_included=False, round_to=Decimal(1)
    )
    assert on_top == 120  # 99.60 is rounded to 100, and the tax comes on that
    within = asked("99.60", "0", 0, margin=Decimal(0), tax_percent=Decimal(20), round_to=Decimal(1))
    assert within == 120  # 119.52 rounded


PENNY = Decimal("0.01")

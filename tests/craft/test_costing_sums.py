"""Every figure is the sum of its opened parts to the last penny, for orders and prices of every sort."""

import random
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bakery.craft.costing import (
    Bottle,
    Prices,
    Rate,
    asked_instead,
    each_price,
    fee_of,
    floor_price,
    price_of,
    quote_lines,
    tax_of,
    wage_of,
)
from bakery.craft.work import KINDS, Layer, LineSpec, OrderSpec, Shop

WHEN = datetime(2026, 12, 5, 10, tzinfo=UTC)
PENNY = Decimal("0.01")


def money(rng, most):
    return Decimal(rng.randrange(0, int(most * 100) + 1)) / 100


def some_prices(rng) -> Prices:
    rates = {
        name: Rate(money(rng, 20), Decimal(rng.randrange(1, 300_000)) / 100)
        for name in ("butter", "egg", "bag", "wafer", "icing sugar") if rng.random() < 0.5
    }  # fmt: skip
    bottle = Bottle(
        "Navy gel", Decimal(rng.randrange(1, 200)) / 10, Rate(money(rng, 9), Decimal(700), "drop")
    )
    return Prices(
        wage=money(rng, 60), overhead=money(rng, 9), margin=Decimal(rng.randrange(0, 1500)) / 1000,
        rates=rates, gels={"navy": (bottle,)}, sprays={"leaf": (bottle, bottle)},
        rule=rng.choice(["margin", "wage"]), target_wage=money(rng, 80), per_kwh=money(rng, 2),
        fee_percent=rng.choice([Decimal(0), money(rng, 50)]),
        fee_fixed=rng.choice([Decimal(0), money(rng, 2)]),
        tax_percent=rng.choice([Decimal(0), money(rng, 50)]), tax_included=rng.random() < 0.5,
        delivery_base=money(rng, 9), delivery_per_km=money(rng, 2), rush_days=rng.randrange(0, 20),
        rush_percent=money(rng, 200), round_to=Decimal(rng.choice(["0.01", "0.05", "0.50", "1", "5"])),
    )  # fmt: skip


def some_order(rng) -> OrderSpec:
    lines = []
    for at in range(rng.randrange(1, 4)):
        layers = ()
        if rng.random() < 0.4:
            layers = (
                Layer("flood", ("navy", "white", "bone")[: rng.randrange(1, 4)]),
                Layer("spray", ("leaf", "slate")[: rng.randrange(1, 3)], wait="base_dry", placings=2),
                rng.choice([Layer("wafer", wait="wafer_dry"), Layer("transfer", ("navy",), wait="firm")]),
            )
        lines.append(LineSpec(
            f"l{at}", f"Line {at}", rng.choice(KINDS), rng.randrange(1, 90), designs=rng.randrange(1, 4),
            colours=rng.randrange(1, 6), layers=layers, area_cm2=rng.randrange(20, 120),
            packaging=rng.choice(["bag", "box", "platter", "none"]),
        ))  # fmt: skip
    return OrderSpec(
        "o1", "Any", tuple(lines), WHEN, way=rng.choice(["collected", "delivered", "posted", "stall"]),
        travel_minutes=rng.randrange(0, 90), distance_km=rng.choice([None, rng.randrange(0, 900) / 10]),
        asked_days=rng.choice([None, rng.randrange(0, 30)]),
    )  # fmt: skip


def check(part):
    assert part.amount == part.amount.quantize(PENNY)
    if part.parts:
        assert sum(inner.amount for inner in part.parts) == part.amount
        assert not part.minutes or sum(inner.minutes for inner in part.parts) == part.minutes
    for inner in part.parts:
        check(inner)


def check_quote(price, order, rng, own):
    """Every row is its number times its price, and the rows are the total, own price or not."""
    groups = [("All", [line.id for line in order.lines])]
    if rng.random() < 0.5:
        groups = [(line.title, [line.id]) for line in order.lines]
    bags = (sum(line.quantity for line in order.lines), money(rng, 2))
    for asked in (None, own, Decimal("0.00")):
        found = quote_lines(price, order, groups, total=asked, bags=bags)
        assert found.total == (price.total if asked is None else asked)
        assert sum(row.amount for row in found.rows) == found.total
        assert all(row.amount == row.each * row.count for row in found.rows if row.each is not None)
        assert found.tax == tax_of(found.total, price.prices)
        on_top = [row for row in found.rows if row.key == "tax"]
        assert [row.amount for row in on_top] == ([found.tax] if found.tax and not found.tax_words else [])
        assert all(row.amount >= 0 for row in found.rows if row.key != "rounding")
        assert sum(row.count for row in found.rows if row.key == "cookies") == price.quantity


def check_one(seed: int):
    rng = random.Random(seed)
    order, prices = some_order(rng), some_prices(rng)
    price = price_of(order, None, Shop(dryer=rng.choice([0, 0, 3])), prices)
    for part in price.parts:
        check(part)
    assert sum(part.amount for part in price.parts) == price.total
    before = price.total if prices.tax_included else price.total - price.amount("tax")
    assert before % prices.round_to == 0
    assert price.amount("tax") == tax_of(price.total, prices)
    assert price.amount("fees") == fee_of(price.total, prices)
    # What rounding does is no more than half a coin of the whole, and the pennies of fee, tax and net.
    assert abs(price.amount("rounding")) <= prices.round_to / 2 * 2 + 3 * PENNY
    own = money(rng, 900)
    other = asked_instead(price, own)
    assert other.total == own == sum(part.amount for part in other.parts)
    assert wage_of(other, own) == wage_of(price, own)
    lines, summed = each_price(price, order)
    assert summed == sum(line.amount for line in lines)
    assert all(line.amount == line.each * line.quantity for line in lines)
    check_quote(price, order, rng, own)
    floor = floor_price(price)
    assert floor.nothing <= floor.wage
    hour = Decimal(price.minutes) / 60
    for least, pays in ((floor.nothing, Decimal(0)), (floor.wage, prices.wage)):
        assert abs(wage_of(price, least) - pays) <= 2 * PENNY / hour + PENNY


@pytest.mark.parametrize("block", range(4))
def test_hundreds_of_orders_add_up(block):
    for seed in range(block * 75, (block + 1) * 75):
        check_one(seed)


@pytest.mark.slow
@pytest.mark.parametrize("block", range(10))
def test_ten_thousand_orders_add_up(block):
    for seed in range(1000 + block * 1000, 1000 + (block + 1) * 1000):
        check_one(seed)


def test_a_part_that_lost_a_penny_would_be_seen():
    """The check itself can fail."""
    price = price_of(some_order(random.Random(1)), None, None, some_prices(random.Random(1)))
    short = replace(price, parts=price.parts[1:])
    assert sum(p.amount for p in price.parts) != short.total

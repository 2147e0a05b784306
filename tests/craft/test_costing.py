"""A price is the exact sum of its parts, at every depth; a wage follows from any price."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.costing import (
    Part,
    Prices,
    each_price,
    price_of,
    rough_price,
    simpler_ways,
    wage_of,
    without_layer,
)
from bakery.craft.costing.parts import pence, rounded, shared
from bakery.craft.work import KINDS, Layer, layers_of, work_of
from tests.craft.work.makers import NOW, line, order

MIXED = order(line("stencil_detail", 40, colours=3), line("lettered", 8, id="l2", title="Names", colours=2))


def every(parts):
    for part in parts:
        yield part
        yield from every(part.parts)


def test_every_figure_is_the_sum_of_its_parts_to_the_penny():
    price = price_of(MIXED)
    assert sum(part.amount for part in price.parts) == price.total
    for part in every(price.parts):
        assert part.amount == part.amount.quantize(Decimal("0.01"))
        if part.parts:
            assert sum(p.amount for p in part.parts) == part.amount
    assert [part.key for part in price.parts] == [
        "time", "food", "colour", "packaging", "energy", "overhead", "margin", "rounding",
    ]  # fmt: skip


def test_the_sum_worked_by_hand():
    """One plain dozen: 108 min, one batch, bags and a box, overhead, ten per cent, whole pounds."""
    one = order(line("plain", 12, spares=0, colours=("white",)))
    price = price_of(one)
    kinds = {"talk": 25, "dough": 12, "bake": 13, "mix": 13, "flood": 17, "pack": 12, "washup": 6, "door": 10}
    assert {p.key: p.minutes for p in price.part("time").parts} == kinds
    assert price.minutes == sum(kinds.values()) == 108
    assert price.part("time").amount == Decimal("28.80")  # 108 / 60 x 16
    assert price.part("overhead").amount == Decimal("3.24")  # 108 / 60 x 1.80
    assert price.part("packaging").amount == Decimal("5.04")  # 12 x 0.22 + 2.40
    assert price.part("colour").amount == 0  # white takes none
    # flour 0.4125, butter 1.9976, sugar 0.26, egg 0.28, vanilla 0.399, salt 0.0024
    assert price.part("food").parts[0].amount == Decimal("3.35")
    # 12 x 46 x 0.25 x 0.9 x 1.35 = 167.67 g on the cookies, x 1.15 + 20 = 212.8 g to mix,
    # 204.4 of it stiff, the rest 4.1 mL of water a 100 g to loosen it;
    # of which 454 / 561 icing sugar at 2.10 and 25 / 561 white powder at 42.00
    assert price.part("food").parts[1].amount == Decimal("0.73")
    # one load: 4 min to warm and 10 to bake at 1.20 kW are 0.28 kWh at 0.28
    assert price.part("energy").amount == Decimal("0.08")
    cost = ("28.80", "3.24", "5.04", "3.35", "0.73", "0.08")
    before = sum(map(Decimal, cost))
    assert price.part("margin").amount == Decimal("4.12") == pence(before / 10)
    assert price.total == 45 == before + Decimal("4.12") + price.part("rounding").amount


def test_time_is_that_of_the_jobs_and_includes_what_is_often_forgotten():
    price = price_of(MIXED)
    made = work_of(MIXED)
    assert price.minutes == made.minutes
    minutes = {part.key: part.minutes for part in price.part("time").parts}
    assert minutes == dict(made.minutes_by_kind)
    assert minutes["talk"] > 0
    assert minutes["washup"] > 0
    assert minutes["door"] > 0
    assert price.part("time").amount == pence(Fraction(16) * made.minutes / 60)


def test_the_road_and_the_post_are_paid_for():
    sent = order(line(), way="posted", travel_minutes=15)
    assert price_of(sent).part("packaging").amount > price_of(order(line())).part("packaging").amount
    assert price_of(sent).minutes > price_of(order(line())).minutes


def test_what_a_price_pays():
    price = price_of(MIXED)
    spent = price.spent
    assert wage_of(price, spent) == 0
    hours = Fraction(price.minutes, 60)
    assert wage_of(price, spent + Decimal("100")) == pence(100 / hours)
    assert wage_of(price, Decimal("0")) < 0
    assert price.pays > price.wage  # the margin is hers
    with pytest.raises(ValueError, match="number"):
        wage_of(price, Decimal("NaN"))


def test_without_margin_and_rounding_a_price_pays_the_wage():
    price = price_of(MIXED, prices=Prices(margin=Decimal("0"), round_to=Decimal("0.01")))
    assert price.pays == pytest.approx(Decimal("16.00"), abs=Decimal("0.01"))


def test_a_half_made_order_costs_the_same():
    half = replace(
        MIXED,
        lines=tuple(replace(li, stage="flooded", stage_at=NOW - timedelta(hours=2)) for li in MIXED.lines),
    )
    assert price_of(half) == price_of(MIXED)
    assert price_of(half, work_of(half)) == price_of(MIXED)


@pytest.mark.parametrize("kind", KINDS)
def test_a_rough_price_before_any_design_exists(kind):
    price = rough_price(kind, 24, colours=3)
    assert price.total == price.total.to_integral_value()
    assert price.quantity == 24
    assert price.allergens == ("wheat", "milk", "egg")


def test_kinds_cost_more_the_more_they_are_worked():
    totals = [
        rough_price(kind, 24, colours=3).total
        for kind in ("plain", "stencil", "stencil_detail", "very_detailed")
    ]
    assert totals == sorted(totals)


def test_lines_of_a_quote_are_each_times_quantity():
    lines, total = each_price(price_of(MIXED), MIXED)
    assert [entry.quantity for entry in lines] == [40, 8]
    assert all(entry.amount == entry.each * entry.quantity for entry in lines)
    assert total == sum(entry.amount for entry in lines)
    assert abs(total - price_of(MIXED).total) <= Decimal("0.025") * 48
    _, own = each_price(price_of(MIXED), MIXED, total=Decimal("190"))
    assert abs(own - 190) <= Decimal("0.025") * 48


def test_simplifications_save_exactly_what_they_say():
    before = price_of(MIXED)
    found = simpler_ways(MIXED)
    assert found
    for way in found:
        after = price_of(way.order)
        assert before.total - after.total == way.saves
        assert before.minutes - after.minutes == way.minutes
    modest = [way.saves for way in found if not way.key.endswith("plain")]
    assert modest == sorted(modest, reverse=True)
    assert found[0].title == "Leave off the dots"
    assert found[-1].title == "Plain flood instead"
    assert not any(way.title == "Leave off the spray" for way in found)  # they asked for a stencil


def test_one_spray_colour_fewer_and_one_design_fewer():
    many = order(line("stencil", 24, colours=4, designs=3))
    titles = {way.title: way for way in simpler_ways(many, most=20)}
    assert titles["One spray colour fewer"].minutes >= 3
    assert titles["One design fewer"].order.lines[0].designs == 2


def test_another_way_for_a_layer():
    sponge = Layer("brush", ("leaf",), 0.5, "base_dry", title="Sponge")
    spray = Layer("spray", ("leaf",), None, "base_dry", placings=2, title="Spray", other_way=sponge)
    own = order(line(layers=(Layer("flood", ("bone",)), spray)))
    titles = {way.title for way in simpler_ways(own, most=20)}
    assert "Sponge instead" in titles


def test_what_follows_a_left_off_layer_waits_for_what_it_waited_for():
    left = without_layer(line("lettered", colours=2), 1)
    assert [layer.kind for layer in layers_of(left)] == ["flood", "lettering"]
    assert layers_of(left)[1].wait == "base_dry"
    with pytest.raises(ValueError, match="base"):
        without_layer(line("lettered"), 0)


@given(st.lists(st.fractions(0, 1000), max_size=12))
def test_shares_add_up_to_the_rounded_whole(amounts):
    found = shared(amounts)
    assert sum(found, Decimal(0)) == pence(sum(amounts, Fraction(0)))
    assert all(abs(Fraction(a) - b) < Fraction(1, 100) for a, b in zip(found, amounts, strict=True))


@given(st.fractions(-1000, 1000))
def test_pence_are_the_nearest_halves_away_from_nothing(value):
    assert abs(Fraction(pence(value)) - value) <= Fraction(1, 200)
    assert pence(-value) == -pence(value)


def test_coins():
    assert rounded(Decimal("214.16"), Decimal("1")) == 214
    assert rounded(Decimal("4.475"), Decimal("0.05")) == Decimal("4.50")


def test_a_part_that_is_not_the_sum_of_its_parts_cannot_be_made():
    with pytest.raises(ValueError, match="not the sum"):
        Part("a", "A", Decimal("2.00"), parts=(Part("b", "B", Decimal("1.99")),))


BELOW = [{"wage": Decimal("-1")}, {"margin": Decimal("NaN")}, {"round_to": Decimal(0)}]


@pytest.mark.parametrize("wrong", BELOW)
def test_prices_below_nothing_are_refused(wrong):
    with pytest.raises(ValueError, match=r"nothing|rounded"):
        Prices(**wrong)


@given(
    st.sampled_from(KINDS),
    st.integers(1, 300),
    st.integers(1, 6),
    st.integers(1, 6),
    st.decimals(0, 60, places=2),
    st.decimals(0, 1, places=3),
    st.sampled_from(["0.01", "0.05", "0.50", "1", "5"]),
)
def test_any_price_adds_up(kind, quantity, designs, colours, wage, margin, coin):
    prices = Prices(wage=wage, margin=margin, round_to=Decimal(coin))
    price = rough_price(kind, quantity, designs=designs, colours=colours, prices=prices)
    assert all(sum(p.amount for p in part.parts) == part.amount for part in every(price.parts) if part.parts)
    assert price.total % Decimal(coin) == 0
    assert abs(price.part("rounding").amount) <= Decimal(coin) / 2

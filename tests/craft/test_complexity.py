"""How much harder a cookie is, what more of them cost each, and what less of it saves."""

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest

from bakery.craft.costing import (
    complexity,
    fit_of,
    fitting_minutes,
    price_of,
    quantity_breaks,
    rough_price,
    scaled,
    set_up_money,
    simpler_ways,
)
from bakery.craft.costing.prices import Prices
from bakery.craft.work import KINDS, Layer, Shop, work_of
from tests.craft.work.makers import line, order

FLOOD = Layer("flood", ("bone",), title="Flood")
SHELL = Layer("spray", ("ochre", "brown"), wait="base_dry", title="Shell")
RIBS = Layer("spray", ("brown",), wait="", title="Ribs", shading=True)
DOTS = Layer("piped", ("white",), wait="", title="Dots", dots=24)
AMMONITE = line("very_detailed", 24, layers=(FLOOD, SHELL, RIBS, DOTS))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("quantity", [1, 12, 60])
def test_parts_and_one_make_the_whole(kind, quantity):
    found = complexity(line(kind, quantity, colours=4, designs=min(3, quantity)))
    assert 1 + sum(part.times for part in found.parts) == found.times
    assert found.times == (Decimal(found.minutes) / Decimal(found.plain)).quantize(
        Decimal("0.1"), ROUND_HALF_UP
    )


def test_a_plain_cookie_is_one():
    found = complexity(line("plain", 24))
    assert found.times == 1
    assert found.words == "As much work as a plain cookie."


def test_the_ammonite_worked_by_hand():
    """24 and 4 spare: a run of 6 + 10 min and 28 x 2 x 0.9 of holding, 3 between the placings, 3 for a
    second colour, and 24 dots of 2 s; two trays of 2 min to pipe; a bag of 5 min for the dots.
    """
    parts = {part.key: part for part in complexity(AMMONITE).parts}
    assert round(parts["placings"].minutes * 24, 1) == 50.4
    assert round(parts["passes"].minutes * 24, 1) == round(72 - 50.4 - 3, 1)  # 72.4 rounded for the run
    assert round(parts["colours"].minutes * 24) == 3 + 5
    assert round(parts["dots"].minutes * 24) == 2 * 13  # a tray of 14: 2 + 14 x 0.8 = 13.2
    assert parts["dots"].title == "24 dots"
    assert parts["passes"].title == "two passes"


def test_what_more_of_the_same_costs_each():
    asked = order(line("stencil_detail", 36, colours=3))
    breaks = quantity_breaks(asked)
    assert [one.quantity for one in breaks] == [12, 24, 48, 96]
    assert [one.each for one in breaks] == sorted((one.each for one in breaks), reverse=True)
    for one in breaks:
        price = price_of(scaled(asked, one.quantity))
        assert (one.total, one.each, one.set_up) == (price.total, price.each, price.set_up)


def test_lines_keep_their_proportion():
    both = order(line("plain", 40), line("lettered", 8, id="l2", names=8))
    assert [li.quantity for li in scaled(both, 24).lines] == [20, 4]
    assert scaled(both, 24).lines[1].names == 4
    assert scaled(both, 1) is None


def test_set_up_is_that_of_the_opened_parts():
    price = price_of(order(line("stencil", 24, colours=2)))
    total, each = set_up_money(price)
    opened = [p for kind in price.part("time").parts for p in kind.parts if "set-up" in p.key]
    assert total == sum(p.amount for p in opened)
    assert price.set_up == sum(p.minutes for p in opened)
    assert each == (total / 24).quantize(Decimal("0.01"))


def ways(of, **rest):
    return {way.key.split(".", 1)[1]: way for way in simpler_ways(of, most=40, **rest)}


def test_no_shading_fewer_dots_and_two_colours_for_four():
    found = ways(order(AMMONITE))
    assert found["without.spray.2"].title == "No shading"
    assert found["dots.piped.1"].title == "12 dots for 24"
    assert found["dots.piped.1"].order.lines[0].layers[3].dots == 12
    assert found["colours"].title == "Two colours for four"
    assert {c for la in found["colours"].order.lines[0].layers for c in la.colours} == {"bone", "ochre"}
    before = price_of(order(AMMONITE))
    for way in found.values():
        after = price_of(way.order)
        assert way.look.endswith(".")
        assert (way.saves, way.minutes) == (before.total - after.total, before.minutes - after.minutes)


def test_another_base_colour_in_the_place_of_a_new_design():
    many = order(line("stencil", 36, colours=2, designs=3))
    way = ways(many)["bases"]
    assert way.title == "One design on three base colours"
    assert way.order.lines[0].designs == 1
    assert len(way.order.lines[0].layers[0].colours) == 3
    assert way.minutes > 0


def test_lines_of_one_design_become_simpler_together():
    three = order(
        *(replace(AMMONITE, id=f"l{n}", base=base) for n, base in enumerate(("Bone", "Sage", "Slate")))
    )
    found = simpler_ways(three, most=40)
    assert len({way.title for way in found}) == len(found)
    shading = next(way for way in found if way.title == "No shading")
    assert all(len(li.layers) == 3 for li in shading.order.lines)


def test_minutes_of_a_kind_reach_plan_and_price():
    slow = Shop(kind_minutes={"stencil": 9.0})
    assert work_of(order(line("stencil")), slow).minutes > work_of(order(line("stencil"))).minutes
    assert rough_price("stencil", 24, shop=slow).total > rough_price("stencil", 24).total
    assert (
        work_of(order(AMMONITE), Shop(kind_minutes={"very_detailed": 60.0})).minutes
        == work_of(order(AMMONITE)).minutes
    )  # a design has minutes of its own


def test_a_kind_is_mended_by_its_designs():
    lines = [AMMONITE]
    before = fit_of("very_detailed", lines, Shop(), Prices(), colours=4)
    after = fitting_minutes("very_detailed", lines, Shop(), Prices(), colours=4)
    assert before.off > 0.15 > after.off
    mended = Shop(kind_minutes={"very_detailed": after.minutes})
    assert fit_of("very_detailed", lines, mended, Prices(), colours=4).good
    with pytest.raises(ValueError, match="design"):
        fit_of("plain", [], Shop(), Prices(), colours=1)

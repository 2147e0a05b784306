"""Spray minutes and drops from the airbrush's own colours: against every order there is, and by hand."""

from datetime import UTC, datetime
from itertools import pairwise, permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bakery.craft.airbrush import Cleaning, Paint, clean_minutes
from bakery.craft.amounts import CUP_LOSS, sprayed
from bakery.craft.amounts.draws import draws_of
from bakery.craft.work import Layer, LineSpec, OrderSpec, Shop, propose, share, work_of
from bakery.craft.work.spraying import batches_of, change_minutes, drops_on, more_minutes, opened, passes_of

HEXES = ("#4f6b35", "#2c4a2a", "#efe5cf", "#fdfcf6", "#5b341c", "#a87b2c", "#2f5f7a")
NAMES = ("leaf", "dark", "bone", "white", "brown", "ochre", "sea")
PAINTS = {name: Paint(name, shade) for name, shade in zip(NAMES, HEXES, strict=True)}
SHOP = Shop(paints=PAINTS)
WHEN = datetime(2026, 1, 20, 15, tzinfo=UTC)


def layer(*colours, **more):
    return Layer("spray", colours, **more)


def order_of(*layers, name="o1", quantity=20, **more):
    whole = (Layer("flood", ("white",)), *layers)
    line = LineSpec("l1", "Fern", "stencil", quantity, spares=0, layers=whole, **more)
    return OrderSpec(name, "Quay", (line,), WHEN)


def run_of(work):
    return next(job for job in work.jobs if job.kind == "spray")


def by_hand(layers) -> float:
    """The least cleaning over every way to order each layer's colours, layer by layer, to tenths."""
    best = None
    for orders in product(*(permutations(one) for one in layers)):
        row = [name for one in orders for name in one]
        tenths = sum(round(10 * clean_minutes(PAINTS[a], PAINTS[b])) for a, b in pairwise(row))
        best = tenths if best is None else min(best, tenths)
    return best / 10


@settings(max_examples=40)
@given(
    st.lists(st.lists(st.sampled_from(NAMES), min_size=1, max_size=3, unique=True), min_size=1, max_size=3)
)
def test_changes_are_the_least_of_all_orders(layers):
    assert change_minutes([layer(*one) for one in layers], SHOP) == pytest.approx(by_hand(layers))


def test_the_order_in_which_colours_are_written_costs_nothing():
    assert change_minutes([layer("dark", "bone", "leaf")], SHOP) == change_minutes(
        [layer("bone", "leaf", "dark")], SHOP
    )


def test_layers_keep_their_order_though_it_is_dear():
    light_first = change_minutes([layer("bone"), layer("dark")], SHOP)
    dark_first = change_minutes([layer("dark"), layer("bone")], SHOP)
    assert dark_first > light_first + 2


def test_a_shade_alone_changes_the_minutes():
    darker = Shop(paints=PAINTS | {"bone": Paint("bone", "#2c4a2b")})
    jobs = [run_of(work_of(order_of(layer("dark"), layer("bone")), shop)) for shop in (SHOP, darker)]
    assert jobs[0].minutes - jobs[1].minutes >= 3


def test_colours_nobody_knows_take_the_flat_figure():
    assert change_minutes([layer("leaf", "moon", "mist")], Shop()) == 6  # two changes of three minutes
    assert change_minutes([layer("leaf", "moon")], SHOP) == 3
    assert change_minutes([layer("moon")], SHOP) == 0
    assert change_minutes([layer("LEAF", "Dark")], SHOP) == change_minutes([layer("leaf", "dark")], SHOP)


def test_drops_only_added_to_the_cup_are_no_cleaning():
    rose = Paint("rose", "#c05070", {"1": 8.0})
    pale = Paint("pale", "#e8b8c4", {"1": 8.0, "2": 4.0})
    shop = Shop(paints={"rose": rose, "pale": pale})
    assert change_minutes([layer("rose"), layer("pale")], shop) == 0.3


def test_her_own_figures_count():
    slow = Shop(paints=PAINTS, cleaning=Cleaning(4.0, 0.15, 0.55, 5))
    assert change_minutes([layer("bone", "dark")], slow) == pytest.approx(
        change_minutes([layer("bone", "dark")], SHOP) + 3.6
    )


def test_a_shared_run_cleans_once():
    works = [work_of(order_of(layer("ochre"), layer("brown"), name=name), SHOP) for name in ("o1", "o2")]
    alone = run_of(works[0]).minutes
    found = [one for one in propose(works) if one.kind == "spray"]
    shared, _ = share(works, found)
    run = next(job for work in shared for job in work.jobs if job.kind == "spray")
    once = 6 + 10 + 3 + change_minutes([layer("ochre"), layer("brown")], SHOP)
    assert run.minutes == pytest.approx(2 * alone - once, abs=1)


def test_several_colours_at_one_placing_save_placings_not_cleanings():
    """By colour: 20 more layings of 0.4 min. With 20 stencils at once: none, and one round of cleaning."""
    one, line = layer("ochre", "brown", stencils=("fern",)), order_of().lines[0]
    assert more_minutes([one], 20, line, SHOP) == pytest.approx(20 * 0.4)
    many = Shop(paints=PAINTS, stencil_copies={"fern": 20})
    assert more_minutes([one], 20, line, many) == 0
    ways = batches_of(one, 20, line, SHOP)
    assert ways.by_colour == pytest.approx(20 * (0.9 + 0.4) + change_minutes([one], SHOP))
    assert batches_of(layer("ochre"), 20, line, SHOP) is None
    assert batches_of(layer("ochre", "moon"), 20, line, SHOP) is None


CUT = Shop(paints=PAINTS, cut_outs={"fern": 0.22, "ground": 0.4, "edge": 0.1}, masks=frozenset({"mask"}))


@pytest.mark.parametrize(
    ("pieces", "placings", "share"),
    [
        (("fern",), 1, 0.22),
        (("ground", "mask"), 1, 0.4),  # a mask only covers
        (("ground", "edge"), 2, 0.5),
        (("ground",), 2, 0.8),  # one piece laid twice
        ((), 1, None),
        (("fern", "unheard"), 1, None),
        (("mask",), 1, None),
    ],
)
def test_what_is_open_is_what_the_pieces_leave_open(pieces, placings, share):
    assert opened(layer("leaf", stencils=pieces, placings=placings), CUT) == (share and pytest.approx(share))


def test_drops_go_by_area_and_cut_out():
    """14 plaques of 53 cm2, 22 % open: 4.7 drops, by 8 drops to a dozen of 46 cm2, half of each open."""
    one = layer("leaf", stencils=("fern",))
    exact = 14 * 53 * 0.22 * 8 / (12 * 46 * 0.5)
    assert drops_on(one, 53, 14, CUT) == pytest.approx(exact) == pytest.approx(4.73, abs=0.01)
    work = work_of(order_of(one, quantity=14, area_cm2=53), CUT)
    draw = next(one for one in draws_of([work], [run_of(work)]) if one.what == "spray")
    assert draw.quantity == pytest.approx(exact + CUP_LOSS)
    assert sum(p.drops for p in passes_of((one,), work.order.lines[0], 14, CUT)) == pytest.approx(exact)


def test_each_run_draws_only_what_it_sprays():
    """A line with a wait between its sprays has two runs; neither counts the other's layers."""
    work = work_of(order_of(layer("ochre"), layer("ochre", wait="dry_through")), SHOP)
    runs = [job for job in work.jobs if job.kind == "spray"]
    assert len(runs) == 2
    assert [len(next(sprayed(job, {"o1": work})).layers) for job in runs] == [1, 1]


def test_a_stencil_leaves_open_no_more_than_all():
    with pytest.raises(ValueError, match="open"):
        Shop(cut_outs={"fern": 1.2})


def test_the_planner_sees_whole_minutes_after_one_another():
    work = work_of(order_of(layer("bone", "dark")), SHOP)
    assert run_of(work).minutes == int(6 + 18 + change_minutes([layer("bone", "dark")], SHOP) + 8 + 10 + 0.5)


@pytest.mark.parametrize("placings", [1, 2, 11, 50])
@pytest.mark.parametrize("area", [1.0, 46.0, 2000.0])
@pytest.mark.parametrize("share", [None, 0.01, 1.0])
def test_any_design_that_can_be_written_down_can_be_sprayed(placings, area, share):
    """As many placings as the form allows, on any face: drops of the passes are those of the layer."""
    shop = Shop(paints=PAINTS, cut_outs={"fern/leaf": share} if share else {})
    one = layer("leaf", placings=placings, stencils=("fern/leaf",))
    line = LineSpec("l1", "Fern", "stencil", 12, area_cm2=area, layers=(one,))
    passes = passes_of((one,), line, 12, shop)
    assert sum(each.drops for each in passes) == pytest.approx(drops_on(one, area, 12, shop))

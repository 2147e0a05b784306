"""How much of everything: whole batches by size, bags, water, sheets, boxes; leftovers first."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bakery.craft.amounts import (
    Book,
    amounts,
    bags_for,
    icing_to_mix,
    materials_of,
    water_to_loosen,
)
from bakery.craft.amounts.figures import FLOOD, SPREAD
from bakery.craft.packing import count_sheets, cut_sheets, each_sheet
from bakery.craft.recipes import DOUGH, ICING, cookies_from, cut_share
from bakery.craft.work import Layer, Pack, Shop, share
from bakery.craft.work.sharing import propose
from tests.craft.work.makers import line, work

TUESDAY = datetime(2026, 11, 24, 19, tzinfo=UTC)


def test_batches_go_by_the_size_of_the_cutter():
    assert amounts(work(line(quantity=40, spares=0))).dough.batches == 2
    large = amounts(work(line(quantity=40, spares=0, area_cm2=92)))
    assert (large.dough.batches, large.dough.planned, large.dough.fits) == (4, 4, 10)
    assert amounts(work(line(quantity=40, spares=0, area_cm2=23))).dough.batches == 1


def test_dough_of_one_day_is_one_making_and_of_two_days_two():
    one = work(line(quantity=8, spares=2), id="o1")
    two = work(line(quantity=8, spares=2), id="o2")
    assert amounts([one, two]).dough.batches == 1
    starts = {"o1.dough.1": TUESDAY, "o2.dough.1": TUESDAY + timedelta(days=1)}
    assert amounts([one, two], starts=starts).dough.batches == 2
    assert amounts([one, two]).spares == 4


def test_a_recipe_counted_with_a_larger_cutter_gives_more_small_ones():
    recipe = replace(DOUGH, cookies=10, area_cm2=92.0)
    assert amounts(work(line(quantity=40, spares=0)), dough=recipe).dough.batches == 2


def test_water_takes_a_cup_of_stiff_icing_to_flood_with_two_or_three_teaspoons():
    stiff = 300
    loosened = stiff * (1 + 4.1 / 100)
    assert 10 <= water_to_loosen(loosened, FLOOD) <= 15
    assert water_to_loosen(loosened, SPREAD) < water_to_loosen(loosened, FLOOD)
    assert water_to_loosen(100, "as it is") == 0
    bag = amounts(work(line())).icing[0]
    assert bag.stiff + bag.water_ml == pytest.approx(bag.to_mix)


def test_a_leftover_tub_goes_first_and_no_further_than_it_reaches():
    made = work(line("lettered", 24, colours=("bone", "bone")))
    full = amounts(made)
    some = amounts(made, tubs={"Bone": 50})
    assert some.icing_grams == full.icing_grams
    assert sum(bag.tub for bag in some.icing) == 50
    assert next(bag for bag in some.icing if bag.tub).consistency == FLOOD
    plenty = amounts(made, tubs={"bone": 1e6})
    assert plenty.stiff_grams == 0
    assert sum(bag.tub for bag in plenty.icing) == pytest.approx(full.icing_grams)


def test_icing_counted_at_the_mixing_is_that_of_the_layers():
    made = work(line("stencil_detail", 24, colours=("bone", "leaf", "ochre")))
    laid = amounts(made)
    mixed = amounts(made, [job for job in made.jobs if job.kind == "mix"], icing="mixes")
    assert [(b.colour, b.to_mix) for b in mixed.icing] == [(b.colour, b.to_mix) for b in laid.icing]
    assert amounts(made, [job for job in made.jobs if job.kind == "flood"], icing="mixes").icing == ()


def test_a_mixing_for_two_orders_names_both_and_adds_them_up():
    works = [work(line(colours=("bone",)), id="o1"), work(line(colours=("bone",)), id="o2")]
    shared, taken = share(works, [one for one in propose(works) if one.kind == "mix"])
    assert taken
    mixes = [job for made in shared for job in made.jobs if job.kind == "mix"]
    assert len(mixes) == 1
    bag = amounts(shared, mixes, icing="mixes").icing[0]
    assert {order for order, _ in bag.orders} == {"o1", "o2"}
    assert bag.to_mix == pytest.approx(icing_to_mix(bag.on_cookies), abs=0.1)


def test_a_shared_spray_run_cleans_once():
    layers = (Layer("flood", ("bone",)), Layer("spray", ("leaf",), wait="base_dry", stencils=("fern",)))
    works = [work(line(layers=layers, quantity=12, spares=0), id=name) for name in ("o1", "o2")]
    shared, taken = share(works, [one for one in propose(works) if one.kind == "spray"])
    assert taken
    assert amounts(works).drops["leaf"] - amounts(shared).drops["leaf"] == 6


@pytest.mark.parametrize(
    ("size", "count"), [((75, 75), 6), ((50, 75), 11), ((200, 287), 1), ((400, 400), 1), ((99, 287), 2)]
)
def test_wafer_pieces_on_a_sheet(size, count):
    """On A4 with a margin of 5 mm and 2 mm between, by hand; of 50 x 75 five lie, six stand beside them."""
    assert each_sheet(*size) == count


def test_pieces_of_a_layer_are_counted_by_its_own_size():
    """Nine pieces of 90 x 64 mm stand on A4, 3 x 3; four lie in an offcut of 186 x 130. Two a cookie."""
    leaves = Layer("wafer", (), wait="wafer_dry", pieces=2, piece_mm=(90.0, 64.0))
    need = amounts(work(line(quantity=10, spares=0, layers=(Layer("flood", ("bone",)), leaves))))
    assert need.wafer == (((90.0, 64.0), 20),)
    assert need.sheets == 3
    assert need.paper.pieces == Fraction(20 * 90 * 64, 210 * 297)
    with_offcut = amounts(
        work(line(quantity=10, spares=0, layers=(Layer("flood", ("bone",)), leaves))), offcuts=[(186, 130)]
    )
    assert (with_offcut.sheets, with_offcut.paper.of_offcuts) == (2, Fraction(186 * 130, 210 * 297))


@given(
    st.lists(
        st.tuples(st.integers(15, 120), st.integers(15, 120), st.integers(1, 40)),
        min_size=1, max_size=4, unique_by=lambda kind: kind[:2],
    )
)  # fmt: skip
@settings(max_examples=30, deadline=None)
def test_what_is_taken_of_sheets_lies_between_the_pieces_and_the_sheets(kinds):
    count = count_sheets(tuple(kinds))
    assert count.pieces <= count.taken <= count.sheets
    assert count.sheets == len(cut_sheets(tuple(kinds)).sheets)


def test_a_thousand_pieces_are_each_cut_once():
    cuts = cut_sheets(((40.0, 30.0, 700), (25.0, 25.0, 501), (400.0, 400.0, 1)))
    placed = sorted(one.piece for sheet in cuts.sheets for one in sheet.placed)
    assert placed == list(range(1201))
    assert cuts.too_big == (1201,)
    assert len(cuts.sheets) >= cuts.least


def test_hers_are_the_boxes_that_are_counted():
    """Her box of 24 for 13; 60 mm rounds lie four and four flat in two layers in a box of 26 x 13 x 3 cm."""
    boxes = (Pack("box", "Boxes of 24", 24, key="7"), Pack("platter", "Platters for 30", 30, key="9"))
    made = amounts(work(line(quantity=13, packaging="box"), shop=Shop(packs=boxes))).packs
    assert [(one.pack.key, one.count, one.each) for one in made.orders] == [("7", 1, 24)]
    plates = amounts(work(line(quantity=31, packaging="platter"), shop=Shop(packs=boxes))).packs
    assert [(one.pack.key, one.count) for one in plates.orders] == [("9", 2)]
    flat = Shop(packs=(Pack("box", "Flat", size_mm=(260.0, 130.0, 30.0)),))
    small = line(quantity=17, packaging="box", shape="round 60 x 60", area_cm2=28)
    assert [(one.count, one.each) for one in amounts(work(small, shop=flat)).packs.orders] == [(2, 16)]
    huge = replace(small, shape="round 300 x 300")
    assert amounts(work(huge, shop=flat)).packs.boxes == 2, "none of hers takes it: by the dozen"


@given(st.lists(st.tuples(st.integers(1, 60), st.floats(8, 300)), min_size=1, max_size=4), st.integers(1, 3))
@settings(max_examples=60, deadline=None)
def test_plan_and_list_say_the_same_batches(lines, per):
    """Whatever the cutters, dough batches in the plan are those of the list, together and day by day."""
    rows = [line(id=f"l{at}", quantity=count, area_cm2=area) for at, (count, area) in enumerate(lines)]
    made = work(*rows, shop=Shop(cookies_per_batch=20 * per))
    need = amounts(made)
    assert need.dough.batches == need.dough.planned == sum(job.kind == "dough" for job in made.jobs)
    one_a_day = {job.id: TUESDAY + timedelta(days=at) for at, job in enumerate(made.jobs)}
    assert amounts(made, starts=one_a_day).dough.batches == need.dough.planned


def test_wafer_pieces_of_two_designs_share_a_sheet():
    layers = (Layer("flood", ("bone",)), Layer("wafer", (), wait="wafer_dry"))
    cards = line(quantity=3, spares=0, layers=layers, shape="card 75 x 75")
    both = [work(cards, id="o1"), work(cards, id="o2")]
    assert [amounts(both[0]).sheets, amounts(both).sheets] == [1, 1]
    with pytest.raises(ValueError, match="width"):
        each_sheet(0, 10)


def test_boxes_are_whole_for_each_order():
    packs = amounts(
        [work(line(quantity=13), id="o1"), work(line(quantity=13, packaging="box"), id="o2")]
    ).packs
    assert (packs.bags, packs.boxes, packs.platters, packs.cartons) == (13, 4, 0, 0)


def test_a_bag_is_filled_again_when_it_is_empty():
    assert [bags_for(grams) for grams in (0, 1, 340, 341, 1000)] == [0, 1, 1, 2, 3]


def test_one_more_re_roll_gives_more_and_ever_less_more():
    shares = [cut_share(times) for times in range(4)]
    assert shares[1] == pytest.approx(0.65)
    gains = [b - a for a, b in pairwise(shares)]
    assert all(gain > 0 for gain in gains)
    assert gains == sorted(gains, reverse=True)
    assert DOUGH.yields(46, 6, rerolls=0) == 13
    assert cookies_from(0) == 0
    assert cookies_from(859, thickness_mm=6) == 16
    with pytest.raises(ValueError, match="re-rolled"):
        cut_share(-1)


def test_materials_by_packet_and_bottle():
    book = Book(bottles={("leaf", "airbrush"): (("7", 3.0), ("8", 1.0)), ("bone", "icing"): (("9", 5.0),)})
    made = work(line("stencil", 24, colours=("bone", "leaf")))
    found = materials_of(made, book=book, starts={"o1.l1.spray": TUESDAY})
    by_key = {item.key: item for item in found if item.key}
    drops = amounts(made).drops["leaf"]
    assert float(by_key["7"].quantity + by_key["8"].quantity) == pytest.approx(drops, abs=1)
    assert by_key["7"].quantity == pytest.approx(3 * by_key["8"].quantity, abs=Decimal("0.01"))
    assert by_key["7"].at == TUESDAY
    assert float(by_key["9"].quantity) == pytest.approx(5 * amounts(made).icing[0].to_mix / 100, abs=0.01)
    flour = next(item for item in found if item.name == "plain flour")
    assert (flour.quantity, flour.unit) == (Decimal("750.000"), "g")
    assert {item.name: item.quantity for item in found if item.unit == "piece"} == {"bag": 24, "box": 2}


def test_a_colour_without_a_bottle_stays_a_colour():
    found = materials_of(work(line("stencil", 24, colours=("bone", "leaf"))))
    assert {(item.what, item.name, item.medium) for item in found if item.what == "colour"} == {
        ("colour", "bone", "icing"), ("colour", "leaf", "airbrush")
    }  # fmt: skip


@given(
    st.lists(st.integers(1, 90), min_size=1, max_size=4),
    st.sampled_from(["plain", "two_colour", "stencil_detail", "lettered", "very_detailed"]),
    st.floats(5, 200),
)
def test_the_orders_parts_add_up_and_icing_is_weighed_out_of_its_ingredients(counts, kind, area):
    works = [
        work(line(kind, count, colours=("bone", "leaf"), area_cm2=area), id=f"o{i}")
        for i, count in enumerate(counts, 1)
    ]
    found = materials_of(works)
    need = amounts(works)
    for item in found:
        assert item.quantity == sum(item.orders.values()) > 0
    sugar = next(item for item in found if item.name == "icing sugar")
    exact = need.stiff_grams * 454 / float(ICING.grams)
    assert float(sugar.quantity) == pytest.approx(exact, rel=1e-4, abs=0.1)
    flour = next(item for item in found if item.name == "plain flour")
    assert float(flour.quantity) == pytest.approx(need.dough.batches * 375, abs=0.01)
    cut = sum(made.cut for made in works)
    assert need.dough.batches >= cut * area / 46 / Shop().cookies_per_batch - 1e-9

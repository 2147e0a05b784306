"""How much of everything: the page for tonight, a day, a week and an order, and the items behind it."""

from datetime import timedelta
from decimal import Decimal

import pytest

from bakery.orders.services import set_state
from bakery.production import amounts
from bakery.production.models import Job
from bakery.production.services import finish_run
from bakery.stock.made_ahead import make_ahead
from bakery.stock.models import Packet
from tests import factories as make

from .conftest import NOW, at


def page(client, query=""):
    answer = client.get(f"/how-much/{query}")
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def rows(chosen, cupboard=None):
    cupboard = cupboard or amounts.cupboard()
    groups = amounts.groups_of(chosen.amounts(cupboard), cupboard)
    return {(group["key"], row["what"]): row for group in groups for row in group["rows"]}


def test_an_order_says_batches_with_their_sum(kitchen, signed_in):
    text = page(signed_in, "?for=order&order=119")
    assert "2 batches" in text
    assert "24 cookies cut; 20 a batch." in text
    assert "for Rowing tea." in text


def test_batches_are_whole_and_spares_are_in_them(kitchen, clock):
    order = make.OrderFactory(number=130, lines__quantity=45, lines__spares=7, hand_over_at=at(12, days=12))
    found = rows(amounts.for_order(order, NOW))
    dough = found["dough", "Vanilla dough"]
    assert dough["amount"] == "3 batches"
    assert dough["note"] == "52 cookies cut, 7 of them spare; 20 a batch."


def test_an_order_not_planned_yet_is_reckoned_whole(kitchen, signed_in):
    make.OrderFactory(number=131, state="enquiry", title="Perhaps", hand_over_at=at(12, days=12))
    assert "batch" in page(signed_in, "?for=order&order=131")


def test_tonight_and_the_week_with_a_plan(kitchen, signed_in, planned, django_assert_max_num_queries):
    with django_assert_max_num_queries(40):
        tonight = page(signed_in)
    assert "Bone" in tonight or "white" in tonight.lower() or "colour" in tonight.lower()
    week = page(signed_in, "?for=week")
    assert "in the next seven days" in week
    assert page(signed_in, f"?for=day&day={NOW:%Y-%m-%d}")


def test_queries_do_not_grow_with_the_orders(kitchen, signed_in, planned, django_assert_num_queries):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(
        connection,
    ) as first:
        page(signed_in, "?for=week")
    for number in range(200, 206):
        make.OrderFactory(number=number, hand_over_at=at(12, days=9), lines__quantity=12)
    from bakery.production.services import make_plan

    make_plan(now=NOW, reason="more orders")
    with CaptureQueriesContext(connection) as second:
        page(signed_in, "?for=week")
    assert len(second) <= len(first) + 2


def test_icing_is_mixed_once_and_not_again(kitchen, clock, planned):
    week = amounts.for_week(NOW)
    mixes = [job for job in week.jobs if job.kind == "mix"]
    assert mixes
    before = week.amounts(amounts.cupboard()).icing
    finish_run(keys=[job.id for job in mixes], now=NOW)
    assert before
    assert amounts.for_week(NOW).amounts(amounts.cupboard()).icing == ()


def test_a_leftover_tub_goes_first_and_is_named(kitchen, clock):
    order = make.OrderFactory(number=132, lines__quantity=24, lines__spares=0, hand_over_at=at(12, days=12))
    colour = rows(amounts.for_order(order, NOW))
    name = next(what for key, what in colour if key == "icing").split(",")[0]
    shade = make.ColourFactory(name=name.lower())
    tub = Packet.objects.create(
        colour=shade, code="T7", origin="made", came_on=NOW.date(), quantity=100, left=100
    )
    found = rows(amounts.for_order(order, NOW))
    assert found["ready", f"{name} icing"] == {
        "what": f"{name} icing", "amount": "100 g", "note": f"left over in {tub.code}",
        "brief": f"left over in {tub.code}",
    }  # fmt: skip
    assert (
        "besides 100 g from the tub"
        in found["icing", next(what for key, what in found if key == "icing")]["note"]
    )


def test_frozen_dough_goes_first_and_is_said_so(kitchen, clock):
    make_ahead(what="dough", quantity=1, place="freezer", made_on=NOW - timedelta(days=3))
    found = rows(amounts.for_order(kitchen["rounds"], NOW))
    assert found["ready", "Batch of dough"]["note"] == "from the freezer; thaw first"
    assert found["dough", "Vanilla dough"]["amount"] == "1 batch"


def test_drops_by_bottle_and_water(kitchen, clock):
    leaf = make.AirbrushColourFactory(name="colour 2")
    moss = make.StockItemFactory(name="Moss", group="airbrush", unit="drop")
    lemon = make.StockItemFactory(name="Lemon", group="airbrush", unit="drop")
    make.ColourPartFactory(colour=leaf, item=moss, drops=Decimal("3"))
    make.ColourPartFactory(colour=leaf, item=lemon, drops=Decimal("1"))
    found = rows(amounts.for_order(kitchen["ferns"], NOW))
    row = found["airbrush", "Colour 2"]
    assert "Moss" in row["note"] or "moss" in row["note"]
    assert any("ml water" in row["note"] for (key, _), row in found.items() if key == "icing")


def test_items_in_their_own_units_for_each_order(kitchen, clock, planned):
    flour = make.StockItemFactory(name="Plain flour")
    eggs = make.StockItemFactory(name="Eggs", group="fresh", unit="piece")
    bags = make.StockItemFactory(name="Small bags", group="packing", unit="piece")
    make.StockItemFactory(name="Bone", group="gel", unit="drop")
    found, books = amounts.materials_now(NOW)
    needs, unknown = amounts.needs_of_items(found, books)
    by_item = {need.item.pk: need for need in needs}
    assert by_item[flour.pk].quantity == 750
    assert by_item[eggs.pk].quantity == 2
    assert by_item[bags.pk].orders == {"o118": 24, "o119": 24}
    assert by_item[flour.pk].at is not None
    assert "sugar" in {one.name for one in unknown}, "what has no packet is never guessed"
    only, _ = amounts.materials_now(NOW, orders=["o119"])
    assert all(set(one.orders) == {"o119"} for one in only)


def test_a_bottle_that_counts_in_millilitres(db):
    from bakery.stock.measures import in_unit_of

    bottle = make.StockItemFactory(group="airbrush", unit="ml", drops_per_ml=Decimal("25"))
    assert in_unit_of(bottle, Decimal(50), "drop") == 2
    vanilla = make.StockItemFactory(name="Vanilla extract", unit="ml")
    assert in_unit_of(vanilla, Decimal("208"), "g") == pytest.approx(Decimal("236.588"), abs=Decimal("0.001"))
    assert in_unit_of(make.StockItemFactory(name="Moon dust", unit="ml"), Decimal(3), "g") is None


@pytest.mark.parametrize(
    "query", ["?for=day&day=<script>", "?for=day&day=0000-99-99", "?for=nonsense", "?for=week&day=9999-12-31"]
)
def test_what_cannot_be_read_is_today(kitchen, signed_in, query):
    text = page(signed_in, query)
    assert "<script>alert" not in text


@pytest.mark.parametrize("number", ["", "x", "-1", "99999999", "²", "4242"])
def test_an_order_that_is_not_there(kitchen, signed_in, number):
    assert signed_in.get("/how-much/", {"for": "order", "order": number}).status_code == 404


def test_a_title_with_markup_stays_text(kitchen, signed_in):
    make.OrderFactory(number=133, title="<b>Boo</b>", hand_over_at=at(12, days=12))
    text = page(signed_in, "?for=order&order=133")
    assert "&lt;b&gt;Boo&lt;/b&gt;" in text
    assert "<b>Boo</b>" not in text


def test_nothing_is_said_where_nothing_is_planned(db, clock, signed_in):
    make.StudioFactory()
    assert "Nothing to mix" in page(signed_in)
    assert not Job.objects.exists()


def test_a_cancelled_order_still_has_a_page(kitchen, signed_in):
    set_state(order=kitchen["rounds"], state="cancelled")
    assert page(signed_in, "?for=order&order=119")


def test_a_name_means_the_same_food_and_never_two(db):
    from bakery.stock.measures import item_named, packing_named

    flour, sugar, icing = (
        make.StockItemFactory(name=name) for name in ("Flour", "Caster sugar", "Icing sugar")
    )
    all_three = [flour, sugar, icing]
    assert item_named("plain flour", all_three) == flour
    assert item_named("sugar", all_three) == sugar
    assert item_named("icing sugar", all_three) == icing
    assert item_named("cocoa", all_three) is None
    assert item_named("flour", [flour, make.StockItemFactory(name="Plain flour")]) == flour
    boxes = [make.StockItemFactory(name=name, group="packing") for name in ("Boxes of 12", "Boxes of 24")]
    assert packing_named("box", boxes, 12) == boxes[0]
    assert packing_named("box", boxes, 6) is None
    assert packing_named("bag", boxes, 1) is None

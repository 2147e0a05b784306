"""One count of sheets, boxes and batches, whoever is asked: list, cut plan, price, reserve, plan."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from bakery.craft.costing import price_of
from bakery.craft.work import work_of
from bakery.orders.adapters import order_spec
from bakery.orders.queries import order_by_number
from bakery.production.amounts import cupboard, for_order, groups_of, materials_now, needs_of_items
from bakery.production.services.reserving import changed_wants, save_wants
from bakery.production.wafer import pieces
from bakery.production.wafer.cutting import cut_view
from bakery.stock import ledger, recipes
from bakery.stock.models import Reserve, StockItem
from bakery.stock.offcuts import keep_offcuts, kept_offcuts
from bakery.studio import adapters
from tests import factories as make

from .conftest import NOW

pytestmark = pytest.mark.django_db
A4 = (210.0, 297.0)


@pytest.fixture
def order():
    """Fifty leaves of 53 cm2 with two wafer pieces each, eight spare; paper and boxes in the cupboard."""
    make.StudioFactory()
    design = make.DesignFactory(name="Leaf", area_cm2=53, shape="round", width_mm=82, height_mm=82)
    make.LayerFactory(design=design, position=0, kind="flood")
    make.LayerFactory(
        design=design, position=1, kind="wafer", pieces=2, piece_width_mm=47, piece_height_mm=38
    )
    paper = make.StockItemFactory(name="Wafer paper, A4", group="wafer", unit="sheet", measured=True)
    make.StockItemFactory(name="Boxes of 24", group="packing", unit="piece", pack_size=10, pack_price="10.50")
    ledger.receive(
        supplier="Quillet Colours", on=timezone.localdate(), token="paper",
        lines=[ledger.ReceiveLine(paper, Decimal(25), Decimal("8.50"))],
    )  # fmt: skip
    made = make.OrderFactory(
        state="quoted", hand_over_at=timezone.now() + timedelta(days=20),
        lines__design=design, lines__kind=design.kind, lines__quantity=50, lines__spares=8,
        lines__packaging="box",
    )  # fmt: skip
    return order_by_number(made.number)


def listed(order):
    books = cupboard()
    need = for_order(order, timezone.now()).amounts(books)
    return need, {group["key"]: group["rows"] for group in groups_of(need, books)}


def test_list_cut_plan_price_and_reserve_say_the_same_sheets(order):
    need, rows = listed(order)
    plan = cut_view(pieces.of_order(order), A4, 2, 5)
    fresh = sum(sheet.times for sheet in plan.sheets)
    assert need.sheets == fresh > 3
    assert rows["pieces"][0]["amount"] == f"{fresh} sheets"
    price = price_of(order_spec(order), None, adapters.shop(), adapters.prices())
    assert price.part("wafer").how.startswith(f"{fresh} sheets")
    kept = sum(Decimal(str(w * h)) for w, h in plan.keep) / Decimal(210 * 297)
    save_wants(changed_wants(timezone.now()))
    reserve = Reserve.objects.get(item__group="wafer")
    assert reserve.quantity == (fresh - kept).quantize(Decimal("0.001"))
    assert price.amount("wafer") == ((fresh - kept) * Decimal("8.50") / 25).quantize(Decimal("0.01"))


def test_a_kept_offcut_goes_first_in_the_list_as_in_the_cut_plan(order):
    paper = StockItem.objects.get(group="wafer")
    keep_offcuts(item=paper, sheet=A4, cuts=[(200.0, 290.0)] * 2, token="half")
    need, rows = listed(order)
    plan = cut_view(pieces.of_order(order), A4, 2, 5, kept_offcuts())
    assert need.sheets == sum(sheet.times for sheet in plan.sheets if not sheet.code)
    assert need.sheets < listed_without_offcuts(order)
    assert "kept offcuts go first" in rows["pieces"][0]["note"]


def listed_without_offcuts(order):
    return sum(sheet.times for sheet in cut_view(pieces.of_order(order), A4, 2, 5).sheets)


def test_list_and_price_take_the_boxes_she_has(order):
    _, rows = listed(order)
    assert [(row["what"], row["amount"]) for row in rows["packing"]] == [("Boxes of 24", "3")]
    price = price_of(order_spec(order), None, adapters.shop(), adapters.prices())
    assert [(part.title, part.amount) for part in price.part("packaging").parts] == [
        ("Boxes of 24", Decimal("3.15"))
    ]
    save_wants(changed_wants(timezone.now()))
    assert Reserve.objects.get(item__group="packing").quantity == 3


@pytest.mark.parametrize(("cookies", "area"), [(20, 46), (48, 20), (7, 130)])
def test_plan_list_and_price_say_the_same_batches(order, cookies, area):
    """Counted with a cutter of any size: 58 of 53 cm2 are 3074 cm2."""
    recipes.save_recipe(what="dough", name="Vanilla", cookies=cookies, area_cm2=area, usual=True)
    batches = -(-58 * 53 // (cookies * area))
    need, rows = listed(order)
    work = work_of(order_spec(order), adapters.shop())
    price = price_of(order_spec(order), None, adapters.shop(), adapters.prices())
    assert sum(job.kind == "dough" for job in work.jobs) == need.dough.batches == batches
    assert "the plan has time" not in rows["dough"][0]["note"]
    assert price.part("food").parts[0].how.startswith(f"{batches} batch")


def test_water_and_salt_are_never_missed(planned):
    found, books = materials_now(NOW)
    assert {"water", "salt"} <= {one.name for one in found}
    assert not {one.name for one in needs_of_items(found, books)[1]} & {"water", "salt"}
    salt = make.StockItemFactory(name="Salt")
    needs, _ = needs_of_items(*materials_now(NOW))
    assert [need.item for need in needs] == [salt], "where she keeps it, it counts"


def test_what_is_in_a_leftover_tub_is_not_reserved_again(planned):
    make.StockItemFactory(name="Icing sugar", measured=True)
    save_wants(changed_wants(NOW))
    before = sum(Reserve.objects.values_list("quantity", flat=True))
    found, _ = materials_now(NOW)
    colour = next(one.name for one in found if one.what == "colour" and one.medium == "icing")
    tub = make.ColourFactory(name=colour.capitalize())
    ledger.make(colour=tub, quantity=Decimal(40), best_before=(NOW + timedelta(days=300)).date(), at=NOW)
    save_wants(changed_wants(NOW))
    saved = before - sum(Reserve.objects.values_list("quantity", flat=True))
    assert Decimal(29) < saved < Decimal(33), "40 g: a little water, of the stiff rest 454 in 561 is sugar"


def test_an_item_says_apart_what_is_booked_and_what_is_only_quoted(order, signed_in):
    """As the line of what runs out does: a quote is no shortage yet."""
    save_wants(changed_wants(timezone.now()))
    paper = StockItem.objects.get(group="wafer")
    page = signed_in.get(f"/cupboard/{paper.pk}/").content.decode()
    assert "Open quotes would take about" in page
    assert "Booked orders want" not in page
    Reserve.objects.update(firm=True)
    page = signed_in.get(f"/cupboard/{paper.pk}/").content.decode()
    assert "Booked orders want about" in page
    assert "Open quotes" not in page

"""The cut plan: pieces of a design, an order and the evenings, on the sheet that is there."""

from datetime import timedelta

import pytest
from django.utils import timezone

from bakery.production.models import Job
from bakery.production.wafer import pieces
from bakery.production.wafer.cutting import cut_view
from bakery.stock.offcuts import kept_offcuts
from bakery.stock.sizes import sizes_in
from tests.factories import DesignFactory, LayerFactory, OrderFactory, StockItemFactory, StudioFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def leaf():
    StudioFactory()
    design = DesignFactory(name="Leaf")
    LayerFactory(design=design, position=0, kind="flood")
    LayerFactory(
        design=design,
        position=1,
        kind="wafer",
        title="leaf piece",
        pieces=2,
        piece_width_mm=40,
        piece_height_mm=30,
    )
    return design


def order_of(design, quantity=24, **more):
    return OrderFactory(lines__design=design, lines__kind=design.kind, lines__quantity=quantity, **more)


def test_a_design_for_so_many(leaf):
    wanted = pieces.of_design(leaf, 10)
    assert [(one.count, one.width, one.height) for one in wanted] == [(20, 40, 30)]


def test_an_order_has_its_spares(leaf):
    order = order_of(leaf, lines__spares=3)
    assert [one.count for one in pieces.of_order(order)] == [54]


def test_the_plan_of_the_week_by_design(leaf):
    order = order_of(leaf)
    now = timezone.now()
    for tray, state in ((1, "planned"), (2, "planned"), (3, "done")):
        Job.objects.create(
            key=f"o1.l1.wafer.{tray}", order=order, line=order.lines.get(), kind="wafer", title="Wafer",
            layer=1, tray=tray, cookies=12, minutes=20, attended=20, state=state,
            planned_start=now + timedelta(hours=tray),
        )  # fmt: skip
    found = pieces.of_jobs(now, now + timedelta(days=1))
    assert [(one.count, one.what_for) for one in found] == [(48, order.title)]
    assert pieces.of_jobs(now + timedelta(days=2), now + timedelta(days=3)) == []


def test_reading_the_week_takes_no_more_queries_for_more_orders(leaf, django_assert_max_num_queries):
    now = timezone.now()
    for number in range(6):
        order = order_of(leaf)
        Job.objects.create(
            key=f"o{number}.l1.wafer.1", order=order, line=order.lines.get(), kind="wafer", title="Wafer",
            layer=1, cookies=12, minutes=20, attended=20, planned_start=now + timedelta(hours=1),
        )  # fmt: skip
    with django_assert_max_num_queries(10):
        assert len(pieces.of_jobs(now, now + timedelta(days=1))) == 6


def test_the_view_counts_sheets_and_names_what_is_kept(leaf):
    view = cut_view(pieces.of_design(leaf, 10), (210.0, 297.0), 2, 5)
    assert view.headline == "1 sheet for 20 pieces."
    assert view.lead.endswith("No fewer can do.")
    assert view.sheets[0].words == "20 A"
    assert view.sheets[0].offcuts
    assert view.sheets[0].picture.count(">A</text>") == 20


def test_a_piece_without_a_size_is_asked_for(signed_in, leaf):
    leaf.layers.filter(kind="wafer").update(piece_width_mm=None, piece_height_mm=None)
    page = signed_in.get("/wafer/?design=" + leaf.slug)
    assert b"How large is a piece?" in page.content
    assert f"/designs/{leaf.slug}/change/#layers".encode() in page.content


def test_a_piece_larger_than_the_sheet_is_said(leaf):
    leaf.layers.filter(kind="wafer").update(piece_width_mm=300, piece_height_mm=290)
    leaf.refresh_from_db()
    view = cut_view(pieces.of_design(leaf, 1), (210.0, 297.0), 2, 5)
    assert view.too_big == ("Leaf, leaf piece: 300 x 290 mm is larger than the sheet.",)
    assert view.sheets == ()


def test_more_pieces_than_a_plan_holds_is_said(leaf):
    view = cut_view(pieces.of_design(leaf, 5000), (210.0, 297.0), 2, 5)
    assert view.too_many


@pytest.mark.parametrize("address", ["/wafer/", "/wafer/?when=week", "/wafer/?when=nonsense"])
def test_pages_without_wafer_work(signed_in, leaf, address):
    page = signed_in.get(address)
    assert page.status_code == 200
    assert b"No wafer paper is wanted." in page.content


def test_links_lead_there_from_design_and_order(signed_in, leaf):
    order = order_of(leaf)
    assert f"/wafer/?design={leaf.slug}".encode() in signed_in.get(f"/designs/{leaf.slug}/").content
    assert f"/wafer/?order={order.number}".encode() in signed_in.get(f"/orders/{order.number}/").content
    assert signed_in.get(f"/wafer/?order={order.number}").status_code == 200


@pytest.mark.parametrize("bad", ["design=none", "order=99999", "order=abc", "order=²", "order=-1"])
def test_what_is_not_there_is_not_found(signed_in, leaf, bad):
    assert signed_in.get(f"/wafer/?{bad}").status_code == 404


@pytest.mark.parametrize("bad", ["gap=-1", "gap=x", "margin=200", "count=0", "count=1e9", "gap=" + "9" * 400])
def test_bad_figures_get_a_sentence(signed_in, leaf, bad):
    page = signed_in.get(f"/wafer/?design={leaf.slug}&{bad}")
    assert page.status_code == 422
    assert b"field__error" in page.content


def test_the_sheet_in_the_cupboard_is_the_usual_one(signed_in, leaf):
    StockItemFactory(name="Wafer paper, 8 x 10 in", group="wafer", unit="sheet")
    assert signed_in.get(f"/wafer/?design={leaf.slug}").context["sheet_words"].startswith("8 x 10 in")


@pytest.mark.parametrize(
    ("name", "sizes"),
    [
        ("Box, 20 x 20 x 5 cm", (200, 200, 50)),
        ("Wafer paper, A4", (210, 297)),
        ("Wafer 8 x 10 in", (203.2, 254)),
        ("box 21,5x15", (215, 150)),
        ("Flour, 1.5 kg", ()),
        ("A4B lids", ()),
        ("9999 x 9999 cm", ()),
    ],
)
def test_sizes_in_names(name, sizes):
    assert sizes_in(name) == pytest.approx(sizes)


def test_sheets_cut_alike_are_drawn_once(leaf):
    view = cut_view(pieces.of_design(leaf, 100), (210.0, 297.0), 2, 5)
    assert sum(sheet.times for sheet in view.sheets) == int(view.headline.split()[0])
    assert view.sheets[0].times > 1
    assert view.sheets[0].title == f"Sheets 1 to {view.sheets[0].times}, cut alike"


def test_offcuts_are_kept_by_a_press_and_cut_up_first(signed_in, leaf):
    StockItemFactory(name="Wafer paper, A4", group="wafer", unit="sheet")
    page = signed_in.get(f"/wafer/?design={leaf.slug}&count=5")
    assert page.context["can_keep"]
    fields = {"design": leaf.slug, "sheet": "a4", "gap": "2", "margin": "5", "count": "5"}
    assert signed_in.post("/wafer/keep/", fields).status_code == 302
    assert len(kept_offcuts()) == len(page.context["view"].keep)
    again = signed_in.get(f"/wafer/?design={leaf.slug}&count=5")
    assert again.context["view"].headline == "1 kept offcut for 10 pieces."
    assert "No fresh sheet is needed." in again.content.decode()
    assert "Kept offcut T" in again.content.decode()
    used = again.context["view"].cut_up
    for _ in range(2):  # pressed twice
        signed_in.post("/wafer/keep/", fields | {"seen": again.context["seen"]})
        assert not {one.packet for one in kept_offcuts()} & set(used)


def test_a_press_twice_keeps_the_new_offcut_whole(signed_in, leaf):
    StockItemFactory(name="Wafer paper, A4", group="wafer", unit="sheet")
    fields = {"design": leaf.slug, "sheet": "a4", "gap": "2", "margin": "5", "count": "5", "seen": ""}
    signed_in.post("/wafer/keep/", fields)
    before = kept_offcuts()
    signed_in.post("/wafer/keep/", fields)
    assert kept_offcuts() == before


@pytest.mark.parametrize("bad", [{"gap": "x"}, {"seen": "1,2,x"}, {"seen": "," * 50}, {"margin": "200"}])
def test_a_press_that_makes_no_sense_does_nothing(signed_in, leaf, bad):
    StockItemFactory(name="Wafer paper, A4", group="wafer", unit="sheet")
    fields = {"design": leaf.slug, "sheet": "a4", "gap": "2", "margin": "5", "count": "5"}
    assert signed_in.post("/wafer/keep/", fields | bad).status_code == 302

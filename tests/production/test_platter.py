"""The platter page: from guests to a tray, one price, and an order with its lines filled."""

from dataclasses import replace
from datetime import timedelta
from urllib.parse import parse_qs, urlsplit

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.amounts.packs import packs_of
from bakery.craft.packing import on_trays
from bakery.craft.work import Shop, work_of
from bakery.orders import edits
from bakery.orders.adapters import order_spec, spec_of
from bakery.orders.data import OrderData
from bakery.orders.models import Order, OrderLine
from bakery.orders.pricing import priced
from bakery.production.platter.form import PlatterForm, first_values
from bakery.production.platter.laid import _counts, view_of
from tests.factories import (
    ColourFactory,
    DesignFactory,
    KindFactory,
    StockItemFactory,
    StudioFactory,
    VariationFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def designs():
    StudioFactory()
    boat = DesignFactory(name="Boat", kind=KindFactory(key="very_detailed"), shape="round")
    fern = DesignFactory(
        name="Fern, small", kind=KindFactory(key="stencil"), shape="plaque", width_mm=70, height_mm=95
    )
    for position, name in enumerate(("Bone", "Sage", "Slate")):
        VariationFactory(design=fern, position=position, base=ColourFactory(name=name))
    return {"boat": boat, "fern": fern}


def asked(**more) -> dict:
    return first_values() | {name: str(value) for name, value in more.items()}


def view(**more):
    form = PlatterForm(asked(**more))
    return view_of(form), form


def test_guests_become_cookies_in_the_usual_mix(designs):
    found, _ = view(guests=30)
    assert found.count == 60
    assert found.headline == "60 cookies for 30 guests."
    counts = [(part.role, part.title, part.quantity) for part in found.parts]
    assert counts == [
        ("feature", "Boat", 12),
        ("colours", "Fern, small, Bone", 10),
        ("colours", "Fern, small, Sage", 10),
        ("colours", "Fern, small, Slate", 10),
        ("plain", "Plain flood", 18),
    ]
    assert found.lead == "12 Boat, 30 Fern, small on 3 base colours, 18 plain flood."


def test_her_own_numbers_count_and_the_rest_is_shared_out():
    found, _ = view(guests=20, n_feature=4, each="1.5")
    by_role = {
        role: sum(p.quantity for p in found.parts if p.role == role)
        for role in ("feature", "colours", "plain")
    }
    assert by_role["feature"] == 4
    assert sum(by_role.values()) == 30


def test_the_price_is_that_of_the_order_it_becomes(signed_in):
    found, _ = view(guests=24)
    query = f"lines={found.lines}&packed=platter&each={found.holds}"
    page = signed_in.get(f"/orders/new/?{query}")
    lines = page.context["form"].lines
    assert sum(int(line["quantity"].value()) for line in lines) == 48
    assert {line["packaging"].value() for line in lines} == {"platter"}
    fields = {
        "token": "",
        "hand_over": (timezone.localtime() + timedelta(days=14)).strftime("%d %b %Y 12:00"),
    }
    fields |= {bound.html_name: str(bound.value() or "") for line in lines for bound in line}
    fields["platter_holds"] = page.context["form"]["platter_holds"].value()
    signed_in.post("/orders/new/", fields | {"do": "keep", "who": "Ines"})
    order = Order.objects.get()
    assert [line.quantity for line in order.lines.all()] == [part.quantity for part in found.parts]
    assert [line.title for line in order.lines.all()] == [part.title for part in found.parts]
    assert {line.packaging for line in order.lines.all()} == {OrderLine.Packaging.PLATTER}
    assert priced(order_spec(order)).total == found.price.price.total
    assert order.platter_holds == found.holds
    page = signed_in.get(f"/orders/{order.number}/").content.decode()
    assert f"on a platter of up to {found.holds}" in page


@pytest.mark.parametrize(("tray", "how"), [("round12", "flat"), ("long18", "flat"), ("long18", "overlap")])
def test_as_many_platters_are_priced_and_counted_as_trays_are_laid(tray, how):
    found, form = view(guests=40, tray=tray, how=how)
    number = on_trays(_counts(found.parts), form.trays, how).trays
    assert number > 1
    data = OrderData(timezone.now() + timedelta(days=14), tuple(part.line for part in found.parts))
    for spec, wanted in (
        (spec_of(replace(data, platter_holds=found.holds)), number),
        (spec_of(data), 4),  # eighty by the two dozen
    ):
        work = work_of(spec, Shop())
        assert packs_of([work], [job for job in work.jobs if job.kind == "pack"]).platters == wanted


@pytest.mark.parametrize("bad", ["-1", "0", "٣", "1e9", "<b>", "99999"])
def test_a_strange_number_in_the_address_is_left_out_or_asked_about(signed_in, bad):
    page = signed_in.get("/orders/new/", {"lines": "kplainx10", "packed": "platter", "each": bad})
    assert page.status_code == 200
    assert page.context["form"]["platter_holds"].value() in ("", "9999")
    again = signed_in.post("/orders/new/", {"do": "keep", "platter_holds": bad, "line-0-quantity": "10"})
    assert again.status_code == 422


def test_the_tray_picked_is_the_tray_drawn():
    found, _ = view(guests=3, tray="round12", how="flat")
    assert found.tray == "All on one round tray, 30 cm across, flat, side by side."
    assert found.picture.count("<use ") == 6
    assert 'aria-label="6 cookies on a round tray, 30 cm across, seen from above"' in found.picture


def test_her_own_tray_wants_its_measures():
    found, form = view(tray="own", own_shape="oval", own_width="")
    assert found is None
    assert form.errors == {"own_width": ["How wide is your tray?"], "own_height": ["And how deep?"]}
    found, _ = view(guests=3, tray="own", own_shape="rectangle", own_width=35, own_height=35)
    assert "rectangular tray, 35 x 35 cm" in found.tray


def test_a_tray_too_small_for_one_is_said():
    found, _ = view(tray="own", own_shape="round", own_width=10)
    assert found.tray == "Not one of these lies on that tray. A larger one?"
    assert found.price is not None


def test_a_very_large_party_is_about_so_many_trays():
    found, _ = view(guests=2000)
    assert found.count == 4000
    assert found.tray.startswith("About ")
    found, _ = view(guests=2000, each=20)
    assert found.headline == "One order holds 5,000 cookies."


def test_boxes_come_from_the_cupboard_when_their_names_say_a_size():
    StockItemFactory(name="Kraft box, 21 x 21 x 6 cm", group="packing", unit="piece")
    found, _ = view(guests=6)
    assert [words.split(":")[0] for words in found.boxes] == ["1 box Kraft box, 21 x 21 x 6 cm"]


def test_the_page_and_its_live_part(signed_in, django_assert_max_num_queries):
    with django_assert_max_num_queries(30):
        page = signed_in.get("/platter/")
    assert b"Make it an order" in page.content
    link = page.content.decode().split('href="/orders/new/?lines=')[1].split('"')[0]
    assert parse_qs(urlsplit(f"?lines={link}".replace("&amp;", "&")).query)["packed"] == ["platter"]
    live = signed_in.get(
        "/platter/", asked(guests=10), headers={"HX-Request": "true", "HX-Target": "platter-answer"}
    )
    assert b"20 cookies for 10 guests." in live.content
    assert b"<html" not in live.content


LIVE = {"HX-Request": "true", "HX-Target": "platter-answer"}


def test_while_she_types_a_sentence_comes_beside_its_field_and_goes_again(signed_in):
    page = signed_in.get("/platter/", asked(guests="-3"), headers=LIVE)
    assert page.headers["HX-Retarget"] == "#platter-page"
    assert b"field__error" in page.content
    assert b'name="wrong"' in page.content
    page = signed_in.get("/platter/", asked(guests="3", wrong="yes"), headers=LIVE)
    assert page.headers["HX-Reselect"] == "#platter-page"
    assert b"field__error" not in page.content
    assert "HX-Retarget" not in signed_in.get("/platter/", asked(guests="3"), headers=LIVE).headers


BAD = ("", "0", "-3", "2.5", "1e9", "999999999999999999999", "²", "many", "\x00", "<b>", "ten", "5" * 400)


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize(
    "name", ["guests", "each", "n_plain", "own_width", "feature", "tray", "bases", "how"]
)
def test_bad_input_gets_a_sentence_and_stays(signed_in, name, bad):
    page = signed_in.get("/platter/", asked(**{name: bad}) | ({"tray": "own"} if name == "own_width" else {}))
    assert page.status_code in (200, 422)
    if page.status_code == 422:
        assert b"field__error" in page.content


@given(st.text(max_size=60))
def test_lines_asked_for_in_an_address_never_break(text):
    assert isinstance(edits.said_lines(text), list)


def test_lines_that_are_not_there_are_left_out(designs):
    fern = designs["fern"]
    base = fern.variations.first()
    found = edits.said_lines(
        f"d{fern.pk}v{base.pk}x12,d999999x3,kplainx9,knonsensex4,d{fern.pk}x99999,x", "platter"
    )
    assert [(line["quantity"], line["kind"]) for line in found] == [("12", "stencil"), ("9", "plain")]


def test_no_designs_yet_is_a_platter_of_plain_ones(signed_in, designs):
    for design in designs.values():
        design.delete()
    page = signed_in.get("/platter/")
    assert b"60 plain flood." in page.content

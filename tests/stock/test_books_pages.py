"""Packets, deliveries and tubs on screen: one press each, nothing entered lost, nothing half-written."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.utils import timezone

from bakery.stock import ledger
from bakery.stock.models import Delivery, Move, Packet
from bakery.stock.signals import Need, needs_asked
from tests import factories as make

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture(autouse=True)
def studio(db):
    return make.StudioFactory()


@pytest.fixture
def sugar():
    return make.StockItemFactory(name="Icing sugar", pack_size=D("3000"), supplier="Capstan Stores")


@pytest.fixture
def bottle():
    return make.StockItemFactory(
        name="Holly red", group="airbrush", unit="drop", pack_size=D("400"), pack_price=D("5.20"), level="low"
    )


def bought(item, quantity="100", cost="10.00", **more):
    line = ledger.ReceiveLine(item, D(quantity), D(cost), **more)
    return ledger.receive(supplier="", on=timezone.localdate(), lines=[line], token=uuid4()).packets.get()


def delivery(*lines, **more):
    data = {"supplier": "Capstan Stores", "on": f"{timezone.localdate():%Y-%m-%d}", "token": str(uuid4()),
            "form-TOTAL_FORMS": max(3, len(lines)), "form-INITIAL_FORMS": 0} | more  # fmt: skip
    for n, line in enumerate(lines):
        data |= {f"form-{n}-{name}": value for name, value in line.items()}
    return data


def test_a_delivery_is_entered_a_line_an_item_and_pressed_twice_once(signed_in, sugar, bottle):
    data = delivery(
        {"item": sugar.pk, "much": "2", "cost": "8,70", "lot": "K-3"}, {"item": bottle.pk, "much": "1"}
    )
    for _ in range(2):
        assert signed_in.post("/cupboard/delivery/", data).status_code == 302
    assert Delivery.objects.count() == 1
    assert [(p.quantity, p.cost, p.maker_lot) for p in sugar.packets.order_by("pk")] == [
        (D("3000"), D("4.35"), "K-3")
    ] * 2
    assert bottle.packets.get().cost == D("5.20"), "an empty price is as last time"
    page = signed_in.get(f"/cupboard/delivery/{Delivery.objects.get().pk}/").content.decode()
    assert sugar.packets.first().code in page


@pytest.mark.parametrize(
    ("typed", "quantity", "packs"),
    [
        ("3 x 400", "1200", 3),
        ("1.5 kg", "1500", 1),
        ("1,5kg", "1500", 1),
        ("2", "6000", 2),
        ("2 packets", "6000", 2),
        ("1 lb", "453.592", 1),
        ("½ kg", "500", 1),
    ],
)
def test_amounts_as_she_writes_them(signed_in, sugar, typed, quantity, packs):
    signed_in.post("/cupboard/delivery/", delivery({"item": sugar.pk, "much": typed}))
    assert sugar.packets.count() == packs
    assert sum(packet.quantity for packet in sugar.packets.all()) == D(quantity)


@pytest.mark.parametrize(
    ("line", "more", "sentence"),
    [
        ({"much": "-3"}, {}, "Less than nothing"),
        ({"much": "3 furlongs"}, {}, "no measure known here"),
        ({"much": "2 cups"}, {}, "only you can tell"),
        ({"much": "lots"}, {}, "Begin with a number"),
        ({"much": "9999999 kg"}, {}, "More than any cupboard holds"),
        ({"much": "5000 x 1"}, {}, "More than 100 packets"),
        ({"much": "0"}, {}, "Nothing came?"),
        ({"much": "0.00001 g"}, {}, "So little"),
        ({"much": "1e400"}, {}, "no measure known here"),
        ({"much": ""}, {}, "How much came?"),
        ({"much": "x" * 500}, {}, "Shorter, please"),
        ({"much": "1/0 kg"}, {}, "field__error"),
        ({"item": "", "much": "2"}, {}, "What is it?"),
        ({"item": "nobody", "much": "2"}, {}, "Pick one that is in the cupboard"),
        ({"cost": "-2"}, {}, "never less than nothing"),
        ({"cost": "a lot"}, {}, "A price is a number"),
        ({"cost": "NaN"}, {}, "A price is a number"),
        ({"best_before": "soon"}, {}, "A day, like"),
        ({"best_before": "9999-01-01"}, {}, "Is the year right?"),
        ({}, {"on": "2999-01-01"}, "still to come"),
        ({}, {"on": "1999-01-01"}, "More than a year ago"),
        ({}, {"on": "yesterday"}, "A day, like"),
        ({}, {"supplier": "y" * 200}, "80 letters"),
    ],
)
def test_one_bad_field_books_nothing_and_loses_nothing(signed_in, sugar, line, more, sentence):
    good = {"item": sugar.pk, "much": "1", "cost": "4.35"}
    answer = signed_in.post("/cupboard/delivery/", delivery(good, good | {"lot": "Kept-77"} | line, **more))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert "field__error" in page
    assert "Kept-77" in page
    assert not Packet.objects.exists()
    assert not Delivery.objects.exists()


@pytest.mark.parametrize("count", ["", "-1", "many", "99999999", "0"])
def test_a_form_tampered_with_is_no_accident(signed_in, sugar, count):
    data = delivery({"item": sugar.pk, "much": "1"}, **{"form-TOTAL_FORMS": count})
    assert signed_in.post("/cupboard/delivery/", data).status_code in (302, 422)
    assert signed_in.post("/cupboard/delivery/", data | {"more": "1"}).status_code == 200


def test_more_lines_without_javascript_keep_what_was_typed(signed_in, sugar):
    data = delivery({"item": sugar.pk, "much": "2 furlongs"}, more="1", supplier="Tollgate <b>")
    page = signed_in.post("/cupboard/delivery/", data).content.decode()
    assert page.count('name="form-5-item"') == 1
    assert "2 furlongs" in page
    assert "Tollgate &lt;b&gt;" in page
    assert data["token"] in page
    assert "field__error" not in page


def test_nothing_came_is_said_beside_the_form(signed_in, sugar):
    answer = signed_in.post("/cupboard/delivery/", delivery())
    assert answer.status_code == 422
    assert "One line is enough" in answer.content.decode()


def test_an_item_shows_its_packets_and_a_count_puts_it_right(signed_in, sugar):
    packet = bought(sugar, "3000", "4.35", best_before=timezone.localdate() + timedelta(days=90))
    page = signed_in.get(f"/cupboard/{sugar.pk}/").content.decode()
    assert packet.code in page
    assert "best before" in page
    token = str(uuid4())
    for _ in range(2):
        signed_in.post(f"/cupboard/{sugar.pk}/count/", {"much": "1.2 kg", "token": token})
    assert ledger.on_hand([sugar]) == {sugar.pk: D("1200")}
    assert Move.objects.filter(kind="count").count() == 1
    answer = signed_in.post(f"/cupboard/{sugar.pk}/count/", {"much": "much"})
    assert answer.status_code == 422
    assert "Begin with a number" in answer.content.decode()


def test_a_packet_is_opened_counted_thrown_away_and_taken_back(signed_in, sugar):
    sugar.keeps_open_days = 30
    sugar.save()
    packet = bought(sugar, "3000", "4.35")
    today = timezone.localdate()
    address = f"/packets/{packet.code}/"
    signed_in.post(f"{address}open/", {"open-on": f"{today}"})
    packet.refresh_from_db()
    assert (packet.opened_on, packet.use_by) == (today, today + timedelta(days=30))
    signed_in.post(f"{address}count/", {"count-much": "2000"})
    answer = signed_in.post(f"{address}waste/", {"waste-much": "500"})
    assert answer.status_code == 422
    assert "Say why" in answer.content.decode()
    signed_in.post(f"{address}waste/", {"waste-much": "500", "waste-reason": "spilt <it>"})
    page = signed_in.get(address).content.decode()
    assert "500 g thrown away: spilt &lt;it&gt;" in page
    move = Move.objects.get(kind="waste")
    signed_in.post(f"/packets/moves/{move.pk}/back/", {"to": address})
    signed_in.post(f"/packets/moves/{move.pk}/back/", {"to": "https://elsewhere.example/"})
    packet.refresh_from_db()
    assert packet.left == D("2000")
    for bad in ("0", "-1", "²", "item", "\x00", "//elsewhere.example/"):
        back = signed_in.post(f"/packets/moves/{move.pk}/back/", {"to": bad})
        assert (back.status_code, "elsewhere" in back["Location"]) == (302, False)
    signed_in.post(f"{address}open/", {"closed": ""})
    packet.refresh_from_db()
    assert packet.opened_on is None


def wants(bottle, drops):
    """Somebody above who says what is wanted, as the plan does."""

    def say(sender, now, **more):
        return [Need("Holly", now + timedelta(days=2), "The chess weekend", "airbrush", drops, "drops")]

    make.ColourPartFactory(colour=make.AirbrushColourFactory(name="Holly"), item=bottle)
    needs_asked.connect(say, weak=False, dispatch_uid="a test's wants")


@pytest.fixture
def unasked():
    yield
    needs_asked.disconnect(dispatch_uid="a test's wants")


def test_a_look_at_the_bottle_is_asked_only_where_it_decides(signed_in, bottle, unasked):
    wants(bottle, 30)
    assert "Tilt the bottle" in signed_in.get(f"/cupboard/{bottle.pk}/").content.decode()
    page = signed_in.get("/cupboard/").content.decode()
    assert "needs about 30 drops of Holly red" in page.replace("\xa0", " ")
    needs_asked.disconnect(dispatch_uid="a test's wants")
    assert "Tilt the bottle" not in signed_in.get("/cupboard/").content.decode()


@pytest.mark.parametrize(("foot", "level", "left"), [("above", "have", "120"), ("below", "low", "70")])
def test_the_answer_bounds_what_is_there(signed_in, bottle, foot, level, left, unasked):
    packet = bought(bottle, "400", "5.20")
    ledger.count(packet=packet, quantity=70)
    Move.objects.filter(kind="count").update(at=timezone.now() - timedelta(days=9))
    wants(bottle, 60)
    assert "Tilt the bottle" in signed_in.get(f"/cupboard/{bottle.pk}/").content.decode()
    token = str(uuid4())
    for _ in range(2):
        signed_in.post(f"/cupboard/{bottle.pk}/foot/", {"foot": foot, "token": token})
    bottle.refresh_from_db()
    assert (bottle.level, ledger.on_hand([bottle])[bottle.pk]) == (level, D(left))
    assert signed_in.post(f"/cupboard/{bottle.pk}/foot/", {"foot": "<b>"}).status_code == 302


def test_a_tub_in_one_short_form(signed_in):
    gel = make.StockItemFactory(
        name="Ivory gel", group="gel", unit="drop", pack_size=D("700"), pack_price=D("3.50")
    )
    colour = make.ColourFactory(name="Bone white")
    make.ColourPartFactory(colour=colour, item=gel, drops=D("3"))
    data = {"much": "240", "colour": colour.pk, "how": "left", "token": str(uuid4())}
    for _ in range(2):
        assert signed_in.post("/cupboard/mixed/", data).status_code == 302
    tub = colour.tubs.get()
    assert (tub.left, tub.cost) == (D("240"), 0)
    signed_in.post("/cupboard/mixed/", data | {"how": "new", "token": str(uuid4())})
    mixed = colour.tubs.latest("pk")
    assert [(move.quantity, move.into) for move in Move.objects.filter(kind="use")] == [(D("-7.2"), mixed)]
    assert mixed.cost == D("0.04")
    assert (
        tub.code in signed_in.get("/cupboard/").content.decode()
        or "240 g" in signed_in.get("/cupboard/").content.decode()
    )
    for wrong in ({"much": ""}, {"much": "-4"}, {"colour": "77"}, {"keeps": "2001-01-01"}, {"how": "?"}):
        assert signed_in.post("/cupboard/mixed/", data | wrong).status_code == 422


def test_a_packet_to_its_orders_and_an_order_to_its_packets_in_two_presses(signed_in, sugar):
    order = make.OrderFactory(title="Botanical supper")
    packet = bought(sugar, "3000", "4.35", maker_lot="L-77")
    ledger.use(item=sugar, quantity=400, order=order.key)
    assert f'href="/packets/{packet.code}/"' in signed_in.get(f"/cupboard/{sugar.pk}/").content.decode()
    page = signed_in.get(f"/packets/{packet.code}/").content.decode()
    assert "Botanical supper" in page
    assert f'href="/orders/{order.number}/"' in page
    assert f'href="/packets/of/{order.key}/"' in signed_in.get(f"/orders/{order.number}/").content.decode()
    page = signed_in.get(f"/packets/of/{order.key}/").content.decode()
    assert "L-77" in page
    assert "400 g" in page
    assert signed_in.get("/packets/", {"code": packet.code.lower()}).url == f"/packets/{packet.code}/"
    assert signed_in.get("/packets/", {"code": "<b>"}).status_code == 200


def test_what_the_books_did_not_know_of_is_asked_about_once(signed_in, sugar):
    bought(sugar, "100", "1.00")
    for _ in range(3):
        ledger.use(item=sugar, quantity=90)
    page = signed_in.get("/cupboard/").content.decode()
    assert page.count("That is right") == 1
    signed_in.post(f"/cupboard/flags/{ledger.flagged_moves()[0].pk}/")
    assert "That is right" not in signed_in.get("/cupboard/").content.decode()


def test_wrong_addresses_are_not_found(signed_in):
    for path in ("/packets/NOPE/", "/cupboard/99/"):
        assert signed_in.get(path).status_code == 404
    assert signed_in.post("/packets/moves/99/back/").status_code == 404
    assert signed_in.get("/packets/of/o99/").status_code == 200
    assert signed_in.get("/packets/of/rubbish/").status_code == 200


def test_no_page_of_the_books_asks_more_for_more(signed_in, sugar, bottle, django_assert_max_num_queries):
    order = make.OrderFactory()
    packet = bought(sugar, "9000", "9.00")
    for item in (sugar, bottle):
        for _ in range(12):
            bought(item, "400", "5.20")
    for n in range(40):
        ledger.use(item=sugar, quantity=10, order=order.key if n % 2 else f"o{900 + n}")
        ledger.use(item=bottle, quantity=10)
    tub = ledger.make(colour=make.ColourFactory(), quantity=100, parts=[(sugar, 90)])
    pages = {
        "/cupboard/": 26,
        f"/cupboard/{sugar.pk}/": 20,
        f"/packets/{packet.code}/": 16,
        f"/packets/{tub.code}/": 16,
        f"/packets/of/{order.key}/": 14,
        "/packets/": 10,
        "/cupboard/delivery/": 10,
        "/cupboard/mixed/": 10,
    }
    for path, most in pages.items():
        signed_in.get(path)
        with django_assert_max_num_queries(most):
            assert signed_in.get(path).status_code == 200


def test_an_offcut_is_kept_by_its_size(signed_in, sugar):
    paper = make.StockItemFactory(group="wafer", unit="sheet", name="Wafer paper")
    address = f"/cupboard/{paper.pk}/"
    assert "Keep an offcut" in signed_in.get(address).content.decode()
    assert "Keep an offcut" not in signed_in.get(f"/cupboard/{sugar.pk}/").content.decode()
    for wrong in ("", "-4", "999999", "wide", "2"):
        answer = signed_in.post(f"{address}offcut/", {"offcut-width": wrong, "offcut-height": "90"})
        assert answer.status_code == 422
        assert "field__error" in answer.content.decode()
    signed_in.post(f"{address}offcut/", {"offcut-width": "120", "offcut-height": "90"})
    assert "an offcut, 120 x 90 mm" in signed_in.get(address).content.decode()

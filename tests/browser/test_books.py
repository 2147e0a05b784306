"""A delivery put away and a packet traced, on a phone in a real browser, at the width of a thumb."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.utils import timezone

from bakery.stock import ledger
from bakery.stock.models import Packet
from tests import factories as make

pytestmark = pytest.mark.django_db(transaction=True)


def faults(page) -> list[str]:
    return [f"{v['id']}: {v['nodes'][0]['html'][:80]}" for v in Axe().run(page).response["violations"]]


@pytest.fixture
def sugar():
    make.StudioFactory()
    return make.StockItemFactory(name="Icing sugar", pack_size=Decimal("3000"))


@pytest.fixture
def at_the_cupboard(phone, live_server, baker, sugar):
    phone.goto(f"{live_server.url}/login/?next=/cupboard/")
    phone.fill("[name=username]", "baker")
    phone.fill("[name=password]", "tray-lemon-fern")
    phone.click("button:has-text('Log in')")
    phone.wait_for_url("**/cupboard/")
    return phone


def test_what_came_is_put_away_and_found_again_by_what_is_written_on_it(at_the_cupboard, sugar):
    page = at_the_cupboard
    page.click("a:has-text('A delivery came')")
    assert faults(page) == []
    page.select_option("#id_form-0-item", label="Icing sugar")
    page.fill("#id_form-0-much", "2 furlongs")
    page.fill("#id_form-0-lot", "K 7")
    page.click("button:has-text('Put it all away')")
    assert "no measure known here" in page.text_content("#id_form-0-much_error")
    assert page.input_value("#id_form-0-lot") == "K 7"
    assert faults(page) == []
    page.fill("#id_form-0-much", "2")
    page.dblclick("button:has-text('Put it all away')")
    page.wait_for_url("**/cupboard/delivery/*/")
    assert Packet.objects.count() == 2, "pressed twice, it came once"
    page.click(".packets__code >> nth=0")
    page.wait_for_url("**/packets/*/")
    assert "lot is K 7" in page.text_content("main")
    assert faults(page) == []


def test_from_a_packet_to_its_order_and_back_in_two_presses(at_the_cupboard, live_server, sugar):
    order = make.OrderFactory(title="Botanical supper")
    line = ledger.ReceiveLine(sugar, Decimal("3000"), Decimal("4.35"), maker_lot="K 7")
    ledger.receive(supplier="", on=timezone.localdate() - timedelta(days=2), lines=[line], token=uuid4())
    ledger.use(item=sugar, quantity=400, order=order.key)
    page = at_the_cupboard
    code = Packet.objects.get().code
    page.goto(f"{live_server.url}/packets/{code}/")
    page.click("a:has-text('Botanical supper')")
    page.click("a:has-text('What went into it')")
    assert "K 7" in page.text_content("main")
    assert faults(page) == []
    page.click(f"a:has-text('{code}')")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.click("a:has-text('All of Icing sugar')")
    page.fill("#id_much", "2 kg")
    page.click("button:has-text('That is what is left')")
    page.wait_for_selector("text=Icing sugar: counted")
    assert ledger.on_hand([sugar]) == {sugar.pk: Decimal("2000")}
    assert faults(page) == []

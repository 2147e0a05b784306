"""What will run out: the line of each item, what to buy by when, and the list that leads into a delivery."""

import csv
import re
from datetime import timedelta
from decimal import Decimal
from io import StringIO
from uuid import uuid4
from xml.etree import ElementTree as etree

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.stocktaking import project
from bakery.drawing.runout import RunDown, Step, run_down
from bakery.stock import ledger
from bakery.stock.models import Move, Reserve
from bakery.stock.runout import words
from bakery.stock.runout.outlook import outlooks
from bakery.stock.runout.picture import line_of
from bakery.stock.runout.shopping import shopping_list
from bakery.stock.runout.shorts import shorts_of
from bakery.stock.signals import Need
from tests import factories as make

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture(autouse=True)
def studio(db):
    return make.StudioFactory()


@pytest.fixture
def now():
    """Noon, so that nothing slips over midnight while the test runs."""
    return timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)


@pytest.fixture
def butter():
    return make.StockItemFactory(
        name="Butter", group="fresh", pack_size=D(250), pack_price=D("2.10"), supplier="Capstan Stores",
        lead_days=2, margin_days=1,
    )  # fmt: skip


def bought(item, quantity, cost="10.00", days=0):
    line = ledger.ReceiveLine(item, D(quantity), D(cost))
    on = timezone.localdate() - timedelta(days=days)
    ledger.receive(supplier="", on=on, lines=[line], token=uuid4())
    item.refresh_from_db()


def wants(order, item, *takes, firm=True):
    """Takes are (moment, quantity)."""
    total = sum(D(quantity) for _, quantity in takes)
    want = ledger.Want(item, total, takes[0][0], tuple((at, D(quantity)) for at, quantity in takes))
    ledger.reserve(order=order, wants=[want], firm=firm)


def test_a_shortage_stands_on_the_day_its_job_needs_it(butter, now):
    bought(butter, 1000)
    wants("o1", butter, (now + timedelta(days=2), 300), (now + timedelta(days=6), 400))
    wants("o2", butter, (now + timedelta(days=9), 500))
    (one,) = outlooks(now)
    assert [level for _, level in one.firm.levels] == [1000, 700, 300, -200]
    assert (one.firm.short_at, one.firm.short_by) == (now + timedelta(days=9), 200)
    assert one.shorted == ("o2",)


def test_quotes_draw_a_line_of_their_own_and_buy_nothing(butter, now):
    bought(butter, 1000)
    wants("o1", butter, (now + timedelta(days=2), 900))
    wants("o2", butter, (now + timedelta(days=3), 400), firm=False)
    (one,) = outlooks(now)
    assert (one.firm.short_by, one.soft.short_by) == (0, 300)
    found = shopping_list(now)
    assert found.shops == ()
    assert found.quoted == ("Butter: 300 g",)


def test_what_is_overdue_is_wanted_now(butter, now):
    bought(butter, 100)
    wants("o1", butter, (now - timedelta(days=3), 300))
    (one,) = outlooks(now)
    assert one.firm.short_at == now


def test_out_counts_as_nothing_whatever_the_books_say_and_without_amounts_nobody_guesses(butter, now):
    bought(butter, 1000)
    wants("o1", butter, (now + timedelta(days=5), 300))
    butter.level = "out"
    assert outlooks(now, [butter])[0].firm.short_by == 300
    butter.level, butter.measured = "have", False
    assert outlooks(now, [butter])[0].firm is None
    assert shopping_list(now).lines == ()


@pytest.mark.parametrize(
    "days", [None, "x", [["soon", "1"]], [[None, None]], [["2026-01-01T10:00", "5"]], [[1, 2, 3]]]
)
def test_days_that_cannot_be_read_count_at_the_first_moment(butter, now, days):
    bought(butter, 1000)
    wants("o1", butter, (now + timedelta(days=2), 300))
    Reserve.objects.update(days=days if days is not None else [])
    (one,) = outlooks(now)
    assert [(take.at, take.quantity) for take in one.takes] == [(now + timedelta(days=2), 300)]


def test_order_butter_by_the_day_that_leaves_its_days_to_spare(butter, now):
    bought(butter, 1000)
    at = now + timedelta(days=5)
    wants("o1", butter, (at, 1200))
    (line,) = shopping_list(now).lines
    assert line.by == timezone.localdate(at) - timedelta(days=3)
    by, wanted = words.named(line.by, now), words.day(at, now)
    assert (
        line.order_by == f"Order it by {by} from Capstan Stores for {wanted}. 2 days on the way, 1 to spare."
    )
    assert (line.packs, line.quantity, line.cost, line.amount) == (1, D(250), D("2.10"), "1 x 250 g")


@pytest.mark.parametrize(
    ("days", "said"), [(1, "too late for that"), (2, "Order it today"), (3, "Order it today")]
)
def test_too_late_and_today_are_said(butter, now, days, said):
    bought(butter, 100)
    wants("o1", butter, (now + timedelta(days=days), 300))
    (line,) = shopping_list(now).lines
    assert said in line.order_by
    assert line.late == (days == 1)


def test_packs_are_rounded_up_and_the_pace_adds_its_days_to_spare(butter, now):
    bought(butter, 1000, days=40)
    ledger.use(item=butter, quantity=D(420), order="o9", at=now - timedelta(days=28), token="used")
    wants("o1", butter, (now + timedelta(days=12), 820))
    (one,) = outlooks(now)
    assert one.pace == 15
    (line,) = shopping_list(now).lines
    assert (line.packs, line.quantity) == (2, D(500)), "240 g are missing, and 15 g for a day to spare"


def test_what_was_put_back_is_no_use(butter, now):
    bought(butter, 1000, days=40)
    (move,) = ledger.use(item=butter, quantity=D(420), at=now - timedelta(days=28), token="used")
    ledger.put_back(move=move)
    assert outlooks(now)[0].pace == 0


def test_her_pace_alone_is_enough_to_buy(butter, now):
    bought(butter, 1000, days=40)
    ledger.use(item=butter, quantity=D(900), at=now - timedelta(days=45), token="used")
    (line,) = shopping_list(now).lines
    assert "At your pace of 140 g a week, 100 g last until about" in line.why
    assert Move.objects.filter(kind="use").count() == 1


def test_low_is_bought_for_what_wants_it_and_nobody_else_gets_a_date(butter, now):
    dust = make.StockItemFactory(name="Gold dust", group="dust", level="low")
    butter.level = "low"
    butter.save()
    wants("o1", butter, (now + timedelta(days=8), 600))
    found = shopping_list(now)
    assert [(line.item, line.packs) for line in found.lines] == [(butter, 3)]
    assert found.also == (dust,)


def test_loose_things_are_bought_by_weight_and_the_price_of_last_time(now):
    salt = make.StockItemFactory(name="Salt", supplier="")
    bought(salt, 100, cost="1.00")
    wants("o1", salt, (now + timedelta(days=8), 350))
    shop = shopping_list(now).shops[0]
    assert (shop.name, shop.lines[0].packs, shop.lines[0].amount, shop.total) == (
        "Anywhere", None, "about 250 g", D("2.50"))  # fmt: skip


def test_the_page_the_table_and_the_way_into_a_delivery(signed_in, butter, now):
    bought(butter, 1000)
    wants("o1", butter, (timezone.now() + timedelta(days=9), 1600))
    page = signed_in.get("/shopping/").content.decode()
    assert "3 x 250" in page
    assert "6.30" in page
    rows = list(csv.reader(StringIO(signed_in.get("/shopping/shopping.csv").content.decode("utf-8-sig"))))
    assert rows[1][:6] == ["Capstan Stores", "Butter", "3", "750", "g", "6.30"]
    to = re.search(r'href="(/cupboard/delivery/\?bought=[^"]+)"', page)[1]
    form = signed_in.get(to).content.decode()
    assert 'value="Capstan Stores"' in form
    assert re.search(r'name="form-0-much" value="3"', form)
    assert f'<option value="{butter.pk}" selected>' in form
    data = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form)) | {"form-0-item": butter.pk}
    del data["more"]
    assert signed_in.post("/cupboard/delivery/", data).status_code == 302
    assert ledger.on_hand([butter])[butter.pk] == 1750
    assert "Nothing to buy" in signed_in.get("/shopping/").content.decode()


@pytest.mark.parametrize("shop", ["", "Nobody", "<script>", "x" * 500, "\x00", "Anywhere"])
def test_a_shop_nobody_knows_leaves_the_form_empty(signed_in, butter, shop):
    answer = signed_in.get("/cupboard/delivery/", {"bought": shop})
    assert answer.status_code == 200
    assert "<script>" not in answer.content.decode()


def test_names_that_look_like_formulas_stay_words(signed_in, now):
    item = make.StockItemFactory(name='=HYPERLINK("x")', supplier="@shop", level="low", pack_size=D(5))
    wants("o1", item, (now + timedelta(days=3), 9))
    text = signed_in.get("/shopping/shopping.csv").content.decode("utf-8-sig")
    for row in csv.reader(StringIO(text)):
        assert not any(cell.startswith(("=", "@", "+", "-")) for cell in row)
    assert "&lt;" not in signed_in.get("/shopping/").content.decode().split("HYPERLINK")[0][-20:]


def test_the_cupboard_says_first_what_falls_short_by_the_books(signed_in, butter, now):
    bought(butter, 1000)
    at = timezone.now() + timedelta(days=9)
    wants("o1", butter, (at, 1600))
    page = signed_in.get("/cupboard/").content.decode()
    assert f"<h1>Butter runs out on {words.day(at, timezone.now())}.</h1>" in page
    assert "About 600\u00a0g short by" in page
    assert f'href="/cupboard/delivery/?item={butter.pk}"' in page


def test_low_is_no_shortage_where_the_books_know_better(butter, now):
    bought(butter, 1000)
    butter.level = "low"
    butter.save()
    wants("o1", butter, (now + timedelta(days=9), 300))
    needs = [Need("Butter", now + timedelta(days=9), "a dough")]
    assert shorts_of(now, needs, [butter]).rows == ()


def test_the_item_shows_its_line_and_the_same_in_words(signed_in, butter, now):
    bought(butter, 1000)
    wants("o1", butter, (now + timedelta(days=2), 300))
    wants("o2", butter, (now + timedelta(days=4), 900))
    wants("o3", butter, (now + timedelta(days=5), 50), firm=False)
    line = line_of(butter, now)
    assert [row["words"].split(": ")[1] for row in line["rows"]] == [
        "300 g for order 1, then 700 g left", "900 g for order 2, then 200 g missing",
        "50 g for order 3, if it is booked"]  # fmt: skip
    assert [row["short"] for row in line["rows"]] == [False, True, False]
    page = signed_in.get(f"/cupboard/{butter.pk}/").content.decode()
    assert "run-down--wide" in page
    assert "200\u00a0g missing" in page


@given(
    st.floats(0, 1e6), st.lists(st.tuples(st.integers(0, 500), st.floats(0, 1e6)), max_size=40),
    st.floats(0, 1e5), st.text(max_size=20),
)  # fmt: skip
def test_any_line_is_well_formed_and_inside_its_picture(left, takes, again, label):
    start = timezone.localtime().replace(hour=18, minute=0)
    level, steps = left, []
    for hours, quantity in sorted(takes):
        level -= quantity
        steps.append(Step(start + timedelta(hours=hours), level, label))
    facts = RunDown(start, start + timedelta(hours=520), left, tuple(steps), again=again, title=label)
    drawing = run_down(facts)
    root = etree.fromstring(drawing)
    numbers = [float(one) for path in root.iter() for one in re.findall(r"-?\d+\.?\d*", path.get("d") or "")]
    assert all(-30 <= one <= 700 for one in numbers)


@given(
    st.decimals(0, 1000, places=2),
    st.lists(st.tuples(st.integers(0, 30), st.decimals(0, 500, places=2)), max_size=12),
)
def test_the_line_ends_at_what_is_left_less_all_that_is_taken(left, takes):
    found = project(left, [(day, -quantity) for day, quantity in takes], now=0)
    assert found.levels[-1][1] == left - sum((quantity for _, quantity in takes), D(0))
    assert (found.short_at is not None) == (found.lowest < 0)
    assert found.short_by == max(D(0), -found.lowest)


@pytest.mark.parametrize("page", ["/cupboard/", "/shopping/"])
def test_pages_take_as_many_queries_for_many_orders_as_for_few(signed_in, butter, page, now):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    bought(butter, 1000)
    bottle = make.StockItemFactory(name="Sea blue", group="airbrush", unit="drop", pack_size=D(400))
    counts = []
    for size in (2, 30):
        for n in range(size):
            wants(f"o{n}", butter, (now + timedelta(days=n), 300), (now + timedelta(days=n + 1), 300))
            wants(f"o9{n}", bottle, (now + timedelta(days=n), 30))
        make.StockItemFactory.create_batch(size, level="low")
        signed_in.get(page)
        with CaptureQueriesContext(connection) as queries:
            signed_in.get(page)
        counts.append(len(queries))
    assert counts[1] <= counts[0] <= 24


def test_a_bottle_is_asked_about_only_where_its_amount_decides(signed_in, now):
    bottle = make.StockItemFactory(name="Holly red", group="airbrush", unit="drop", pack_size=D(400))
    bought(bottle, 400)
    packet = bottle.packets.get()
    wants("o1", bottle, (timezone.now() + timedelta(days=4), 30))
    assert "Tilt the bottle" not in signed_in.get("/cupboard/").content.decode(), "plenty, by the books"
    ledger.count(packet=packet, quantity=40)
    assert "Tilt the bottle" not in signed_in.get("/cupboard/").content.decode(), "just counted"
    Move.objects.filter(kind="count").update(at=timezone.now() - timedelta(days=9))
    page = signed_in.get("/cupboard/").content.decode().replace("\xa0", " ")
    day = words.day(timezone.now() + timedelta(days=4), timezone.now())
    assert f"{day[:1].upper() + day[1:]} needs about 30 drops of Holly red, for order 1" in page
    assert "Above the foot" in page

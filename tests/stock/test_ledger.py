"""The books of the cupboard, case by case; test_ledger_histories.py tries any sequence of them."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.db.models import Sum

from bakery.stock import ledger
from bakery.stock.models import Delivery, Move, Packet, Reserve
from tests import factories as make

pytestmark = pytest.mark.django_db
D = Decimal
DAY = date(2026, 11, 2)
EVENING = datetime(2026, 11, 5, 19, tzinfo=UTC)


def bought(item, quantity="100", cost="10.00", *, on=DAY, best_before=None, **more):
    line = ledger.ReceiveLine(item, D(quantity), D(cost), best_before=best_before, **more)
    return ledger.receive(supplier="Capstan Stores", on=on, lines=[line], token=uuid4()).packets.get()


def sums(packet):
    packet.refresh_from_db()
    total = packet.moves.aggregate(q=Sum("quantity"), c=Sum("cost"))
    assert (total["q"].quantize(D("0.001")), total["c"].quantize(D("0.01"))) == (
        packet.left,
        packet.cost_left,
    )
    return packet.left, packet.cost_left


def test_a_delivery_is_booked_once_and_its_packs_share_the_price():
    flour = make.StockItemFactory(level="out")
    token = uuid4()
    line = ledger.ReceiveLine(flour, D("3000"), D("10.00"), packs=3)
    first = ledger.receive(supplier="Capstan Stores", on=DAY, lines=[line], token=token)
    again = ledger.receive(supplier="Capstan Stores", on=DAY, lines=[line], token=token)
    assert first == again
    assert [(p.quantity, p.cost) for p in first.packets.order_by("pk")] == [
        (D("1000"), D("3.33")),
        (D("1000"), D("3.34")),
        (D("1000"), D("3.33")),
    ]
    flour.refresh_from_db()
    assert (flour.level, flour.measured) == ("have", True)
    assert ledger.on_hand([flour]) == {flour.pk: D("3000")}


def test_a_delivery_from_the_future_or_with_one_bad_line_books_nothing():
    flour = make.StockItemFactory()
    good = ledger.ReceiveLine(flour, D("1000"), D("1"))
    with pytest.raises(ValidationError, match="still to come"):
        ledger.receive(supplier="", on=date(2999, 1, 1), lines=[good], token=uuid4())
    for bad in (D("-4"), D("NaN"), D("1e30"), D("0")):
        with pytest.raises(ValidationError):
            ledger.receive(
                supplier="", on=DAY, lines=[good, ledger.ReceiveLine(flour, bad, D("1"))], token=uuid4()
            )
    assert not Delivery.objects.exists()
    assert not Packet.objects.exists()


def test_first_to_expire_is_picked_first_and_what_is_past_its_date_last():
    item = make.StockItemFactory()
    later = bought(item, best_before=date(2027, 3, 1))
    sooner = bought(item, best_before=date(2026, 12, 1))
    undated = bought(item)
    past = bought(item, best_before=date(2026, 11, 3))
    moves = ledger.use(item=item, quantity=D("330"), at=EVENING)
    assert [move.packet for move in moves] == [sooner, later, undated, past]
    assert [packet.pk for packet in ledger.packets_of(item)] == [past.pk]


def test_many_small_uses_cost_what_the_packet_cost():
    bottle = make.StockItemFactory(unit="drop", group="airbrush")
    packet = bought(bottle, "400", "5.20")
    costs = [ledger.use(item=bottle, quantity=1, at=EVENING)[0].cost for _ in range(100)]
    assert -sum(costs) == D("1.30")
    assert sums(packet) == (D("300"), D("3.90"))


def test_a_shortfall_is_found_flagged_and_used():
    item = make.StockItemFactory()
    packet = bought(item, "100", "2.00")
    moves = ledger.use(item=item, quantity=150, order="o12", at=EVENING, token="evening")
    assert [(m.kind, m.quantity, m.cost, m.flagged) for m in moves] == [
        ("count", D("50"), D("1.00"), True),
        ("use", D("-100"), D("-2.00"), False),
        ("use", D("-50"), D("-1.00"), False),
    ]
    assert sums(packet) == (0, 0)
    assert [move.pk for move in ledger.use(item=item, quantity=150, at=EVENING, token="evening")] == [
        move.pk for move in moves
    ]
    assert list(ledger.flagged_moves()) == [moves[0]]
    assert ledger.answer_flag(move=moves[0]) == 1
    assert ledger.answer_flag(move=moves[0]) == 0
    assert not ledger.flagged_moves().exists()
    ledger.use(item=item, quantity=10, at=EVENING)
    assert item.packets.filter(origin="found").count() == 1, "one packet holds all that was never entered"


def test_an_item_without_amounts_is_not_asked_about():
    item = make.StockItemFactory(pack_size=D("1000"), pack_price=D("2.00"))
    count, use = ledger.use(item=item, quantity=250, at=EVENING)
    assert (count.flagged, count.cost, use.cost) == (False, D("0.50"), D("-0.50"))


def test_an_undone_shortfall_leaves_nothing_behind():
    item = make.StockItemFactory()
    bought(item, "100", "2.00")
    for move in ledger.use(item=item, quantity=150, order="o12", at=EVENING, token="evening"):
        if move.kind == "use":
            ledger.put_back(move=move)
    assert ledger.on_hand([item]) == {item.pk: D("100")}
    assert not ledger.flagged_moves().exists()
    assert ledger.trace_order("o12") == ()
    assert Move.objects.filter(order="o12").aggregate(c=Sum("cost"))["c"] == 0


def test_a_put_back_said_twice_is_said_once_and_can_itself_be_undone():
    item = make.StockItemFactory()
    packet = bought(item)
    (move,) = ledger.use(item=item, quantity=30, at=EVENING)
    back = ledger.put_back(move=move)
    assert ledger.put_back(move=move) == back
    assert sums(packet) == (D("100"), D("10.00"))
    ledger.put_back(move=back)
    assert sums(packet) == (D("70"), D("7.00"))


def test_a_delivery_line_undone_takes_what_is_still_there():
    item = make.StockItemFactory()
    packet = bought(item)
    ledger.use(item=item, quantity=30, at=EVENING)
    back = ledger.put_back(move=packet.moves.get(kind="receive"))
    assert (back.quantity, back.cost) == (D("-70"), D("-7.00"))
    assert sums(packet) == (0, 0)


def test_a_mixed_colour_costs_what_went_into_it_and_goes_back_whole():
    sugar, gel = make.StockItemFactory(), make.StockItemFactory(unit="drop", group="gel")
    packet, bottle = bought(sugar, "3000", "4.35"), bought(gel, "700", "3.40")
    colour = make.ColourFactory(name="Bone")
    tub = ledger.make(
        colour=colour, quantity=240, parts=[(sugar, D("200")), (gel, D("7"))], at=EVENING, token="t"
    )
    assert tub == ledger.make(
        colour=colour, quantity=240, parts=[(sugar, D("200")), (gel, D("7"))], token="t"
    )
    assert sums(tub) == (D("240"), D("0.32"))
    assert ledger.tubs_on_hand() == {colour.pk: D("240")}
    made = tub.moves.get(kind="make")
    ledger.put_back(move=made)
    assert sums(tub) == (0, 0)
    assert (sums(packet), sums(bottle)) == ((D("3000"), D("4.35")), (D("700"), D("3.40")))


def test_a_tub_that_is_begun_is_not_unmixed():
    colour = make.ColourFactory()
    tub = ledger.make(colour=colour, quantity=240)
    ledger.use(item=colour, quantity=40, order="o12")
    with pytest.raises(ValidationError, match="used already"):
        ledger.put_back(move=tub.moves.get(kind="make"))
    assert sums(tub) == (D("200"), 0)


def test_waste_wants_a_reason_and_may_be_more_than_the_books_say():
    packet = bought(make.StockItemFactory(), "100", "10.00")
    ledger.use(item=packet.item, quantity=60, at=EVENING)
    with pytest.raises(ValidationError, match="Say why"):
        ledger.waste(packet=packet, reason=" ")
    move = ledger.waste(packet=packet, quantity=50, reason="spilt", token="w")
    assert (move.quantity, move.cost) == (D("-50"), D("-5.00"))
    assert ledger.waste(packet=packet, quantity=50, reason="spilt", token="w") == move
    assert sums(packet) == (0, 0)


def test_a_count_is_what_there_is_and_a_replay_changes_nothing():
    packet = bought(make.StockItemFactory(), "100", "10.00")
    right = ledger.count(packet=packet, quantity=100, token="c")
    assert right.quantity == 0
    ledger.use(item=packet.item, quantity=40, at=EVENING)
    assert ledger.count(packet=packet, quantity=100, token="c") == right
    assert sums(packet)[0] == D("60")
    ledger.count(packet=packet, quantity=130)
    assert sums(packet) == (D("130"), D("10.00")), "more than came costs no more than was paid"
    ledger.count(packet=packet, quantity=0)
    packet.item.refresh_from_db()
    assert packet.item.level == "out"


def test_an_item_is_counted_over_its_packets():
    item = make.StockItemFactory()
    first, second = bought(item, best_before=date(2027, 1, 1)), bought(item, best_before=date(2027, 2, 1))
    ledger.count_item(item=item, quantity=70, token="less")
    assert (sums(first)[0], sums(second)[0]) == (0, D("70"))
    ledger.count_item(item=item, quantity=250, token="more")
    assert ledger.on_hand([item]) == {item.pk: D("250")}
    assert sums(first)[0] == sums(second)[0] == D("100")
    assert not ledger.flagged_moves().exists(), "a count of her own is no question"


def test_an_open_packet_keeps_less_long():
    item = make.StockItemFactory(keeps_open_days=7)
    packet = bought(item, best_before=date(2027, 1, 1))
    assert packet.use_by == date(2027, 1, 1)
    ledger.use(item=item, quantity=1, at=EVENING)
    packet.refresh_from_db()
    assert (packet.opened_on, packet.use_by) == (date(2026, 11, 5), date(2026, 11, 12))
    assert ledger.open_packet(packet=packet, on=None).use_by == date(2027, 1, 1)
    with pytest.raises(ValidationError, match="after that"):
        ledger.open_packet(packet=packet, on=DAY - timedelta(days=1))


def test_reserves_are_replaced_firmed_and_released():
    flour, sugar = make.StockItemFactory(), make.StockItemFactory()
    ledger.reserve(order="o12", wants=[ledger.Want(flour, D("100")), ledger.Want(flour, D("50"))], firm=False)
    ledger.reserve(
        order="o12", wants=[ledger.Want(flour, D("120"), EVENING), ledger.Want(sugar, D("9"))], firm=False
    )
    ledger.reserve(order="o13", wants=[ledger.Want(flour, D("30"))], firm=True)
    assert ledger.reserved() == {flour.pk: D("150"), sugar.pk: D("9")}
    assert ledger.firm_up(order="o12") == 2
    assert ledger.firm_up(order="o12") == 0
    ledger.reserve(order="o12", wants=[ledger.Want(sugar, D("9"))], firm=True)
    assert ledger.reserved(firm=True) == {flour.pk: D("30"), sugar.pk: D("9")}
    assert (ledger.release(order="o12"), ledger.release(order="o12")) == (1, 0)
    assert Reserve.objects.count() == 1


def test_what_a_unit_costs():
    item = make.StockItemFactory(pack_size=D("400"), pack_price=D("5.20"))
    assert ledger.unit_cost(item) == D("0.013")
    first = bought(item, "100", "2.00", on=DAY)
    bought(item, "100", "3.00", on=DAY + timedelta(days=1), best_before=date(2026, 12, 1))
    assert ledger.unit_cost(item) == D("0.02"), "the oldest there is"
    ledger.count(packet=first, quantity=0)
    assert ledger.unit_cost(item) == D("0.03")
    ledger.count_item(item=item, quantity=0)
    assert ledger.unit_cost(item) == D("0.03"), "the last that was bought"
    assert ledger.unit_cost(make.StockItemFactory(pack_price=None)) is None


def test_a_packet_is_traced_to_its_orders_through_what_was_mixed_from_it():
    gel = make.StockItemFactory(unit="drop", group="gel")
    bottle = bought(gel, "700", "3.40", maker_lot="L-77")
    pale, deep = make.ColourFactory(), make.ColourFactory()
    tub = ledger.make(colour=pale, quantity=200, parts=[(gel, 8)], at=EVENING)
    darker = ledger.make(colour=deep, quantity=100, parts=[(pale, 90), (gel, 4)], at=EVENING)
    ledger.use_many(
        uses=[ledger.Use(deep, D("60"), "o12"), ledger.Use(pale, D("70"), "o13")], at=EVENING, token="d"
    )
    (direct,) = ledger.use(item=gel, quantity=3, order="o14", at=EVENING)
    ledger.put_back(move=direct)
    assert {(one.order, one.packet, one.quantity) for one in ledger.trace_packet(bottle)} == {
        ("o12", darker, D("60")),
        ("o13", tub, D("70")),
    }
    assert {(one.packet, one.into, one.quantity) for one in ledger.trace_order("o12")} == {
        (darker, None, D("60")),
        (tub, darker, D("90")),
        (bottle, darker, D("4")),
        (bottle, tub, D("8")),
    }


def test_reads_take_few_queries_however_much_there_is(django_assert_max_num_queries):
    items = [make.StockItemFactory() for _ in range(12)]
    for item in items:
        bought(item)
    uses = [ledger.Use(item, D("5"), f"o{n}") for n, item in enumerate(items)]
    ledger.use_many(uses=uses, at=EVENING, token="day")
    with django_assert_max_num_queries(1):
        ledger.on_hand(items)
    with django_assert_max_num_queries(2):
        ledger.unit_costs(items)
    with django_assert_max_num_queries(3):
        ledger.trace_order("o3")
    with django_assert_max_num_queries(3):
        ledger.trace_packet(items[3].packets.get())


def test_an_offcut_counts_as_its_share_of_a_sheet_and_goes_after_whole_ones():
    paper = make.StockItemFactory(group="wafer", unit="sheet")
    sheets = bought(paper, "2", "0.68", best_before=date(2027, 1, 1))
    piece = ledger.keep_offcut(item=paper, width_mm=105, height_mm=297, token="cut")
    assert ledger.keep_offcut(item=paper, width_mm=105, height_mm=297, token="cut") == piece
    assert sums(piece) == (D("0.500"), 0)
    assert ledger.on_hand([paper]) == {paper.pk: D("2.5")}
    assert ledger.unit_cost(paper) == D("0.34"), "an offcut has no price"
    assert ledger.use(item=paper, quantity=1, at=EVENING)[0].packet == sheets
    for size in ((5, 90), (300, 300), (0, 0)):
        with pytest.raises(ValidationError):
            ledger.keep_offcut(item=paper, width_mm=size[0], height_mm=size[1])


def test_a_token_and_an_order_are_found_by_their_index_and_not_by_reading_all_moves(db):
    """On SQLite a partial index is taken only by a question that leaves out what it leaves out."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from bakery.stock.ledger.booking import moves_with

    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL proves it by itself")
    item = make.StockItemFactory()
    ledger.count_item(item=item, quantity=5, token="counted")
    ledger.use(item=item, quantity=2, order="o7", token="used")
    with CaptureQueriesContext(connection) as queries:
        assert moves_with(["counted"])
        assert ledger.trace_order("o7")
    asked = [query["sql"] for query in queries if 'FROM "stock_move"' in query["sql"]]
    with connection.cursor() as cursor:
        for sql in asked[:2]:
            cursor.execute(f"EXPLAIN QUERY PLAN {sql}")
            plan = " ".join(str(row[-1]) for row in cursor.fetchall())
            assert "SCAN stock_move" not in plan

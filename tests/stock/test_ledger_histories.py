"""Any sequence of things that happen to a cupboard, also told twice after a crash, leaves true books.

A model beside the books keeps each packet's quantity with plain Fractions; it shares no code with them.
"""

from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from bakery.stock import ledger
from bakery.stock.models import Colour, Delivery, Move, Packet, Reserve, StockItem

D = Decimal
START = datetime(2026, 11, 2, 18, tzinfo=UTC)
AMOUNTS = st.decimals("0.001", "900", places=3)
COSTS = st.decimals("0", "40", places=2)
ORDERS = st.sampled_from(["o1", "o2", "o3"])
DATES = st.none() | st.dates(date(2026, 11, 1), date(2026, 12, 20))
WHICH = st.integers(0, 2)
SECOND = st.integers(0, 99)


class Kitchen(RuleBasedStateMachine):
    """Each rule is a call; it is made again, at once or with all others at the end, as after a crash."""

    def __init__(self):
        super().__init__()
        self.history = transaction.atomic()
        self.history.__enter__()
        self.open()

    def open(self):
        self.items = [
            StockItem.objects.create(name=f"Item {n}", group="dry", pack_size=D("3"), pack_price=D("1.01"))
            for n in range(3)
        ]
        self.colours = [Colour.objects.create(name=f"Colour {n}", hex="#aabbcc") for n in range(2)]
        self.calls, self.came, self.went = [], Fraction(0), Fraction(0)
        self.in_hand = {thing: Fraction(0) for thing in [*self.items, *self.colours]}
        self.reserves = {}

    def teardown(self):
        try:
            before = self.books()
            for call in self.calls:
                call()
            assert self.books() == before, "the same calls once more change nothing"
        finally:
            transaction.set_rollback(True)
            self.history.__exit__(None, None, None)

    def books(self):
        return (
            list(
                Move.objects.values_list("pk", "packet", "kind", "quantity", "cost", "flagged").order_by("pk")
            ),
            list(Packet.objects.values_list("pk", "left", "cost_left", "quantity", "cost").order_by("pk")),
            Delivery.objects.count(),
            sorted(Reserve.objects.values_list("order", "item", "quantity", "firm")),
        )

    def do(self, call, *, again):
        """Make the call; a second time at once if the crash came right after it."""
        result = call()
        self.calls.append(call)
        if again:
            call()
        return result

    def token(self):
        return f"call {len(self.calls)}"

    # What happens

    @rule(which=WHICH, quantity=AMOUNTS, cost=COSTS, packs=st.none() | st.integers(1, 4), end=DATES,
          again=st.booleans())  # fmt: skip
    def receive(self, which, quantity, cost, packs, end, again):
        item, token = self.items[which], self.token()
        line = ledger.ReceiveLine(item, quantity, cost, end, packs=packs)
        self.do(lambda: ledger.receive(supplier="", on=START.date(), lines=[line], token=token), again=again)
        self.in_hand[item] += Fraction(quantity)
        self.came += Fraction(cost)

    @rule(which=st.integers(0, 4), quantity=AMOUNTS, order=ORDERS, again=st.booleans())
    def use(self, which, quantity, order, again):
        thing, token = [*self.items, *self.colours][which], self.token()
        moves = self.do(lambda: ledger.use(item=thing, quantity=quantity, order=order, at=START, token=token),
                        again=again)  # fmt: skip
        assert -sum(move.quantity for move in moves if move.kind == "use") == quantity
        self.in_hand[thing] = max(Fraction(0), self.in_hand[thing] - Fraction(quantity))
        self.book(moves)

    @rule(uses=st.lists(st.tuples(WHICH, AMOUNTS, ORDERS), min_size=1, max_size=4), again=st.booleans())
    def day(self, uses, again):
        token = self.token()
        said = [ledger.Use(self.items[which], quantity, order) for which, quantity, order in uses]
        self.book(self.do(lambda: ledger.use_many(uses=said, at=START, token=token), again=again))
        for use in said:
            self.in_hand[use.item] = max(Fraction(0), self.in_hand[use.item] - Fraction(use.quantity))

    @rule(which=st.integers(0, 1), quantity=AMOUNTS, parts=st.lists(st.tuples(WHICH, AMOUNTS), max_size=3),
          again=st.booleans())  # fmt: skip
    def make(self, which, quantity, parts, again):
        colour, token = self.colours[which], self.token()
        said = [(self.items[one], part) for one, part in parts]
        more = {"parts": said, "at": START, "token": token}
        tub = self.do(lambda: ledger.make(colour=colour, quantity=quantity, **more), again=again)
        found = Move.objects.filter(token__startswith=f"{token}/", kind="count")
        self.came += sum(Fraction(move.cost) for move in found)
        assert tub.cost == -sum(move.cost for move in Move.objects.filter(into=tub))
        self.in_hand[colour] += Fraction(quantity)
        for item, part in said:
            self.in_hand[item] = max(Fraction(0), self.in_hand[item] - Fraction(part))

    @rule(pick=SECOND, quantity=st.none() | AMOUNTS, again=st.booleans())
    def waste(self, pick, quantity, again):
        packet, token = self.packet(pick), self.token()
        if packet is None:
            return
        thing, left = packet.item or packet.colour, Fraction(packet.left)
        self.do(
            lambda: ledger.waste(packet=packet, quantity=quantity, reason="spilt", token=token), again=again
        )
        self.book(Move.objects.filter(token=token))
        gone = left if quantity is None else min(left, Fraction(quantity))
        self.in_hand[thing] -= gone

    @rule(pick=SECOND, quantity=st.just(D("0")) | AMOUNTS, again=st.booleans())
    def count(self, pick, quantity, again):
        packet, token = self.packet(pick), self.token()
        if packet is None:
            return
        thing, left = packet.item or packet.colour, Fraction(packet.left)
        self.book([self.do(lambda: ledger.count(packet=packet, quantity=quantity, token=token), again=again)])
        self.in_hand[thing] += Fraction(quantity) - left

    @rule(which=WHICH, quantity=st.just(D("0")) | AMOUNTS, again=st.booleans())
    def count_item(self, which, quantity, again):
        item, token = self.items[which], self.token()
        moves = self.do(
            lambda: ledger.count_item(item=item, quantity=quantity, at=START, token=token), again=again
        )
        self.book(moves)
        self.in_hand[item] = Fraction(quantity)

    @rule(pick=SECOND, again=st.booleans())
    def correct(self, pick, again):
        """Taken back, whatever it was, an undo too."""
        moves = list(Move.objects.filter(undone_by=None).select_related("packet").order_by("pk"))
        if not moves:
            return
        move, first = moves[pick % len(moves)], Move.objects.latest("pk").pk
        try:
            self.do(lambda: ledger.put_back(move=move, at=START), again=again)
        except ValidationError:
            assert move.kind == "make"
            assert move.packet.moves.count() > 1
            return
        for back in Move.objects.filter(pk__gt=first).select_related("packet__item", "packet__colour"):
            assert back.kind == "back"
            thing = back.packet.item or back.packet.colour
            self.in_hand[thing] += Fraction(back.quantity)
            if back.undoes.kind in ("use", "waste") or back.undoes.quantity < 0:
                assert back.quantity == -back.undoes.quantity, "what went comes back whole"
                assert back.cost == -back.undoes.cost

    @rule(order=ORDERS, wants=st.lists(st.tuples(WHICH, AMOUNTS), max_size=3), firm=st.booleans())
    def reserve(self, order, wants, firm):
        said = [ledger.Want(self.items[which], quantity) for which, quantity in wants]
        ledger.reserve(order=order, wants=said, firm=firm)
        ledger.reserve(order=order, wants=said, firm=firm)
        self.reserves[order] = {}
        for want in said:
            mine = self.reserves[order]
            mine[want.item.pk] = mine.get(want.item.pk, D(0)) + want.quantity

    @rule(order=ORDERS)
    def cancel(self, order):
        ledger.release(order=order)
        self.reserves.pop(order, None)

    def packet(self, pick):
        packets = list(Packet.objects.select_related("item", "colour").order_by("pk"))
        return packets[pick % len(packets)] if packets else None

    def book(self, moves):
        """Cost that came from outside, and that went there, as the moves of this call say."""
        for move in moves:
            if move.kind in ("use", "waste"):
                assert move.cost <= 0
                self.went -= Fraction(move.cost)
            elif move.kind == "count":
                assert move.cost * move.quantity >= 0
                self.came += Fraction(max(move.cost, D(0)))
                self.went -= Fraction(min(move.cost, D(0)))

    # What is true at any moment

    @invariant()
    def on_hand_is_the_sum_of_moves_and_of_packets(self):
        said = ledger.on_hand(self.items)
        for item in self.items:
            moves = Move.objects.filter(packet__item=item).values_list("quantity", flat=True)
            packets = Packet.objects.filter(item=item).values_list("left", flat=True)
            assert said[item.pk] == sum(moves) == sum(packets) == self.in_hand[item]
        tubs = ledger.tubs_on_hand()
        for colour in self.colours:
            assert tubs.get(colour.pk, 0) == self.in_hand[colour]

    @invariant()
    def no_penny_is_lost(self):
        """What came in = what went out + what is still there, by each packet and over all of them."""
        costs = {}
        for packet, quantity, cost in Move.objects.values_list("packet", "quantity", "cost"):
            left = costs.setdefault(packet, [D(0), D(0)])
            left[0] += quantity
            left[1] += cost
        for packet in Packet.objects.all():
            assert costs.get(packet.pk, [0, 0]) == [packet.left, packet.cost_left]
            assert packet.left > 0 or packet.cost_left == 0, "an empty packet is worth nothing"
        came = went = D(0)
        back = D(0)
        for kind, cost, into in Move.objects.values_list("kind", "cost", "into"):
            if kind == "back":
                back += cost
            elif kind == "make" or (kind == "use" and into):
                back += cost  # from one packet into another: comes to nothing
            elif cost > 0:
                came += cost
            else:
                went -= cost
        assert Fraction(came) == self.came
        assert Fraction(went) == self.went
        assert came + back == went + sum(packet.cost_left for packet in Packet.objects.all())

    @invariant()
    def reserves_are_what_was_last_said(self):
        said = {(order, item): q for order, mine in self.reserves.items() for item, q in mine.items()}
        assert {(r.order, r.item_id): r.quantity for r in Reserve.objects.all()} == said


@pytest.mark.django_db
def test_any_history_leaves_true_books():
    quick = settings(max_examples=40, stateful_step_count=20, suppress_health_check=list(HealthCheck))
    run_state_machine_as_test(Kitchen, settings=quick)

"""How a move gets into the books: locked, once for each token, and to the last penny.

What is left of a packet is always worth its share of what it cost, rounded once (`worth`): the cost of a move
is the difference of two such values, so that many small uses never drift, and what went out and what is left
always add up to what came in.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import ROUND_HALF_EVEN, Decimal, InvalidOperation
from hashlib import sha256

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone

from bakery.studio.models import Counter

from ..models import Colour, Move, Packet, StockItem

PENNY, STEP, ZERO = Decimal("0.01"), Decimal("0.001"), Decimal("0")
MOST = Decimal("10000000")
Thing = StockItem | Colour
LETTERS = {Packet.Origin.BOUGHT: "P", Packet.Origin.MADE: "T", Packet.Origin.FOUND: "F"}


def amount(value, *, field_name: str = "quantity", zero: bool = False) -> Decimal:
    """A quantity as the books keep it; ValidationError beside `field_name` for what no kitchen holds."""
    try:
        said = Decimal(str(value))
    except InvalidOperation:
        said = None
    if said is None or not said.is_finite() or abs(said) > MOST:
        raise ValidationError({field_name: "An amount is a number that a kitchen can hold."})
    if said < 0:
        raise ValidationError({field_name: "An amount is never less than nothing."})
    found = said.quantize(STEP, ROUND_HALF_EVEN)
    if found == 0 and not zero:
        raise ValidationError({field_name: "How much? Nothing is no amount."})
    return found


def money(value, *, field_name: str = "cost") -> Decimal:
    """A cost to the penny; ValidationError when it is negative or absurd."""
    try:
        said = Decimal(str(value))
        if said.is_finite() and 0 <= said <= MOST:
            return said.quantize(PENNY, ROUND_HALF_EVEN)
    except InvalidOperation:
        pass
    raise ValidationError({field_name: "A cost is a number from nothing upwards, like 4.20."})


def worth(packet: Packet, left: Decimal) -> Decimal:
    """What `left` of this packet is worth: its share of what the packet cost, never more than all of it."""
    if packet.quantity <= 0:
        return ZERO
    share = packet.cost * min(left, packet.quantity) / packet.quantity
    return share.quantize(PENNY, ROUND_HALF_EVEN)


def cost_of_taking(packet: Packet, quantity: Decimal) -> Decimal:
    """Cost of taking so much out of it now; never negative, and all that is left with the last of it."""
    return packet.cost_left - min(packet.cost_left, worth(packet, packet.left - quantity))


def cost_of_finding(packet: Packet, quantity: Decimal) -> Decimal:
    """What turning up so much more of it adds, at the packet's own cost."""
    return max(ZERO, worth(packet, packet.left + quantity) - packet.cost_left)


def part_token(token: str, part) -> str:
    """The token of one part of a call; tokens too long for the column are shortened to their digest."""
    return f"{short_token(token)}/{part}" if token else ""


def short_token(token) -> str:
    token = str(token or "")
    return token if len(token) <= 48 else sha256(token.encode()).hexdigest()[:40]


@dataclass
class Books:
    """The rows of some things, locked, for one call. All its moves share `at`."""

    things: tuple[Thing, ...]
    at: datetime
    _packets: dict = field(default_factory=dict)
    _codes: list[int] = field(default_factory=list)

    @property
    def day(self) -> date:
        return timezone.localdate(self.at)

    def move(
        self, packet: Packet, kind: str, quantity: Decimal, cost: Decimal, *, token: str = "", **more
    ) -> Move:
        """One more line, and the packet's two sums with it."""
        move = Move(packet=packet, kind=kind, quantity=quantity, cost=cost, at=self.at, token=token, **more)
        move.clean_fields(exclude=["packet", "into", "undoes"])
        packet.left += quantity
        packet.cost_left += cost
        packet.clean_fields(exclude=["item", "colour", "delivery"])
        packet.save()
        move.packet = packet  # it may have got its key just now
        move.save()
        return move

    def new_packet(self, thing: Thing, *, origin: str, quantity: Decimal, cost: Decimal, **more) -> Packet:
        """A packet with its code, nothing in it yet and not saved: the move that fills it does that."""
        what = {"colour": thing} if isinstance(thing, Colour) else {"item": thing}
        if not self._codes:
            self.need_codes(1)
        code = f"{LETTERS[origin]}{self._codes.pop(0)}"
        packet = Packet(**what, origin=origin, quantity=quantity, cost=cost, code=code, **more)
        return packet

    def need_codes(self, count: int) -> None:
        """So many new packets will follow."""
        self._codes += next_codes(count)

    def packets(self, thing: Thing) -> list[Packet]:
        """Those of a thing with something left, in the order she would pick them, locked.

        First to expire first; what is past its date, or came only after this, last. The same objects at each
        call.
        """
        key = (type(thing), thing.pk)
        if key not in self._packets:
            rows = Packet.objects.filter(**whose(thing), left__gt=0).order_by("pk").select_for_update()
            self._packets[key] = list(rows)
            for packet in self._packets[key]:
                setattr(packet, "colour" if isinstance(thing, Colour) else "item", thing)
        return sorted((one for one in self._packets[key] if one.left > 0), key=self._picked)

    def locked(self, packet: Packet) -> Packet:
        """This packet as it stands now, locked."""
        for packets in self._packets.values():
            for one in packets:
                if one.pk == packet.pk:
                    return one
        return Packet.objects.select_for_update().get(pk=packet.pk)

    def found_packet(self, thing: Thing) -> Packet:
        """Where what was never entered is booked: one packet for each thing, made when first wanted."""
        known = [p for p in self._packets.get((type(thing), thing.pk), []) if p.origin == Packet.Origin.FOUND]
        if known:
            return known[0]
        rows = Packet.objects.filter(**whose(thing), origin=Packet.Origin.FOUND).order_by("pk")
        packet = rows.select_for_update().first() or self.new_packet(
            thing, origin=Packet.Origin.FOUND, quantity=ZERO, cost=ZERO, came_on=self.day
        )
        self._packets.setdefault((type(thing), thing.pk), []).append(packet)
        return packet

    def _picked(self, packet: Packet):
        end = packet.use_by
        return (
            packet.came_on > self.day,
            packet.width_mm is not None,  # an offcut is no sheet: whole ones go first
            end is not None and end < self.day,
            end is None,
            end or date.max,
            packet.came_on,
            packet.pk,
        )


def whose(thing: Thing) -> dict:
    return {"colour": thing} if isinstance(thing, Colour) else {"item": thing}


def lock(things: Iterable[Thing]) -> None:
    """Hold these things' rows until the transaction ends: items, then colours, each by pk, so that two calls
    never wait for one another. SQLite has one writer at a time, whoever it is.
    """
    things = list(things)
    for model in (StockItem, Colour):
        keys = {thing.pk for thing in things if isinstance(thing, model)}
        if keys:
            # evaluated for its locks; rows that something points to stay free to be pointed to
            list(
                model.objects.filter(pk__in=keys)
                .order_by("pk")
                .select_for_update(no_key=True)
                .values_list("pk")
            )


def once(*, things, at: datetime | None, known: Callable, work: Callable):
    """`work(books)` in one transaction, unless `known()` finds that it has been done already.

    `known` is asked with the things locked, so that of two at once the second finds what the first has
    written.
    """
    at = at or timezone.now()
    if timezone.is_naive(at):
        at = timezone.make_aware(at)
    try:
        with transaction.atomic():
            things = tuple({(type(thing), thing.pk): thing for thing in things}.values())
            lock(things)
            return known() or work(Books(things, at))
    except IntegrityError:  # overtaken by the same call: what that one wrote is the answer
        found = known()
        if not found:
            raise
        return found


def moves_with(tokens) -> list[Move]:
    """The moves of these tokens; none without a token."""
    tokens = [token for token in tokens if token]
    if not tokens:
        return []
    # The index leaves empty tokens out: SQLite takes it only where the question does so too.
    rows = Move.objects.filter(token__in=tokens).exclude(token="")
    return list(rows.select_related("packet").order_by("pk"))


def next_codes(count: int) -> list[int]:
    """So many numbers that nobody else has, written on packets after a letter for where they come from."""
    counters = Counter.objects.filter(name="packet")
    if not counters.update(value=F("value") + count):
        Counter.objects.get_or_create(name="packet")
        counters.update(value=F("value") + count)
    last = counters.values_list("value", flat=True).get()
    return list(range(last - count + 1, last + 1))

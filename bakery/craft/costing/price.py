"""The price of an order: time, materials, power, overhead, and what a price must bear besides."""

from collections import defaultdict
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction

from ..amounts import amounts
from ..recipes import DOUGH
from ..work import LineSpec, OrderSpec, Shop, Work, cut_of, work_of
from . import materials
from .closing import Floor, charges, close, floor_of, left_of, tax_of
from .minutes import split_by_kind
from .parts import PENNY, Part, Sum, pence, rounded, settled
from .prices import Prices

__all__ = [
    "LinePrice", "Price", "asked_instead", "each_price", "floor_price", "is_rush", "price_of", "rough_price",
    "wage_of",
]  # fmt: skip

TIME_TITLES = {
    "talk": "Talking and sketching",
    "dough": "Dough",
    "bake": "Rolling and baking",
    "freeze": "Putting in the freezer",
    "thaw": "Taking out to thaw",
    "mix": "Mixing icing",
    "flood": "Flooding",
    "spray": "Spraying",
    "icing_pass": "Icing through stencils",
    "pipe": "Piping",
    "letter": "Lettering",
    "transfer": "Transfers",
    "wafer": "Wafer paper",
    "brush": "Brushing",
    "pack": "Bagging and boxing",
    "washup": "Washing up",
    "door": "At the door",
    "drive": "On the road",
}
SPENT = ("food", "colour", "wafer", "packaging", "energy", "overhead", "delivery")
"""What leaves her purse before any pay."""


@dataclass(frozen=True)
class LinePrice:
    """One line of a quote: `amount` is `each` x `quantity` exactly."""

    line: str
    title: str
    quantity: int
    each: Decimal
    amount: Decimal


@dataclass(frozen=True)
class Price:
    """A price and its sum. `parts` add up to `total`; `weights` share the total out over the lines.

    `set_up` are the minutes that the order takes however few cookies it has; they are part of `minutes`.
    """

    parts: tuple[Part, ...]
    minutes: int
    quantity: int
    cut: int
    wage: Decimal
    weights: tuple[tuple[str, Fraction], ...]
    allergens: tuple[str, ...]
    set_up: int = 0
    prices: Prices = field(default_factory=Prices)

    @property
    def total(self) -> Decimal:
        """What the customer pays, to the coin, tax included."""
        return sum((part.amount for part in self.parts), Decimal("0.00"))

    def part(self, key: str) -> Part:
        """The part of that key, or KeyError.

        time, food, colour, packaging, energy, overhead, margin and rounding are always there; wafer, rush,
        delivery, fees and tax only where they cost something.
        """
        for part in self.parts:
            if part.key == key:
                return part
        raise KeyError(key)

    def amount(self, key: str) -> Decimal:
        """The amount of the part of that key, nothing where there is none."""
        return next((part.amount for part in self.parts if part.key == key), Decimal("0.00"))

    @property
    def spent(self) -> Decimal:
        """What the order costs her before any pay, fee and tax."""
        return sum((self.amount(key) for key in SPENT), Decimal("0.00"))

    @property
    def each(self) -> Decimal:
        """The price of one cookie, to the nearest penny."""
        return pence(Fraction(self.total) / self.quantity)

    @property
    def pays(self) -> Decimal:
        """The hour's pay that the total brings her, margin included."""
        return wage_of(self, self.total)

    @property
    def tax(self) -> Decimal:
        """The tax in the total."""
        return tax_of(self.total, self.prices)


def price_of(
    order: OrderSpec, work: Work | None = None, shop: Shop | None = None, prices: Prices | None = None
) -> Price:
    """The price of an order as a sum that opens down to its parts, in Decimal and exact to the penny.

    A half-made order is priced as a whole: work done before is priced with it. `work` is used when it is that
    of the whole order, else worked out anew with `shop`. What is shared with other orders or was made ahead
    is priced as if this order stood alone, so that no customer's price hangs on another's.
    """
    prices = prices or Prices()
    shop = shop or (work.shop if work else Shop())
    if work is None or work.past or work.uses or any(line.stage != "nothing" for line in order.lines):
        whole = replace(
            order,
            lines=tuple(replace(li, stage="nothing", stage_at=None, baked_at=None) for li in order.lines),
        )
        work = work_of(whole, shop)
    time, cost = settled(_time(work, prices)), _cost(work, prices)
    spent = sum((part.amount for part in cost), Decimal("0.00"))
    road, rush = _road(order, prices), is_rush(order, prices)
    closed = close(spent, time.amount, work.minutes, prices, road=road, rush=rush)
    return Price(
        (time, *cost, *closed.parts),
        work.minutes,
        work.quantity,
        work.cut,
        prices.wage,
        _weights(work),
        tuple(dict.fromkeys(prices.dough.allergens + prices.icing.allergens)),
        sum(first for first, _ in split_by_kind(work).values()),
        prices,
    )


def wage_of(price: Price, own_price: Decimal) -> Decimal:
    """The hour's pay that `own_price` brings, when that is what the customer pays, tax and all.

    What is left after fee, tax, materials, power, overhead and the road. To the nearest penny; negative when
    she pays to work; raises ValueError for a price that is no number.
    """
    own_price = Decimal(own_price)
    if not own_price.is_finite():
        raise ValueError("A price is a number.")
    left = Fraction(left_of(own_price, price.prices)) - Fraction(price.spent)
    return pence(left * 60 / price.minutes) if price.minutes else Decimal("0.00")


def asked_instead(price: Price, total: Decimal) -> Price:
    """The same order at another total, tax and all: her own price, or a quote's lines rounded each.

    Fee and tax follow the new total; what it is over or under the sum stands in a part "own" in the place of
    "rounding". The parts add up to `total` exactly. Raises ValueError for a total that is no amount of money.
    """
    total = Decimal(total)
    if not total.is_finite() or total != total.quantize(PENNY):
        raise ValueError("A price is an amount of whole pennies.")
    kept = [part for part in price.parts if part.key not in ("fees", "tax", "rounding", "own")]
    parts = [*kept, *charges(total, price.prices)]
    gap = (total - sum((part.amount for part in parts), Decimal("0.00"))).quantize(PENNY)
    words = "On top, to the price asked" if gap >= 0 else "Less, to the price asked"
    return replace(price, parts=(*parts, Part("own", words, gap)))


def floor_price(price: Price) -> Floor:
    """The least she can ask for this order, for her eyes only: at no pay at all, and at her wage."""
    return floor_of(price.spent, price.minutes, price.prices)


def is_rush(order: OrderSpec, prices: Prices) -> bool:
    """True where it is asked for so few days ahead that it counts as a rush with her."""
    return bool(prices.rush_days) and order.asked_days is not None and order.asked_days <= prices.rush_days


def rough_price(
    kind: str,
    quantity: int,
    *,
    designs: int = 1,
    colours: int = 1,
    shop: Shop | None = None,
    prices: Prices | None = None,
) -> Price:
    """The price of a kind of cookie before any design exists. Raises ValueError as `LineSpec` does."""
    line = LineSpec("l1", kind, kind, quantity, designs=designs, colours=colours)
    order = OrderSpec("rough", kind, (line,), datetime(2000, 1, 1, tzinfo=UTC))
    return price_of(order, None, shop, prices)


def each_price(
    price: Price, order: OrderSpec, *, coin: Decimal = Decimal("0.05"), total: Decimal | None = None
):
    """The total as lines of so much each, rounded to `coin`: (lines, their exact sum).

    `total` is her own price, else the computed one. The sum may differ a little from it, since each line is
    `each` x `quantity` to the penny.
    """
    total = price.total if total is None else total
    weights = dict(price.weights)
    lines = []
    for line in order.lines:
        share = Fraction(total) * weights.get(line.id, Fraction(0)) / line.quantity
        each = max(Decimal("0.00"), rounded(pence(share), coin)).quantize(PENNY)
        lines.append(LinePrice(line.id, line.title, line.quantity, each, each * line.quantity))
    return tuple(lines), sum((line.amount for line in lines), Decimal("0.00"))


def _time(work: Work, prices: Prices) -> Sum:
    hour, kinds = Fraction(prices.wage) / 60, []
    for kind, (first, more) in split_by_kind(work).items():
        both = [
            ("set-up", f"set-up, shared by {work.quantity}", first),
            ("making", "with every cookie", more),
        ]
        parts = [
            Sum(f"{kind}.{key}", title, hour * minutes, minutes=minutes)
            for key, title, minutes in both
            if minutes
        ]
        kinds.append(Sum(kind, TIME_TITLES[kind], parts=parts, minutes=first + more))
    return Sum("time", "Your time", parts=kinds, minutes=work.minutes)


def _cost(work: Work, prices: Prices) -> list[Part]:
    """What is bought for the order, in pence; no wafer paper where there is none."""
    need = amounts(work, dough=None if prices.dough is DOUGH else prices.dough)
    made = [
        materials.food(work, prices, need),
        materials.colour(work, prices, need),
        materials.wafer(work, prices, need),
        materials.packaging(work, prices, need),
        materials.energy(work, prices),
        _overhead(work, prices),
    ]
    return [settled(one) for one in made if one.exact or one.key != "wafer"]


def _overhead(work: Work, prices: Prices) -> Sum:
    how = f"{work.minutes} min at {prices.overhead:.2f} an hour"
    return Sum("overhead", "Rent, wear and the rest", Fraction(prices.overhead) * work.minutes / 60, how=how)


def _road(order: OrderSpec, prices: Prices) -> Part:
    """What going there costs: so much at all, so much a kilometre of the way there and back."""
    if order.way != "delivered":
        return Part("delivery", "Delivery", Decimal("0.00"))
    away = 2 * Fraction(str(order.distance_km or 0))
    parts = [Sum("delivery.going", "for going at all", Fraction(prices.delivery_base))]
    title = f"{float(away):g} km there and back, {prices.delivery_per_km:.2f} each"
    parts.append(Sum("delivery.km", title, away * Fraction(prices.delivery_per_km)))
    return settled(Sum("delivery", "Delivery", parts=[part for part in parts if part.exact]))


def _weights(work: Work) -> tuple[tuple[str, Fraction], ...]:
    """Each line's share of the work: its own jobs, and its part of the shared ones by cookies cut."""
    cut = {line.id: cut_of(line, work.shop) for line in work.order.lines}
    total: dict[str, Fraction] = defaultdict(Fraction)
    for job in work.jobs:
        minutes = job.attended * job.hands
        parts = dict(job.parts) or ({job.line: 1} if job.line else cut)
        every = sum(parts.values()) or 1
        for name, count in parts.items():
            total[name] += Fraction(minutes * count, every)
    every = sum(total.values()) or Fraction(1)
    return tuple((line.id, total[line.id] / every) for line in work.order.lines)

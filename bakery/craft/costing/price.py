"""The price of an order: time, materials, colour, packaging, overhead, margin, and the rounding."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction
from math import ceil

from ..recipes import amounts
from ..work import LineSpec, OrderSpec, Shop, Work, cut_of, work_of
from ..work.pieces import JOB_KINDS
from .parts import PENNY, Part, pence, rounded, shared
from .prices import Prices

__all__ = ["LinePrice", "Price", "each_price", "price_of", "rough_price", "wage_of"]

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
PLAIN_COLOURS = ("white",)
"""Icing that takes no gel."""


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
    """A price and its sum. `parts` add up to `total`; `weights` share the total out over the lines."""

    parts: tuple[Part, ...]
    minutes: int
    quantity: int
    cut: int
    wage: Decimal
    weights: tuple[tuple[str, Fraction], ...]
    allergens: tuple[str, ...]

    @property
    def total(self) -> Decimal:
        """What she asks, to the coin."""
        return sum((part.amount for part in self.parts), Decimal("0.00"))

    def part(self, key: str) -> Part:
        """The part of that key (time, food, colour, packaging, overhead, margin, rounding) or KeyError."""
        for part in self.parts:
            if part.key == key:
                return part
        raise KeyError(key)

    @property
    def spent(self) -> Decimal:
        """What the order costs her before any pay: food, colour, packaging, overhead."""
        return sum(
            (self.part(k).amount for k in ("food", "colour", "packaging", "overhead")), Decimal("0.00")
        )

    @property
    def each(self) -> Decimal:
        """The price of one cookie, to the nearest penny."""
        return pence(Fraction(self.total) / self.quantity)

    @property
    def pays(self) -> Decimal:
        """The hour's pay that the total brings her, margin included."""
        return wage_of(self, self.total)


def price_of(
    order: OrderSpec, work: Work | None = None, shop: Shop | None = None, prices: Prices | None = None
) -> Price:
    """The price of an order as a sum that opens down to its parts, in Decimal and exact to the penny.

    A half-made order is priced as a whole: work done before is priced with it. `work` is used when it is that
    of the whole order, else worked out anew with `shop`.
    """
    prices = prices or Prices()
    shop = shop or (work.shop if work else Shop())
    if work is None or work.past or any(line.stage != "nothing" for line in order.lines):
        whole = replace(
            order,
            lines=tuple(replace(li, stage="nothing", stage_at=None, baked_at=None) for li in order.lines),
        )
        work = work_of(whole, shop)
    time = _time(work, prices)
    food, colour = _food(work, prices), _colour(work, prices)
    packaging = _packaging(work.order, prices)
    overhead = Part("overhead", "Energy, rent and wear", pence(Fraction(prices.overhead) * work.minutes / 60))
    cost = [time, food, colour, packaging, overhead]
    before = sum((part.amount for part in cost), Decimal("0.00"))
    margin = Part("margin", f"Margin, {_percent(prices.margin)} %", pence(Fraction(before * prices.margin)))
    total = rounded(before + margin.amount, prices.round_to)
    rounding = Part("rounding", "To round it", total - before - margin.amount)
    return Price(
        (*cost, margin, rounding),
        work.minutes,
        work.quantity,
        work.cut,
        prices.wage,
        _weights(work),
        tuple(dict.fromkeys(prices.dough.allergens + prices.icing.allergens)),
    )


def wage_of(price: Price, own_price: Decimal) -> Decimal:
    """The hour's pay that `own_price` brings: what is left after food, colour, packaging and overhead.

    To the nearest penny; negative when she pays to work; raises ValueError for a price that is no number.
    """
    own_price = Decimal(own_price)
    if not own_price.is_finite():
        raise ValueError("A price is a number.")
    left = Fraction(own_price) - Fraction(price.spent)
    return pence(left * 60 / price.minutes) if price.minutes else Decimal("0.00")


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


def _percent(share: Decimal) -> str:
    return f"{(share * 100).normalize():f}"


def _time(work: Work, prices: Prices) -> Part:
    kinds = [(kind, work.minutes_by_kind[kind]) for kind in JOB_KINDS if kind in work.minutes_by_kind]
    sums = shared([Fraction(prices.wage) * minutes / 60 for _, minutes in kinds])
    return Part.of(
        "time",
        "Your time",
        (Part(k, TIME_TITLES[k], amount, minutes) for (k, minutes), amount in zip(kinds, sums, strict=True)),
        work.minutes,
    )


def _food(work: Work, prices: Prices) -> Part:
    need = amounts(work)
    dough = prices.dough.times(need.dough_batches)
    icing = prices.icing.times(Fraction(str(need.icing_grams)) / prices.icing.grams)
    groups = []
    for key, title, recipe in (("dough", "Dough", dough), ("icing", "Icing", icing)):
        exact = [Fraction(prices.cost(i.name, Decimal(1))) * i.grams for i in recipe.ingredients]
        sums = shared(exact)
        groups.append(
            Part.of(
                key,
                title,
                (Part(i.name, i.name, amount) for i, amount in zip(recipe.ingredients, sums, strict=True)),
            )
        )
    return Part.of("food", f"Dough and icing, {work.cut} cut for {work.quantity}", groups)


def _colour(work: Work, prices: Prices) -> Part:
    need = amounts(work)
    found: dict[str, Fraction] = defaultdict(Fraction)
    for bag in need.icing:
        if bag.colour not in PLAIN_COLOURS:
            grams = Fraction(str(bag.to_mix)) * Fraction(prices.gel_share)
            found[bag.colour] += grams * Fraction(prices.gel_per_gram)
    for colour, count in need.drops.items():
        found[f"{colour}, airbrush"] += count * Fraction(prices.drop)
    sums = shared(list(found.values()))
    return Part.of(
        "colour", "Colour", (Part(name, name, amount) for name, amount in zip(found, sums, strict=True))
    )


def _packaging(order: OrderSpec, prices: Prices) -> Part:
    bags = sum(line.quantity for line in order.lines if line.packaging not in ("box", "platter", "none"))
    boxed = sum(line.quantity for line in order.lines if line.packaging not in ("platter", "none"))
    plattered = sum(line.quantity for line in order.lines if line.packaging == "platter")
    boxes, platters = ceil(boxed / prices.box_holds), ceil(plattered / prices.platter_holds)
    posted = boxes + platters if order.way == "posted" else 0
    rows = (
        ("bags", "Bags", bags, prices.bag),
        ("boxes", "Boxes", boxes, prices.box),
        ("platters", "Platters", platters, prices.platter),
        ("cartons", "Cartons for the post", posted, prices.carton),
    )
    found = [
        Part(key, f"{title}, {count} at {price:.2f}", pence(Fraction(price) * count))
        for key, title, count, price in rows
        if count
    ]
    return Part.of("packaging", "Bags and boxes", found)


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

"""What an order costs in her words: the price with its parts, the hour it pays, what less would save."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from bakery.craft.costing import Price, Prices, floor_price, price_of, simpler_ways, tax_of, wage_of
from bakery.craft.work import Shop
from bakery.studio import adapters as studio_adapters
from bakery.studio.queries import the_studio

PENNY = Decimal("0.01")


@dataclass(frozen=True)
class Saving:
    """What less would save: words, how much, and what it costs the look; `use` is the press that takes it."""

    words: str
    saves: str
    look: str
    use: str = ""
    title: str = ""
    amount: Decimal = Decimal("0.00")


@dataclass(frozen=True)
class PricePanel:
    """All that stands in the price plaque, as text. `floor` is for her eyes only."""

    price: Price
    rough: str
    each: str
    pays: str
    own: str
    own_pays: str
    own_note: str
    rows: tuple[tuple[str, str], ...]
    total: str
    savings: tuple[Saving, ...]
    asked: Decimal
    deposit: str
    tax: str
    floor: str
    examples: bool

    @property
    def asked_text(self) -> str:
        """What she would ask: her own price, else the rough one."""
        return self.own or self.rough


def priced(spec, work=None, studio=None) -> Price:
    """The price of a spec with the house's own figures."""
    return price_of(spec, work, *house(studio))


def house(studio=None) -> tuple[Shop, Prices]:
    """The shop and its prices, read once."""
    studio = studio or the_studio()
    return studio_adapters.shop(studio), studio_adapters.prices(studio)


def panel(
    spec, *, own: Decimal | None = None, work=None, savings: bool = True, numbers=None, studio=None, at=None
) -> PricePanel:
    """The price plaque of a spec; `own` is the price she would rather ask, tax and all.

    `numbers` are those of the lines in a form, by line; else what is taken names lines by their place. `at`
    is what `house(studio)` gave, where the page has read it already.
    """
    studio = studio or the_studio()
    sign, (shop, prices) = studio.currency_sign, at or house(studio)
    price = price_of(spec, work, shop, prices)
    asked = price.total if own is None else own
    return PricePanel(
        price=price,
        rough=money(price.total, sign),
        each=f"{money(price.each, sign)} each",
        pays=f"{money(price.pays, sign)} an hour",
        own="" if own is None else money(own, sign),
        own_pays="" if own is None else f"{money(wage_of(price, own), sign)} an hour",
        own_note="" if own is None else _against_wage(wage_of(price, own), price.wage, sign),
        rows=tuple(price_rows(price, sign)),
        total=f"{price.total:,.2f}",
        savings=savings_of(spec, shop, prices, sign, numbers=numbers) if savings else (),
        asked=asked,
        deposit=money(deposit_of(asked, studio), sign),
        tax=tax_words(asked, prices, sign),
        floor=money(floor_price(price).wage, sign),
        examples=any(part.example for part in price.parts),
    )


def price_rows(price: Price, sign: str):
    """(words, amount) of every part that is something."""
    for part in price.parts:
        if part.key == "time":
            yield f"{part.title}, {span(part.minutes)} at {money(price.wage, sign)}", f"{part.amount:,.2f}"
        elif part.amount:
            yield part.title, f"{part.amount:,.2f}"


def tax_words(total: Decimal, prices: Prices, sign: str) -> str:
    """`of which £12.00 tax (20 %)`, or `£60 and £12.00 tax (20 %)` where it comes on top; "" without tax."""
    if not prices.tax_percent:
        return ""
    tax, rate = tax_of(total, prices), f"{prices.tax_percent.normalize():f} %"
    if prices.tax_included:
        return f"of which {money(tax, sign)} tax ({rate})"
    return f"{money(total - tax, sign)} and {money(tax, sign)} tax ({rate})"


def _against_wage(pays: Decimal, wage: Decimal, sign: str) -> str:
    """Her wage against the hour this pays."""
    gap = pays - wage
    if gap == 0:
        return "just your wage"
    amount = money(abs(gap), sign) if abs(gap) >= 1 or sign != "£" else f"{int(abs(gap) * 100)}p"
    return f"{amount} {'over' if gap > 0 else 'under'} your wage"


def savings_of(
    spec, shop: Shop, prices: Prices, sign: str, *, most: int = 3, numbers=None
) -> tuple[Saving, ...]:
    """The simplifications that save money, the largest first."""
    ways = simpler_ways(spec, shop, prices, most=most)
    return tuple(
        Saving(
            f"{way.title}, {span(way.minutes)} less",
            f"saves {money(way.saves, sign)}",
            way.look,
            _use(way, numbers),
            way.title,
            way.saves,
        )
        for way in ways
        if way.saves > 0
    )


def _use(way, numbers) -> str:
    """`simpler:1.3=without.piped.1`: the lines by number, and the way."""
    named = [numbers[line] if numbers else line.removeprefix("l") for line in way.lines]
    return f"simpler:{'.'.join(named)}={way.code}"


def deposit_of(total: Decimal, studio) -> Decimal:
    share = Decimal(studio.deposit_percent) / 100
    return (total * share).quantize(PENNY, ROUND_HALF_UP)


def money(amount: Decimal, sign: str) -> str:
    """`£214`, `£4.46`, `-£3.20`."""
    amount = Decimal(amount)
    text = f"{abs(amount):,.0f}" if amount == amount.to_integral_value() else f"{abs(amount):,.2f}"
    return f"{'-' if amount < 0 else ''}{sign}{text}"


def span(minutes: float) -> str:
    """`40 min`, `3 h 50`, `2 days 20 h`: how long, for reading aloud. Never more than it is."""
    minutes = max(0, round(minutes))
    if minutes < 60:
        return f"{minutes} min"
    if minutes >= 2 * 1440:
        days, rest = divmod(minutes, 1440)
        return f"{days} days {rest // 60} h" if days < 5 and rest >= 60 else f"{days} days"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest:02d}" if rest else f"{hours} h"

"""What goes into an order besides time: food, colour, wafer paper, packing, power; not in pence yet."""

from collections import defaultdict
from fractions import Fraction

from ..amounts import CUP_LOSS, Amounts
from ..recipes import Recipe
from ..work import Work
from ..work.counting import trays_of
from ..work.kinds import shop_minutes
from .parts import Sum
from .prices import Prices

__all__ = ["colour", "energy", "food", "packaging", "wafer"]

PACKING = {
    "bags": ("bag", "Bags"), "boxes": ("box", "Boxes"), "platters": ("platter", "Platters"),
    "cartons": ("carton", "Cartons for the post"),
}  # fmt: skip
PLAIN_COLOURS = ("white",)
"""Icing that takes no gel, unless her own recipe for it does."""


def food(work: Work, prices: Prices, need: Amounts) -> Sum:
    """Dough by whole batches and stiff icing by the gram, ingredient by ingredient."""
    batches, stiff = need.dough_batches, Fraction(str(round(need.stiff_grams, 1)))
    dough = prices.dough.times(batches)
    icing = prices.icing.times(stiff / prices.icing.grams)
    several = f"{batches} {'batch' if batches == 1 else 'batches'}"
    several += _unweighed(prices.dough)
    mixed = (
        f"{number(stiff)} g before water to loosen it, with what stays in the bags{_unweighed(prices.icing)}"
    )
    groups = (
        Sum("dough", "Dough", parts=_ingredients(dough, prices), how=several),
        Sum("icing", "Icing", parts=_ingredients(icing, prices), how=mixed),
    )
    return Sum("food", f"Dough and icing, {work.cut} cut for {work.quantity}", parts=groups)


def _unweighed(recipe: Recipe) -> str:
    """What is in the recipe and cannot be priced, since nobody weighed it."""
    return f"; without {', '.join(recipe.unknown)}: not weighed yet" if recipe.unknown else ""


def _ingredients(recipe: Recipe, prices: Prices) -> tuple[Sum, ...]:
    parts = []
    for item in recipe.ingredients:
        rate = prices.rate(item.name)
        how = f"{number(item.grams)} g" + (f", {rate.words}" if rate.price else "")
        name = rate.name or item.name
        parts.append(Sum(item.name, name, rate.cost(item.grams), how=how, example=rate.example))
    return tuple(parts)


def colour(work: Work, prices: Prices, need: Amounts) -> Sum:
    """Gel by the bag of icing, airbrush colour by the drop, with what is left in the cup at each cleaning."""
    grams: dict[str, Fraction] = defaultdict(Fraction)
    for bag in need.icing:
        grams[bag.colour] += Fraction(str(bag.to_mix))
    cups: dict[str, int] = defaultdict(int)
    for job in work.jobs:
        if job.kind == "spray":
            for name in job.colours:
                cups[name] += 1
    parts = [part for name, amount in grams.items() if (part := _gel(name, amount, prices))]
    parts += [_spray(name, count, cups[name], prices) for name, count in need.drops.items()]
    return Sum("colour", "Colour", parts=parts)


def _gel(name: str, grams: Fraction, prices: Prices) -> Sum | None:
    bottles = prices.gels.get(name.lower())
    if bottles:
        parts = []
        for one in bottles:
            drops = Fraction(one.drops) * grams / 100
            parts.append(Sum(one.name, one.name, one.rate.cost(drops), example=one.rate.example,
                             how=f"{number(drops)} drops, {one.rate.words}"))  # fmt: skip
        return Sum(name, name, parts=parts, how=f"{number(grams)} g of icing")
    if name.lower() in PLAIN_COLOURS:
        return None
    gel = grams * Fraction(prices.gel_share)
    how = f"{number(gel)} g of gel in {number(grams)} g of icing, {prices.gel_per_gram} a g"
    return Sum(name, name, gel * Fraction(prices.gel_per_gram), how=how, example=True)


def _spray(name: str, count: int, cups: int, prices: Prices) -> Sum:
    key, title = f"{name}, airbrush", f"{name}, airbrush"
    lost = min(Fraction(count), Fraction(str(CUP_LOSS)) * cups)
    bottles = prices.sprays.get(name.lower())
    cup = sum((Fraction(one.drops) for one in bottles or ()), Fraction(0))
    if bottles and cup:
        rate = sum((one.rate.cost(Fraction(one.drops) / cup) for one in bottles), Fraction(0))
        words = ", ".join(f"{one.name}: {one.rate.words}" for one in bottles)
        example = any(one.rate.example for one in bottles)
    else:
        rate, words, example = Fraction(prices.drop), f"{prices.drop} a drop", True
    on = count - lost
    return Sum(key, title, how=words, example=example, parts=(
        Sum(f"{key}.on", "on the cookies", on * rate, how=f"{number(on)} drops"),
        Sum(f"{key}.cup", "left in the cup, cleaned out", lost * rate, how=f"{number(lost)} drops"),
    ))  # fmt: skip


def wafer(work: Work, prices: Prices, need: Amounts) -> Sum:
    """Wafer paper by what is used up of the sheets: the pieces themselves, and what is cut away around them.

    What is left in one piece is kept and not charged.
    """
    rate = prices.rate("wafer")
    if not need.sheets:
        return Sum("wafer", "Wafer paper")
    sheets, pieces = need.paper.taken, need.paper.pieces
    parts = (
        Sum("wafer.pieces", "the pieces", rate.cost(pieces), how=f"{number(pieces)} of a sheet"),
        Sum("wafer.offcuts", "what is cut away", rate.cost(sheets - pieces),
            how=f"{number(sheets - pieces)} of a sheet"),
    )  # fmt: skip
    kept = need.sheets - sheets
    how = f"{need.sheets} {'sheet' if need.sheets == 1 else 'sheets'}"
    how += f", of which {number(kept)} stays whole" if kept else ""
    how += f"; {rate.words}"
    return Sum("wafer", "Wafer paper", parts=parts, how=how, example=rate.example)


def packaging(work: Work, prices: Prices, need: Amounts) -> Sum:
    """Bags, boxes, platters, and cartons for the post."""
    parts = []
    for row in need.packs.orders:
        thing, title = PACKING[row.what]
        rate = (prices.rates.get(row.pack.name) if row.pack else None) or prices.rate(thing)
        if row.pack:
            title = row.pack.name if row.pack.key else f"{title} of {row.each}"
        how = f"{row.count}, {rate.words}"
        parts.append(Sum(row.what, title, rate.cost(row.count), how=how, example=rate.example))
    return Sum("packaging", "Bags and boxes", parts=parts)


def energy(work: Work, prices: Prices) -> Sum:
    """Oven and dryer: minutes on, what they draw, what a kWh costs."""
    rate, parts = Fraction(prices.per_kwh), []
    bakes = [job for job in work.jobs if job.kind == "bake"]
    warm = shop_minutes(work.shop, "bake_set")
    oven = Fraction(str(sum(job.minutes - job.attended + warm for job in bakes)))
    dryer = _dryer_minutes(work)
    for key, title, minutes, draws in (
        ("oven", f"Oven, {len(bakes)} {'load' if len(bakes) == 1 else 'loads'}", oven, prices.oven_kw),
        ("dryer", "Dryer", dryer, prices.dryer_kw),
    ):
        kwh = Fraction(draws) * minutes / 60
        if kwh:
            how = f"{number(minutes)} min at {number(draws)} kW: {number(kwh)} kWh at {prices.per_kwh:.2f}"
            parts.append(Sum(key, title, kwh * rate, how=how))
    return Sum("energy", "Oven and dryer" if dryer else "Oven", parts=parts)


def _dryer_minutes(work: Work) -> Fraction:
    """Minutes the dryer runs for this order: its trays, as many at once as go in."""
    if not work.shop.dryer:
        return Fraction(0)
    trays = sum(len(trays_of(line, work.shop)) for line in work.order.lines)
    return Fraction(str(shop_minutes(work.shop, "dryer"))) * trays / work.shop.dryer


def number(value) -> str:
    """`340`, `4.2`, `0.34`: as many figures as help."""
    value = Fraction(value)
    if value.denominator == 1 or value >= 100:
        return f"{round(value)}"
    return f"{round(float(value), 1 if value >= 10 else 2):g}"

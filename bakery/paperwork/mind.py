"""What to mind on the day: cautions where the work meets them. Common practice; local food law goes first."""

from datetime import timedelta

from django.utils import timezone

from bakery.orders.models import Order
from bakery.production import words
from bakery.production.models import Job
from bakery.stock.models import Colour, Level, StockItem
from bakery.stock.queries import colour_bottles, short_items
from bakery.stock.runout.outlook import outlooks
from bakery.stock.runout.words import deadline_of, short_words
from bakery.stock.signals import needs

from .quote import beware

POINTED = ("flood", "pipe", "letter", "transfer")
ICED = ("mix", "flood", "icing_pass", "pipe", "letter", "transfer")
MOST_ALLERGIES = 8


def cautions(it) -> list[str]:
    """Sentences to tick, the most urgent first."""
    kinds = it.kinds()
    said = [*_shopping(it), *_allergies(it)]
    if "spray" in kinds:
        said.append("Mask on, window open to spray; the kitchen’s food covered.")
    said += _bottles(it, kinds)
    if kinds & set(POINTED):
        said.append("Scribe, pins and blades: counted out, counted back.")
    if kinds & set(ICED):
        said.append("Icing on egg: white powder or pasteurised white only.")
    if "brush" in kinds:
        said.append("Dust and paint: only what says edible and lists its ingredients.")
    if "pack" in kinds:
        said.append("Seal bags only when dry through: press the thickest place. Count before closing.")
    return said


def _shopping(it) -> list[str]:
    """What is low or out and used by the end of this day, and what by the books is to be ordered by then."""
    due = [need for need in needs(it.now) if need.at < it.end]
    items = list(StockItem.objects.all())
    counted = [one for one in outlooks(it.now, items, paces=False) if one.is_short]
    found = [said for one in counted if (said := _ordered(one, it))]
    known = {one.item.pk for one in counted}
    for short in short_items(due):
        if short.item.pk in known:
            continue
        state = "out" if short.item.level == Level.OUT else "low"
        when = f"by {words.clock(short.at)}" if short.at >= it.end - timedelta(days=1) else "now"
        drops = f", {short.drops} drops wanted" if short.drops else ""
        found.append(f"{short.item.name} is {state}: buy {when}{drops}.")
    return found


def _ordered(one, it) -> str:
    """One that falls short by the books, once its day to order has come."""
    at = one.firm.short_at
    due = deadline_of(one.item, at, it.now)
    if due.by > timezone.localdate(it.end - timedelta(minutes=1)):
        return ""
    missing = short_words(one)[0]
    act = "look for it nearby" if due.late else "order it"
    return f"{one.item.name}, {missing} short on {words.day_month(at)}: {act}."


def _allergies(it) -> list[str]:
    orders = {job.order_id: job.order for job in it.jobs if job.state != Job.State.DONE}
    found = []
    for order in orders.values():
        if order.allergy_state == Order.Allergy.TOLD and order.allergies:
            inside = beware(it.studio.contains, order.allergies)
            found.append(f"{order.title}: {order.allergies.rstrip('.')}. {inside}".strip())
        elif order.allergy_state == Order.Allergy.NOT_ASKED and not order.for_stock:
            found.append(f"{order.title}: nobody has asked about allergies yet.")
    more = len(found) - MOST_ALLERGIES
    return (
        found
        if more <= 0
        else [*found[:MOST_ALLERGIES], f"{more} more orders with allergies: see each order."]
    )


def _bottles(it, kinds) -> list[str]:
    """Alcohol near heat, and white that settles, among the bottles of this day."""
    used = _used(it)
    said = []
    if "brush" in kinds or any(item.alcohol for item in used):
        fire = "oven cold and no" if "bake" in kinds else "no"
        said.append(f"Alcohol in colours and cleaner: {fire} flame or spark near.")
    inedible = [item.name for item in used if not item.edible]
    if inedible:
        said.append(f"Not marked edible, keep off cookies: {words.listed(inedible)}.")
    shaken = [item.name for item in used if item.shake_first and item.group == StockItem.Group.AIRBRUSH]
    if shaken:
        said.append(f"Shake before and during: {words.listed(shaken)}.")
    return said


def _used(it) -> list[StockItem]:
    bottles = colour_bottles()
    found: dict[int, StockItem] = {}
    for job in it.jobs:
        if job.kind in ("spray", "brush") and job.state != Job.State.DONE:
            medium = Colour.Medium.AIRBRUSH if job.kind == "spray" else Colour.Medium.ICING
            for colour in job.colours:
                found |= {item.pk: item for item, _ in bottles.get((colour.lower(), medium), ())}
    return list(found.values())

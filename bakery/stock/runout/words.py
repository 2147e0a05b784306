"""What runs out, by when and for whom, in her words."""

from datetime import datetime, time
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from django.utils import timezone

from bakery.craft.buying import Deadline, deadline

from ..ledger_words import much as exact
from ..models import StockItem
from ..words import day, item_words, moment
from .outlook import Outlook

WHOLE = (StockItem.Unit.DROP, StockItem.Unit.PIECE, StockItem.Unit.SHEET)


def much(quantity: Decimal, unit: str) -> str:
    """As the books say it, but drops, pieces and sheets come whole."""
    if unit in WHOLE:
        quantity = quantity.quantize(Decimal(1), ROUND_CEILING if quantity > 0 else ROUND_FLOOR)
    return exact(quantity, unit)


def listed(names) -> str:
    names = list(names)
    if len(names) > 3:
        names = [*names[:2], f"{len(names) - 2} more"]
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + f" and {names[-1]}" if names else ""


def names_of(keys, titles: dict) -> str:
    return listed(titles.get(key, (f"order {key.lstrip('o')}",))[0] for key in keys)


def on_day(at: datetime, now: datetime) -> str:
    """on Wednesday, today, tomorrow."""
    said = day(at, now)
    return said if said in ("today", "tomorrow") else f"on {said}"


def headline(outlook: Outlook) -> str:
    """Leaf green, airbrush runs out on Wednesday."""
    item, line = outlook.item, outlook.firm
    verb = "run" if item.name.lower().split(",")[0].endswith("s") else "runs"
    gone = "is" if verb == "runs" else "are"
    if not outlook.left:
        return f"{item_words(item)} {gone} out, wanted {day(line.short_at, outlook.now)}."
    return f"{item_words(item)} {verb} out {on_day(line.short_at, outlook.now)}."


def short_line(outlook: Outlook, titles: dict) -> str:
    """About 3 drops short for the ferns: 17 drops wanted, 14 drops left."""
    whom = names_of(outlook.shorted, titles)
    missing, rest = short_words(outlook)
    return f"About {missing} short{f' for {whom}' if whom else ''}{rest}"


def short_words(outlook: Outlook) -> tuple[str, str]:
    """How much is missing first, and the sum behind it."""
    unit, line = outlook.item.unit, outlook.firm
    first = next(level for at, level in line.levels if level < 0)
    missing, most = much(-first, unit), much(line.short_by, unit)
    there = f"{much(outlook.left, unit)} left" if outlook.left else "none left"
    in_all = f", {most} in all" if most != missing else ""
    return missing, f"{in_all}: {much(outlook.wanted, unit)} wanted, {there}."


def deadline_of(item: StockItem, at: datetime, now: datetime) -> Deadline:
    return deadline(
        timezone.localdate(at),
        lead_days=item.lead_days,
        margin_days=item.margin_days,
        today=timezone.localdate(now),
    )


def order_by(item: StockItem, at: datetime, now: datetime, *, goal: bool = True) -> str:
    """Order it by Tuesday 1 December for Friday, or that it is too late for that."""
    due = deadline_of(item, at, now)
    goal = f" for {day(at, now)}" if goal else ""
    where = f" from {item.supplier}" if item.supplier else ""
    days = f"{item.lead_days} day{'' if item.lead_days == 1 else 's'}"
    if due.late:
        return f"{days} on the way{where}: too late for that, so look for it nearer by."
    verb = "Order" if item.lead_days > 1 else "Buy"
    if due.now:
        last = "" if due.last == due.today else f"; the last day in time is {named(due.last, now)}"
        return f"{verb} it today{where}{goal}{last}."
    spare = f", {item.margin_days} to spare" if item.margin_days else ""
    way = f" {days} on the way{spare}." if item.lead_days else ""
    return f"{verb} it by {named(due.by, now)}{where}{goal}.{way}"


def named(on, now: datetime) -> str:
    """A date as a day of hers."""
    return day(timezone.make_aware(datetime.combine(on, time(12))), now)


def by_day(on, now: datetime) -> str:
    """by Friday; today needs no word before it."""
    said = named(on, now)
    return said if said == "today" else f"by {said}"


def taking(at: datetime, quantity: Decimal, left: Decimal | None, unit: str, whom: str, now) -> str:
    """One step of the line in words: Wednesday 18:30: 194 g for the ferns, then 806 g left."""
    said = f"{moment(at, now)}: {much(quantity, unit)} for {whom}"
    if left is None:
        return said
    return f"{said}, then {much(left, unit)} {'left' if left >= 0 else 'missing'}"

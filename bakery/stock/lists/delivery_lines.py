"""A shop's order, or her own notes of what came, as lines of deliveries."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction

from django.core.exceptions import ValidationError

from ..ledger import ReceiveLine
from ..ledger_forms import OLD
from ..ledger_words import much
from ..measures import item_named
from ..models import Delivery, StockItem
from ..runout.shopping import NOWHERE
from ..typed_amounts import MOST_PACKS, Typed, came, measured
from .cells import Reading, reading
from .csv_in import Table

ASSUMED = ("name", "amount", "cost")
MOST_PACKETS = 2000


@dataclass(frozen=True)
class Came:
    """One line, and which bag it belongs to."""

    supplier: str
    on: date
    line: ReceiveLine


def read_deliveries(table: Table, *, supplier: str, on: date, today: date) -> list[Reading]:
    """Each row as a Came, or with sentences. One query."""
    items = list(StockItem.objects.all())
    known = {item.name.casefold(): item for item in items}
    found, seen = [], {}
    for row in table.rows:
        one = reading(row)
        _read(one, items, known, supplier, on, today)
        key = tuple(sorted((name, cell.casefold()) for name, cell in row.cells.items() if cell))
        if key in seen:
            one.doubts.append(f"The same as line {seen[key]}. Twice, or by mistake?")
        seen.setdefault(key, row.line)
        found.append(one)
    if sum(one.value.line.packs or 1 for one in found if one.value) > MOST_PACKETS:
        found[-1].errors.append(f"More than {MOST_PACKETS} packets in all. Bring it in in parts.")
    return found


def known_already(came_in: list[Came]) -> list[str]:
    """Shops and days that the books have a delivery of already; one query."""
    wanted = {(one.supplier.casefold(), one.on) for one in came_in}
    rows = Delivery.objects.filter(on__in={on for _, on in wanted}).values_list("supplier", "on")
    return sorted(
        {f"{shop or 'A delivery'}, {on.day} {on:%B}" for shop, on in rows if (shop.casefold(), on) in wanted}
    )


def _read(one: Reading, items, known, supplier, on, today) -> None:
    name = one.words("name", 80)
    shop = one.words("supplier", 80) or supplier
    shop = "" if shop == NOWHERE else shop
    day = one.day("on") or on
    if day > today:
        one.errors.append("That day is still to come. A delivery counts once it is here.")
    elif (today - day).days > OLD:
        one.errors.append("More than a year ago. Is the year right?")
    best = one.day("best_before")
    if best and best < day:
        one.doubts.append("Past its date when it came. Is that right?")
    lot = one.words("lot", 40)
    item = _item(one, name, items, known)
    typed = _amount(one, item) if item else None
    cost = _cost(one, typed.packs if typed else 1)
    quantity = (
        much(typed.quantity, item.unit) if typed else one.cells.get("amount") or one.cells.get("packs", "")
    )
    one.shows = (item.name if item else name, quantity[:40], "" if cost is None else f"{cost}", shop)
    if not one.errors:
        packs = typed.packs if typed.packs > 1 else None
        one.value = Came(shop, day, ReceiveLine(item, typed.quantity, cost, best, lot, packs))


def _item(one: Reading, name: str, items, known) -> StockItem | None:
    if not name:
        one.errors.append("What is it? The name is missing.")
        return None
    item = known.get(name.casefold()) or item_named(name, items)
    if item is None and not any(name[:10] in wrong for wrong in one.errors):
        near = get_close_matches(name.casefold(), known, n=1, cutoff=0.75)
        hint = f" {known[near[0]].name} is." if near else " Add it there first."
        one.errors.append(f"“{name[:40]}” is not in the cupboard.{hint}")
    return item


def _amount(one: Reading, item: StockItem):
    """How much in all, in how many packets: from whichever of the columns are filled."""
    packs, amount = one.cells.get("packs", ""), one.cells.get("amount", "")
    size, unit = one.cells.get("pack_size", ""), one.cells.get("unit", "")
    if packs and not packs.replace(".", "", 1).isdecimal() and not amount:
        amount, packs = packs, ""
    try:
        if not packs:
            return came(_with_unit(amount or size, unit)[:60], item) if amount or size else _nothing()
        if size and not amount:
            return came(f"{_count(packs)} x {_with_unit(size, unit)}"[:60], item)
        if amount:
            count = _count(packs)
            return Typed(_positive(_with_unit(amount, unit), item), count)
        return came(packs[:60], item)
    except ValidationError as wrong:
        one.errors.append(wrong.messages[0])
        return None


def _nothing():
    raise ValidationError("How much came?")


def _count(text: str) -> int:
    number = Fraction(text)
    if number.denominator != 1 or not 1 <= number <= MOST_PACKS:
        raise ValidationError(f"Packets come whole, from 1 to {MOST_PACKS} in a line.")
    return int(number)


def _positive(text: str, item: StockItem) -> Decimal:
    quantity = measured(text[:60], item)
    if not quantity:
        raise ValidationError("Nothing came? Then leave the line out.")
    return quantity


def _with_unit(amount: str, unit: str) -> str:
    """The unit of its own column, where the amount has none."""
    return amount if not unit or any(sign.isalpha() for sign in amount) else f"{amount} {unit}"


def _cost(one: Reading, packs: int) -> Decimal | None:
    total, each = one.price("cost"), one.price("each")
    if total is not None or each is None:
        return total
    return each * packs

"""Her own list of what is in the cupboard: new things, and what has changed about those there are."""

from dataclasses import dataclass, field
from decimal import Decimal

from django.core.exceptions import ValidationError

from .. import ledger
from ..ledger_words import much
from ..models import Level, Packet, StockItem
from ..typed_amounts import measured
from .cells import Reading, reading
from .csv_in import Table

ASSUMED = ("name", "shelf", "level", "amount")
SHELVES = {word.casefold(): key for key, label in StockItem.Group.choices for word in (key, label)} | {
    "airbrush": "airbrush", "gels": "gel", "paste": "gel", "dry": "dry", "larder": "dry", "cold": "fresh",
    "packaging": "packing", "wafer": "wafer", "fridge": "fresh",
}  # fmt: skip
UNITS = {word: key for key, label in StockItem.Unit.choices for word in (key, label)} | {
    "gram": "g", "grams": "g", "kg": "g",
    "millilitre": "ml", "millilitres": "ml", "l": "ml", "piece": "piece",
    "pcs": "piece", "sheet": "sheet", "drops": "drop",
}  # fmt: skip
YES, NO = ("yes", "y", "true", "1", "x"), ("no", "n", "false", "0")


@dataclass(frozen=True)
class Kept:
    """A thing with what the row says of it; `fields` only what is filled in."""

    item: StockItem
    fields: dict = field(default_factory=dict)
    level: str = ""
    amount: Decimal | None = None


def read_list(table: Table) -> list[Reading]:
    """Each row as a Kept, or with sentences. A few queries, however many rows."""
    known = {item.name.casefold(): item for item in StockItem.objects.all()}
    held = set(Packet.objects.filter(item__isnull=False).order_by().values_list("item", flat=True).distinct())
    left = ledger.on_hand()
    found, seen = [], {}
    for row in table.rows:
        one = reading(row)
        name = _read(one, known, held, left)
        if name and name in seen:
            one.errors.append(f"Line {seen[name]} is about the same thing. Keep one of them.")
        seen.setdefault(name, row.line)
        found.append(one)
    return found


def _read(one: Reading, known, held, left) -> str:
    name = one.words("name", 80)
    if not name:
        one.errors.append("What is it? The name is missing.")
    old = known.get(name.casefold())
    item = old or StockItem(name=name)
    fields: dict = {}
    _shelf(one, old, fields)
    _unit(one, old, held, fields)
    kept_in = StockItem(name=name, unit=fields.get("unit", item.unit), drops_per_ml=item.drops_per_ml,
                        pack_size=item.pack_size)  # fmt: skip
    for key, room in (("supplier", 80), ("allergens", 120)):
        if text := one.words(key, room):
            fields[key] = text
    for key, most in (("lead_days", 365), ("margin_days", 365)):
        if (days := one.whole(key, most)) is not None:
            fields[key] = days
    if (price := one.price("pack_price")) is not None:
        fields["pack_price"] = price
    _edible(one, fields)
    if size := _measured(one, "pack_size", kept_in, fields):
        fields["pack_size"] = size.quantize(Decimal("0.01"))
    kept_in.pack_size = fields.get("pack_size", kept_in.pack_size)
    amount = _measured(one, "amount", kept_in, {})
    level = _level(one, amount)
    if old is not None:  # what is so already is no change
        fields = {name: value for name, value in fields.items() if getattr(old, name) != value}
        level = "" if level == old.level else level
        amount = None if old.measured and amount == left.get(old.pk) else amount
    said = "new" if old is None else "changed" if fields or level or amount is not None else "as it is"
    one.shows = (name, said, much(amount, kept_in.unit) if amount is not None else "", level)
    if not one.errors:
        one.value = Kept(item, fields, level, amount)
    return name.casefold()


def _shelf(one: Reading, old, fields) -> None:
    text = one.cells.get("shelf", "")
    if not text and old is None:
        one.errors.append(f"Which shelf? One of {', '.join(label for _, label in StockItem.Group.choices)}.")
    elif text:
        key = SHELVES.get(text.casefold())
        if key is None:
            names = ", ".join(label for _, label in StockItem.Group.choices)
            one.errors.append(f"“{text[:24]}” is no shelf here. One of {names}.")
        else:
            fields["group"] = key


def _unit(one: Reading, old, held, fields) -> None:
    text = one.cells.get("unit", "").casefold()
    if not text:
        return
    key = UNITS.get(text)
    if key is None:
        one.errors.append(
            f"“{text[:24]}” is no measure that things are kept in: g, ml, drops, pieces or sheets."
        )
    elif old is not None and old.pk in held and key != old.unit:
        one.errors.append(f"{old.name} has packets in {old.get_unit_display()}; that cannot change any more.")
    else:
        fields["unit"] = key


def _measured(one: Reading, key: str, kept_in: StockItem, fields) -> Decimal | None:
    """An amount in the item's own unit; a column of units in kg or l counts for plain numbers."""
    text = one.cells.get(key, "")
    if not text:
        return None
    unit = one.cells.get("unit", "").casefold()
    if unit in ("kg", "l") and not any(sign.isalpha() for sign in text):
        text = f"{text} {unit}"
    try:
        found = measured(text[:60], kept_in)
    except ValidationError as wrong:
        one.errors.append(f"{key.replace('_', ' ').capitalize()}: {wrong.messages[0]}")
        return None
    if key == "pack_size" and found < Decimal("0.01"):
        one.errors.append("Pack size: a packet holds something.")
        return None
    return found


def _level(one: Reading, amount) -> str:
    text = one.cells.get("level", "").casefold()
    if not text:
        return ""
    if text not in Level.values:
        one.errors.append(f"“{text[:24]}”: say have, low or out.")
        return ""
    if amount is not None and (text == Level.OUT) != (amount == 0):
        one.doubts.append("Out, and yet some is left? The amount counts.")
        return ""
    return text


def _edible(one: Reading, fields) -> None:
    text = one.cells.get("edible", "").casefold()
    if text in YES:
        fields["edible"] = True
    elif text in NO:
        fields["edible"] = False
    elif text:
        one.errors.append(f"Edible: yes or no, not “{text[:24]}”.")

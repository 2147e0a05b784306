"""Amounts in words, a group for each kind of thing: the one form that page and day sheet show."""

from collections import defaultdict
from math import ceil

from bakery.craft.amounts import Amounts
from bakery.craft.recipes import merged
from bakery.stock.models import Colour
from bakery.stock.recipe_words import grams as weight

from .. import words
from .books import Cupboard

GRADES = {"flood, heals in 10 s": "flood, 10 s", "spread, keeps a knife's track": "spread, keeps a track",
          "detail, heals in 20 s": "detail, 20 s"}  # fmt: skip
LYING = {"dough": ("batch of dough", "batches of dough"), "blank": ("baked blank", "baked blanks"),
         "transfer": ("transfer", "transfers")}  # fmt: skip
PACKED = {"bags": "one a cookie", "boxes": "{} cookies a box, whole boxes for each order",
          "platters": "{} cookies a platter", "cartons": "for the post"}  # fmt: skip


def groups_of(need: Amounts, cupboard: Cupboard) -> list[dict]:
    """Groups with rows of what, amount and a note that shows the sum; plain data, fit to be printed."""
    found = [
        _group("ready", "Already there, use it first", [*_ready(need), *_tubs(need, cupboard)]),
        _group("dough", "Dough", _dough(need, cupboard), _into_dough(need, cupboard)),
        _group("icing", "Icing", _icing(need, cupboard), _into_icing(need, cupboard)),
        _group("airbrush", "Airbrush", _airbrush(need, cupboard), _bottles(need, cupboard)),
        _group("pieces", "Wafer paper and transfers", [*_wafer(need), *_transfers(need)]),
        _group("names", "Names", _names(need)),
        _group("packing", "To pack", _packing(need)),
    ]
    return [group for group in found if group["rows"]]


def _group(key, title, rows, more=None) -> dict:
    return {"key": key, "title": title, "rows": rows, "more": more or {}}


def _row(what, amount, note="", brief="") -> dict:
    """`brief` is what of the note goes on paper, where there is little room."""
    return {"what": what, "amount": amount, "note": note, "brief": brief}


def _ready(need: Amounts) -> list[dict]:
    counts: dict[tuple, int] = defaultdict(int)
    for use in need.uses:
        counts[use.item.what, use.item.shape, use.item.place] += use.quantity
    return [
        _row(
            f"{words.capital(LYING[what][count != 1])}{f', {shape}' if shape else ''}",
            str(count),
            said := f"from the {place}" + ("; thaw first" if place == "freezer" else ""),
            said,
        )
        for (what, shape, place), count in counts.items()
    ]


def _tubs(need: Amounts, cupboard: Cupboard) -> list[dict]:
    used: dict[str, float] = defaultdict(float)
    for bag in need.icing:
        used[bag.colour] += bag.tub
    rows = []
    for colour, grams in used.items():
        if grams > 0:
            codes = words.listed(tub.code for tub in cupboard.tubs.get(colour.lower(), ())[:3])
            rows.append(
                _row(f"{words.capital(colour)} icing", weight(grams), said := f"left over in {codes}", said)
            )
    return rows


def _dough(need: Amounts, cupboard: Cupboard) -> list[dict]:
    dough = need.dough
    if not dough.batches:
        return []
    said = f"{words.counted(dough.cookies, 'cookie')} cut"
    said += f", {need.spares} of them spare" if need.spares else ""
    said += f"; {dough.fits} a batch"
    if dough.batches > dough.planned:
        said += f". At this cutter’s size it takes {dough.batches}, the plan has time for {dough.planned}"
    elif dough.batches < dough.planned:
        said += f". Mixed together {dough.batches} will do; alone each order takes its own"
    name = cupboard.book.dough.name if cupboard.book.dough else "Dough"
    return [_row(name, words.counted(dough.batches, "batch", "batches"), said + ".")]


def _into_dough(need: Amounts, cupboard: Cupboard) -> dict:
    recipe = cupboard.book.dough
    if not need.dough.batches or recipe is None:
        return {}
    whole = recipe.times(need.dough.batches)
    return _ingredients("What goes into the dough", [whole], recipe.unknown)


def _ingredients(title, recipes, unknown=()) -> dict:
    rows = [[item.name, weight(item.grams)] for item in merged(recipes)]
    note = f"Without {words.listed(unknown)}: not weighed yet." if unknown else ""
    return {"title": title, "rows": rows, "note": note} if rows else {}


def _icing(need: Amounts, cupboard: Cupboard) -> list[dict]:
    """Grams to mix new by colour and consistency, with what makes it that colour and that loose."""
    rows, order = [], list(GRADES)
    for bag in sorted(need.icing, key=lambda bag: order.index(bag.consistency)):
        grade = GRADES.get(bag.consistency, bag.consistency)
        note = [f"for {words.counted(bag.cookies, 'cookie')}", words.counted(bag.bags, "bag")]
        water = round(bag.water_ml)
        gel, loose = _gel(bag, cupboard), f"{water} ml water" if water else ""
        made = [gel, loose and f"about {loose}"] if bag.fresh > 0 else []
        note += made or ["the tub is enough"]
        if bag.tub and bag.fresh > 0:
            note.append(f"besides {weight(bag.tub)} from the tub")
        amount = f"{round_up(bag.fresh)} g" if bag.fresh > 0 else "none"
        brief = ", ".join(filter(None, (gel, loose))) if bag.fresh > 0 else "from the tub"
        rows.append(
            _row(f"{words.capital(bag.colour)}, {grade}", amount, ", ".join(filter(None, note)), brief)
        )
    return rows


def _gel(bag, cupboard: Cupboard) -> str:
    """Drops of each bottle for that much icing."""
    parts = cupboard.bottles.get((bag.colour.lower(), Colour.Medium.ICING))
    if not parts:
        return ""
    return words.listed(f"{_drops(drops * bag.fresh / 100)} {bottle(item)}" for item, drops in parts)


def _into_icing(need: Amounts, cupboard: Cupboard) -> dict:
    recipe, stiff = cupboard.book.icing, need.stiff_grams
    if stiff <= 0 or recipe is None or not recipe.grams:
        return {}
    found = _ingredients(
        f"{weight(round_up(stiff))} of stiff icing to make first",
        [recipe.times(round_up(stiff) / float(recipe.grams))],
        recipe.unknown,
    )
    if found:
        found["note"] += " What stays in bags and bowls is counted in; the seconds test decides on the water."
        found["note"] = found["note"].strip()
    return found


def _airbrush(need: Amounts, cupboard: Cupboard) -> list[dict]:
    rows = []
    for colour, count in need.drops.items():
        parts = cupboard.bottles.get((colour.lower(), Colour.Medium.AIRBRUSH)) or ()
        whole = sum(drops for _, drops in parts) or 1
        made = words.listed(f"{_drops(count * drops / whole)} {bottle(item)}" for item, drops in parts)
        made = made if len(parts) > 1 else ""
        rows.append(_row(words.capital(colour), words.counted(count, "drop"), made, made))
    return rows


def _bottles(need: Amounts, cupboard: Cupboard) -> dict:
    """The same by the bottle, over all colours it goes into; shown where that is not the list above."""
    total: dict[int, float] = defaultdict(float)
    for colour, count in need.drops.items():
        parts = cupboard.bottles.get((colour.lower(), Colour.Medium.AIRBRUSH)) or ()
        whole = sum(drops for _, drops in parts) or 1
        for item, drops in parts:
            total[item.pk] += count * drops / whole
    if len(total) < 2:
        return {}
    rows = sorted((cupboard.items[pk].name, f"{ceil(count)} drops") for pk, count in total.items())
    return {"title": "By the bottle", "rows": [list(row) for row in rows], "note": ""}


def _wafer(need: Amounts) -> list[dict]:
    if not need.wafer:
        return []
    pieces = [f"{count} of {size[0]:.0f} × {size[1]:.0f} mm" for size, count in need.wafer]
    note = words.listed(pieces)
    if need.paper.of_offcuts:
        note += "; kept offcuts go first"
    amount = words.counted(need.sheets, "sheet") if need.sheets else "no fresh sheet"
    return [_row("Wafer paper", amount, note)]


def _transfers(need: Amounts) -> list[dict]:
    note = "some of them to break"
    return [_row("Transfers to pipe", str(need.transfers), note)] if need.transfers else []


def _names(need: Amounts) -> list[dict]:
    return [_row("Names to letter", str(need.names))] if need.names else []


def _packing(need: Amounts) -> list[dict]:
    """Boxes and platters by which she has: "Boxes of 24"."""
    counts: dict[tuple, int] = defaultdict(int)
    for row in need.packs.orders:
        title = row.pack.name if row.pack and row.pack.key else words.capital(row.what)
        counts[row.what, title, row.each] += row.count
    return [
        _row(title, str(count), PACKED[what].format(each)) for (what, title, each), count in counts.items()
    ]


def round_up(grams: float) -> int:
    """To the next 5 g, from 60 g on to the next 10 g: what a kitchen scale is filled to."""
    if grams <= 0:
        return 0
    step = 10 if grams >= 60 else 5
    return int(-(-round(grams, 2) // step) * step)


def bottle(item) -> str:
    return words.small(item.name.removesuffix(" gel").removesuffix(", airbrush"))


def _drops(number: float) -> int:
    return max(1, round(number))

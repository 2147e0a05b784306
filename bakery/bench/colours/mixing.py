"""From a wanted colour to drops: the bench's answer, as the page shows it. Reads only; NumPy comes here."""

from dataclasses import dataclass, field
from math import ceil

from bakery.craft.colour import ICING
from bakery.stock.models import Colour, Level, StockItem, Swatch
from bakery.stock.swatches import airbrush_bottles, bottle_of, learnt, swatches_that_count

from . import words

MOST_SHOWN = 4
LOOKED_AT = 80
NO_BOTTLE = "There is no bottle to mix from: give one its shade first."


@dataclass(frozen=True)
class Line:
    """One bottle's drops in the recipe, and in the run."""

    item: StockItem
    drops: int
    in_run: int

    @property
    def ml(self) -> str:
        return words.number(self.in_run / float(self.item.drops_per_ml))


@dataclass(frozen=True)
class Mix:
    """Drops and what they dry to."""

    lines: tuple[Line, ...]
    hex: str
    difference: float | None = None
    title: str = ""
    said: str = ""
    doubt: str = ""
    own: bool = False

    @property
    def total(self) -> int:
        return sum(line.drops for line in self.lines)

    @property
    def in_run(self) -> int:
        return sum(line.in_run for line in self.lines)

    @property
    def short(self) -> str:
        """3 Sea blue, 1 White."""
        return ", ".join(f"{line.drops} {short_name(line.item)}" for line in self.lines)

    @property
    def query(self) -> str:
        return "&".join(f"d{line.item.pk}={line.drops}" for line in self.lines)

    @property
    def rules(self) -> list[str]:
        return words.rules_of_spraying([line.item for line in self.lines])


@dataclass(frozen=True)
class Bench:
    """All that the answer shows."""

    shelf: tuple[StockItem, ...]
    mix: Mix | None = None
    others: tuple[Mix, ...] = ()
    wanted: str = ""
    sentence: str = ""
    left_out: tuple[StockItem, ...] = field(default=())


def short_name(item: StockItem) -> str:
    return item.name.removesuffix(", airbrush")


class Shelf:
    """The bottles once read: which can be mixed from, and what swatches taught of them."""

    def __init__(self):
        self.all = airbrush_bottles()
        self.rows = swatches_that_count(self.all)
        self.known = learnt(self.all, self.rows)
        self.by_pk = {str(item.pk): item for item in self.all}
        self.usable = [item for item in self.all if item.hex and not item.shimmer]
        self.here = [item for item in self.usable if item.level != Level.OUT]

    def bottles(self, items) -> list:
        taught = {bottle.id: bottle for bottle in self.known.bottles}
        return [taught.get(str(item.pk)) or bottle_of(item) for item in items]


def at_the_bench(shelf: Shelf, *, wanted: str, ground: str, coats: float, own: dict[int, int] | None = None,
                 run_drops: int = 0, tried: Swatch | None = None) -> Bench:  # fmt: skip
    """The best recipes for `wanted`, or what her `own` drops dry to. A swatch `tried` for it shows by how
    much the bottles miss: then they are asked for as much on the other side.
    """
    left_out = tuple(item for item in shelf.all if item not in shelf.here)
    about = {"wanted": wanted, "ground": ground, "coats": coats, "run_drops": run_drops}
    if own:
        return Bench(
            tuple(shelf.here), foretell(shelf, own, own=True, **about), (), wanted, left_out=left_out
        )
    if not wanted:
        return Bench(tuple(shelf.here), left_out=left_out)
    if not shelf.here:
        return Bench((), None, (), wanted, NO_BOTTLE, left_out)
    from bakery.craft.colour.calibration import nudged
    from bakery.craft.colour.matching import match

    was = _foretold(shelf, tried) if tried else None
    aim = nudged(wanted, tried.hex, was.hex) if was else wanted
    found = match(aim, shelf.bottles(shelf.here), ground=ground, coats=coats, count=LOOKED_AT)
    missed = (was.hex, tried.hex) if was else None
    mixes = [
        foretell(shelf, _ints(recipe.drops), in_reach=found.in_reach, missed=missed, **about)
        for recipe in _unlike([found.easy, *found.recipes])[:MOST_SHOWN]
    ]
    return Bench(tuple(shelf.here), mixes[0], tuple(mixes[1:]), wanted, left_out=left_out)


def _foretold(shelf: Shelf, row: Swatch) -> Mix | None:
    return foretell(shelf, counts_of(row), wanted="", ground=row.ground, coats=float(row.coats))


def counts_of(row: Swatch) -> dict[int, int]:
    return _ints(row.drops.items())


def _ints(pairs) -> dict[int, int]:
    return {int(pk): int(count) for pk, count in pairs}


def _unlike(recipes) -> list:
    """Ways that differ: the first recipe of each set of bottles."""
    found, seen = [], set()
    for recipe in recipes:
        key = frozenset(bottle for bottle, _ in recipe.drops)
        if key not in seen:
            seen.add(key)
            found.append(recipe)
    return found


def foretell(
    shelf: Shelf,
    drops: dict[int, int],
    *,
    wanted: str,
    ground: str,
    coats: float,
    run_drops: int = 0,
    in_reach: bool = True,
    own: bool = False,
    missed: tuple[str, str] | None = None,
) -> Mix | None:
    """What drops by item dry to, with its doubt; None where none of the bottles can be foretold. `missed` is
    (foretold, dried) of a swatch sprayed for the same colour: most of that miss is expected again.
    """
    from bakery.craft.colour.calibration import NUDGE, predict
    from bakery.craft.colour.spaces import ciede2000, lab_of_hex, srgb_of_xyz, to_hex, xyz_of_lab

    usable = {str(item.pk) for item in shelf.usable}
    known = {str(pk): int(n) for pk, n in drops.items() if str(pk) in usable and n > 0}
    if not known:
        return None
    seen = predict(shelf.known, known, ground=ground, coats=coats)
    lab = seen.lab if missed is None else seen.lab + NUDGE * (lab_of_hex(missed[1]) - lab_of_hex(missed[0]))
    times = ceil(run_drops / sum(known.values())) if run_drops else 1
    lines = tuple(
        Line(shelf.by_pk[pk], n, n * times) for pk, n in sorted(known.items(), key=lambda row: -row[1])
    )
    taught = sum(1 for row in shelf.rows if set(row.drops) & set(known))
    far = float(ciede2000(lab, lab_of_hex(wanted))) if wanted else None
    title, said = words.verdict(far, in_reach or far < 3) if far is not None else ("What it dries to", "")
    doubt = words.doubt(seen.usual, seen.slow, taught)
    return Mix(lines, to_hex(srgb_of_xyz(xyz_of_lab(lab))), far, title, said, doubt, own)


def grounds() -> list[tuple[str, str, str]]:
    """(key, words, shade) of the icing a colour may be sprayed on; one query."""
    rows = Colour.objects.filter(medium=Colour.Medium.ICING, put_away=False)
    return [("", "white icing", ICING), *((str(row.pk), row.name, row.hex.lower()) for row in rows)]


def first_swatches(shelf: Shelf) -> list[Mix]:
    """The swatches that would teach most, with what they should dry to."""
    from bakery.craft.colour.calibration import swatches_to_spray
    from bakery.stock.swatches import swatch_of

    plan = swatches_to_spray(shelf.bottles(shelf.here), [swatch_of(row) for row in shelf.rows], 3)
    return [foretell(shelf, _ints(drops.items()), wanted="", ground=ICING, coats=1) for drops in plan]


def apart(first: str, second: str) -> float:
    """How far two shades look."""
    from bakery.craft.colour.spaces import ciede2000, lab_of_hex

    return float(ciede2000(lab_of_hex(first), lab_of_hex(second)))

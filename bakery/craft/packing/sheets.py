"""How many sheets so many pieces take, and how much of them: one count for list, price and cut plan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from .strip import Cuts, Offcut, Sheet, pack_sheets

__all__ = [
    "A4_MM",
    "GAP_MM",
    "KEEP_MM",
    "MARGIN_MM",
    "SheetCount",
    "count_sheets",
    "cut_sheets",
    "each_sheet",
    "kept_of",
]

A4_MM = (210.0, 297.0)
"""The usual sheet of wafer paper, where the cupboard says no other."""
GAP_MM, MARGIN_MM = 2.0, 5.0
"""Between two pieces, for the scissors; around the sheet, where no printer reaches (common practice, no
source)."""
KEEP_MM = 60.0
"""An offcut with no side shorter than this is kept (common practice, no source)."""
MANY = 600
"""With more pieces than this, whole sheets of one size are cut first and only the rest is mixed."""

Kinds = tuple[tuple[float, float, int], ...]


@dataclass(frozen=True)
class SheetCount:
    """`sheets`: fresh ones to take out. `taken`: what of them is used up, in sheets; the rest is kept.

    `of_offcuts`: what is used of offcuts that lay there, in sheets. `pieces`: what becomes pieces, in sheets.
    A piece larger than a sheet counts as one sheet.
    """

    sheets: int
    taken: Fraction
    pieces: Fraction
    of_offcuts: Fraction = Fraction(0)

    @property
    def paper(self) -> Fraction:
        """All the paper that goes, in sheets."""
        return self.taken + self.of_offcuts


@lru_cache(maxsize=512)
def cut_sheets(
    kinds: Kinds, sheet: tuple[float, float] = A4_MM, gap: float = GAP_MM, margin: float = MARGIN_MM, parts=()
) -> Cuts:
    """The cut plan of (width, height, count) pieces, mm, from sheets and first from `parts`, kept offcuts.

    Pieces are numbered in the order of `kinds`. Raises ValueError as `pack_sheets` does.
    """
    sizes = [(width, height) for width, height, count in kinds for _ in range(count)]
    if len(sizes) <= MANY:
        return pack_sheets(sizes, *sheet, gap=gap, margin=margin, parts=parts)
    full, left, at = [], [], 0
    for width, height, count in kinds:
        mine = list(range(at, at + count))
        at += count
        per, pattern = _alike(width, height, sheet, gap, margin)
        whole = (count // per) * per if per else 0
        for first in range(0, whole, per or 1):
            full.append(_numbered(pattern, mine[first : first + per]))
        left += mine[whole:]
    rest = pack_sheets([sizes[i] for i in left], *sheet, gap=gap, margin=margin, parts=parts)
    sheets = tuple(_numbered(one, left) for one in rest.sheets)
    area = (sheet[0] - 2 * margin) * (sheet[1] - 2 * margin)
    big = tuple(left[i] for i in rest.too_big)
    fits = sum(w * h for i, (w, h) in enumerate(sizes) if i not in set(big))
    return Cuts((*full, *sheets), big, int(-(-fits // area)))


def _numbered(sheet: Sheet, names) -> Sheet:
    placed = tuple(replace(one, piece=names[one.piece]) for one in sheet.placed)
    return replace(sheet, placed=placed)


@lru_cache(maxsize=512)
def _alike(width, height, sheet, gap, margin) -> tuple[int, Sheet | None]:
    """(pieces of one size that a sheet gives, that sheet)."""
    room = int(sheet[0] * sheet[1] / (width * height)) + 1 if width > 0 and height > 0 else 1
    cuts = pack_sheets([(width, height)] * min(room, 5000), *sheet, gap=gap, margin=margin)
    first = cuts.sheets[0] if cuts.sheets else None
    return (len(first.placed), first) if first else (0, None)


def each_sheet(width: float, height: float, sheet: tuple[float, float] = A4_MM) -> int:
    """Pieces of that size on one sheet; at least 1, as a piece larger than the sheet takes a whole one.

    Raises ValueError for a piece of no size.
    """
    if not (width > 0 and height > 0):
        raise ValueError("A piece has a width and a height.")
    return max(1, _alike(width, height, tuple(sheet), GAP_MM, MARGIN_MM)[0])


@lru_cache(maxsize=512)
def count_sheets(kinds: Kinds, sheet: tuple[float, float] = A4_MM, parts=()) -> SheetCount:
    """Sheets for (width, height, count) pieces [mm]; `parts` (width, height) of kept offcuts go first."""
    cuts = cut_sheets(tuple(kinds), tuple(sheet), GAP_MM, MARGIN_MM, tuple(parts))
    area = _area(sheet)
    fresh = [one for one in cuts.sheets if one.part is None]
    kept = sum((_area((cut.width, cut.height)) for one in fresh for cut in kept_of(one)), Fraction(0))
    used = sum((_area(parts[one.part]) for one in cuts.sheets if one.part is not None), Fraction(0))
    big = len(cuts.too_big)
    owner = [kind[:2] for kind in kinds for _ in range(kind[2])]
    face = sum((_area(owner[p.piece]) for one in cuts.sheets for p in one.placed), Fraction(0))
    return SheetCount(len(fresh) + big, len(fresh) + big - kept / area, big + face / area, used / area)


def kept_of(sheet: Sheet) -> tuple[Offcut, ...]:
    """What is worth keeping of a cut sheet."""
    return tuple(cut for cut in sheet.offcuts if min(cut.width, cut.height) >= KEEP_MM)


def _area(size) -> Fraction:
    return Fraction(str(size[0])) * Fraction(str(size[1]))

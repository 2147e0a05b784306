"""The cut plan: fewest sheets found, each drawn to scale, with what stays whole."""

from __future__ import annotations

from dataclasses import dataclass

from bakery.craft.packing import cut_sheets, kept_of
from bakery.drawing.cutplan import cut_sheet
from bakery.orders.text import plural

MOST_PIECES = 3000
MARKS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class SheetView:
    number: int
    times: int
    code: str
    picture: str
    words: str
    offcuts: str

    @property
    def title(self) -> str:
        """`Sheet 3`, `Sheets 1 to 7, cut alike`, `Kept offcut T12`."""
        if self.code:
            return f"Kept offcut {self.code}"
        return (
            f"Sheet {self.number}" if self.times == 1 else f"Sheets {self.number} to {self.last}, cut alike"
        )

    @property
    def last(self) -> int:
        return self.number + self.times - 1


@dataclass(frozen=True)
class Row:
    """One size in the list beside the sheets."""

    mark: str
    title: str
    what_for: str
    count: int
    size: str
    slug: str


@dataclass(frozen=True)
class CutView:
    headline: str
    lead: str
    sheets: tuple[SheetView, ...]
    rows: tuple[Row, ...]
    open: tuple[Row, ...]
    too_big: tuple[str, ...]
    too_many: bool = False
    keep: tuple[tuple[float, float], ...] = ()
    cut_up: tuple[int, ...] = ()


def cut_view(wanted, sheet: tuple[float, float], gap: float, margin: float, kept=()) -> CutView:
    """Everything the page says about these pieces on sheets of that size, mm; `kept` offcuts go first."""
    sized = [one for one in wanted if one.width and one.height and one.count]
    unsized = [one for one in wanted if not (one.width and one.height) and one.count]
    rows = tuple(_row(one, MARKS[at % 26]) for at, one in enumerate(sized))
    still_open = tuple(_row(one, "") for one in unsized)
    total = sum(one.count for one in sized)
    if not total or total > MOST_PIECES:
        head = _nothing(total, still_open)
        return CutView(head, "", (), rows, still_open, (), total > MOST_PIECES)
    kinds = tuple((float(one.width), float(one.height), one.count) for one in sized)
    cuts = cut_sheets(kinds, sheet, gap, margin, tuple((one.width, one.height) for one in kept))
    whole = [one for one in cuts.sheets if one.part is None]
    owner = [at for at, one in enumerate(sized) for _ in range(one.count)]
    marks = {piece: rows[at].mark for piece, at in enumerate(owner)}
    sheets = _sheets(whole, owner, rows, marks)
    pieces_of_kept = tuple(
        _sheet(0, 1, one, owner, rows, marks, kept[one.part].code)
        for one in cuts.sheets
        if one.part is not None
    )
    big = dict.fromkeys(owner[piece] for piece in cuts.too_big)
    too_big = tuple(f"{rows[at].title}: {rows[at].size} is larger than the sheet." for at in big)
    return CutView(
        headline=f"{_sheets_words(whole, pieces_of_kept)} for {plural(total - len(cuts.too_big), 'piece')}.",
        lead=_lead(whole, cuts.least, bool(pieces_of_kept)),
        sheets=(*pieces_of_kept, *sheets),
        cut_up=tuple(kept[one.part].packet for one in cuts.sheets if one.part is not None),
        keep=tuple((cut.width, cut.height) for one in whole for cut in kept_of(one)),
        rows=rows,
        open=still_open,
        too_big=too_big,
    )


def _nothing(total: int, still_open) -> str:
    if total:
        return f"{total:,} pieces are more than one cut plan holds ({MOST_PIECES:,})."
    return "How large is a piece?" if still_open else "No wafer paper is wanted."


def _lead(whole, least: int, from_kept: bool) -> str:
    if not whole:
        return "No fresh sheet is needed." if from_kept else ""
    used = f"{sum(sheet.used for sheet in whole) / len(whole):.0%}".replace("%", " %")
    said = f"{used} of the paper becomes pieces."
    if from_kept:
        return said
    return f"{said} No fewer can do." if len(whole) <= least else f"{said} By area alone {least} would do."


def _sheets_words(whole, kept) -> str:
    said = [plural(len(kept), "kept offcut")] if kept else []
    return " and ".join([*said, plural(len(whole), "sheet")] if whole or not kept else said)


def _row(one, mark: str) -> Row:
    size = f"{one.width} x {one.height} mm" if one.width and one.height else ""
    return Row(mark, one.title, one.what_for, one.count, size, one.slug)


def _sheets(sheets, owner, rows, marks) -> tuple[SheetView, ...]:
    """Sheets that are cut alike are drawn once."""
    alike: dict[tuple, list] = {}
    for sheet in sheets:
        cut = sorted((p.x, p.y, p.width, p.height, owner[p.piece]) for p in sheet.placed)
        alike.setdefault(tuple(cut), []).append(sheet)
    found, number = [], 1
    for same in alike.values():
        found.append(_sheet(number, len(same), same[0], owner, rows, marks))
        number += len(same)
    return tuple(found)


def _sheet(number: int, times: int, sheet, owner, rows, marks, code: str = "") -> SheetView:
    counts: dict[int, int] = {}
    for placed in sheet.placed:
        counts[owner[placed.piece]] = counts.get(owner[placed.piece], 0) + 1
    words = ", ".join(f"{counts[at]} {rows[at].mark}" for at in sorted(counts))
    first = f"Sheet {number}" if times == 1 else f"{times} sheets like this, from sheet {number}"
    label = f"{first}: {len(sheet.placed)} pieces, {words}"
    offcuts = ", ".join(f"{cut.width:.0f} x {cut.height:.0f} mm" for cut in sheet.offcuts[:3])
    return SheetView(number, times, code, cut_sheet(sheet, marks, label=label), words, offcuts)

"""Text as a table: which sign parts the columns, which column is which, and on which line each row begins."""

import csv
from dataclasses import dataclass

MOST_ROWS = 500
"""More than a home's cupboard has; all of them are written in one go."""
LONGEST_RECORD = 20
DELIMITERS = (",", ";", "\t", "|")

NAMES = {
    "name": ("name", "what", "item", "product", "article", "description", "thing"),
    "packs": ("packs", "packets", "quantity", "qty", "number", "count", "pcs"),
    "amount": ("amount", "how much", "weight", "in all", "left"),
    "pack_size": ("pack size", "size", "packet size", "per pack", "contents"),
    "unit": ("unit", "measure", "units"),
    "cost": ("cost", "total", "price", "about", "line total", "sum", "cost in all"),
    "each": ("each", "price each", "unit price", "per packet"),
    "best_before": ("best before", "bbe", "expiry", "expires", "use by", "keeps until"),
    "lot": ("lot", "batch", "lot on it"),
    "supplier": ("supplier", "shop", "from", "bought from", "store"),
    "on": ("came on", "came", "date", "delivered", "delivery date"),
    "shelf": ("shelf", "group", "kind", "where"),
    "level": ("level", "now", "have low out", "state"),
    "pack_price": ("pack price", "price of a packet", "packet price"),
    "lead_days": ("days to get it", "lead days", "lead time", "days on the way"),
    "margin_days": ("days to spare", "margin", "margin days"),
    "allergens": ("allergens", "contains"),
    "edible": ("edible", "is edible", "marked edible"),
}  # fmt: skip
BY_NAME = {word: key for key, words in NAMES.items() for word in words}
FORMULA = ("=", "+", "-", "@", "\t")


class NoTable(ValueError):
    """Not a table that can be read; the message says why, in her words."""


@dataclass(frozen=True)
class Row:
    """Cells by column, and the line of the text it begins on."""

    line: int
    cells: dict[str, str]


@dataclass(frozen=True)
class Table:
    """`unread` are headings that nobody knows; `assumed` columns where there was no heading."""

    rows: tuple[Row, ...]
    columns: tuple[str, ...]
    unread: tuple[str, ...] = ()
    assumed: bool = False


def read_table(text: str, *, assumed: tuple[str, ...]) -> Table:
    """Rows of some text. Without headings its columns are taken as `assumed`. Raises NoTable."""
    if not text.strip():
        raise NoTable("Nothing is in it. A line for each thing, with its name and how much.")
    if text.count("\n") > MOST_ROWS * 3:
        raise NoTable(_too_long(len(text.splitlines())))
    records = _records(text, _delimiter(text))
    if not records:
        raise NoTable("Only empty lines are in it.")
    if len(records) - 1 > MOST_ROWS:
        raise NoTable(_too_long(len(records)))
    heads = [BY_NAME.get(_plain(cell), "") for cell in records[0][1]]
    if "name" not in heads:
        if sum(bool(head) for head in heads) > 1:
            raise NoTable("Which column says what it is? Call it “name”.")
        return Table(tuple(_row(line, cells, assumed) for line, cells in records), assumed, assumed=True)
    twice = sorted({head for head in heads if head and heads.count(head) > 1})
    if twice:
        raise NoTable(f"Two columns say the same: {NAMES[twice[0]][0]}. Leave one out.")
    unread = tuple(cell.strip()[:40] for cell, head in zip(records[0][1], heads, strict=True)
                   if not head and cell.strip())  # fmt: skip
    rows = tuple(_row(line, cells, heads) for line, cells in records[1:])
    if not rows:
        raise NoTable("There is a heading and nothing below it.")
    return Table(rows, tuple(head for head in heads if head), unread)


def _too_long(lines: int) -> str:
    return (
        f"That has {lines:,} lines; up to {MOST_ROWS:,} at once can be looked through. Bring it in in parts."
    )


def _row(line: int, cells, heads) -> Row:
    found = {head: cell.strip() for head, cell in zip(heads, cells, strict=False) if head}
    more = [cell for cell in cells[len(heads) :] if cell.strip()]
    if more:
        found["more"] = more[0].strip()
    return Row(line, found)


def _records(text: str, delimiter: str) -> list[tuple[int, list[str]]]:
    """Records with the line each begins on; empty ones are left out."""
    reader = csv.reader(text.splitlines(keepends=True), delimiter=delimiter)
    found, begins = [], 1
    try:
        for cells in reader:
            if reader.line_num - begins > LONGEST_RECORD:
                raise NoTable(f"On line {begins} a quotation mark opens and does not close. Take it out.")
            if any(cell.strip() for cell in cells):
                found.append((begins, cells))
            begins = reader.line_num + 1
    except csv.Error:
        raise NoTable(f"From line {begins} on it cannot be told apart into columns.") from None
    return found


def _delimiter(text: str) -> str:
    """The sign that makes the most known headings of the first line, else the most columns."""
    first = next((line for line in text.splitlines() if line.strip()), "")

    def score(delimiter: str):
        try:
            cells = next(csv.reader([first], delimiter=delimiter), [])
        except csv.Error:
            cells = []
        return sum(_plain(cell) in BY_NAME for cell in cells), len(cells)

    return max(DELIMITERS, key=score)


def _plain(cell: str) -> str:
    return " ".join(cell.replace("_", " ").strip("\ufeff \"'").lower().split())


def untouched(text: str) -> tuple[str, str]:
    """A cell of words, and a sentence where it begins like a formula. An apostrophe in front of it says that
    it is meant.
    """
    if text[:1] == "'" and text[1:].lstrip()[:1] in FORMULA:
        return text[1:], ""
    if text[:1] in FORMULA:
        short = text if len(text) <= 24 else text[:23] + "…"
        return (
            text,
            f"“{short}” begins like a formula. Take the {text[0]} away, or put an apostrophe before it.",
        )
    return text, ""

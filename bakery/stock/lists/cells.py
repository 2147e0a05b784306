"""One row being read: its cells one by one, and a sentence for each that cannot be."""

import re
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.core.exceptions import ValidationError

from ..ledger_forms import Price
from .csv_in import NAMES, Row, untouched

PRICE = Price(required=False)


@dataclass
class Reading:
    """What a row comes to. `errors` keep all from being booked, `doubts` only ask her to look."""

    line: int
    cells: dict[str, str]
    errors: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    value: object = None
    shows: tuple = ()

    def words(self, key: str, most: int) -> str:
        """A cell of words, of at most so many signs, that no spreadsheet would run."""
        text, wrong = untouched(" ".join(self.cells.get(key, "").split()))
        if wrong:
            self.errors.append(wrong)
        elif len(text) > most:
            self.errors.append(f"{_head(key)}: it has room for {most} signs, this has {len(text)}.")
        return text[:most]

    def price(self, key: str) -> Decimal | None:
        try:
            return PRICE.to_python(self.cells.get(key, "")[:40])
        except ValidationError as wrong:
            self.errors.append(f"{_head(key)}: {wrong.messages[0]}")
            return None

    def day(self, key: str) -> date | None:
        text = self.cells.get(key, "")
        if not text:
            return None
        try:
            found = day_of(text)
        except ValueError:
            self.errors.append(
                f"{_head(key)}: “{text[:20]}” is no day. Like 2026-11-24, or day first: 24/11/2026."
            )
            return None
        if not 2000 <= found.year <= 2100:
            self.errors.append(f"{_head(key)}: is the year right?")
            return None
        return found

    def whole(self, key: str, most: int) -> int | None:
        text = self.cells.get(key, "")
        if not text:
            return None
        if not re.fullmatch(r"[0-9]{1,9}", text) or int(text) > most:
            self.errors.append(f"{_head(key)}: a whole number from 0 to {most}, not “{text[:20]}”.")
            return None
        return int(text)


def reading(row: Row) -> Reading:
    found = Reading(row.line, row.cells)
    if "more" in row.cells:
        more = row.cells["more"][:24]
        found.errors.append(
            f"More columns than headings: “{more}”. Is there a comma inside a word? Put it in quotes."
        )
    return found


def day_of(text: str) -> date:
    """2026-11-24, 24/11/2026, 24.11.26: the day comes first unless the year does. ValueError for no day."""
    year_first = re.fullmatch(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})(?:[T ].*)?", text)
    if year_first:
        return date(*(int(part) for part in year_first.groups()))
    parts = re.fullmatch(r"([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{2}|[0-9]{4})", text)
    if not parts:
        raise ValueError(text)
    day, month, year = (int(part) for part in parts.groups())
    return date(year + 2000 if year < 100 else year, month, day)


def _head(key: str) -> str:
    return NAMES[key][0].capitalize()

"""Tables as CSV that no spreadsheet takes for a formula.

A cell that begins with = + - @, a tab or a line break is given an apostrophe in front, unless it is a plain
number; `csv_in` takes it off again.
"""

import csv
import re
from collections.abc import Iterable
from io import StringIO
from itertools import islice

from django.http import HttpResponse, StreamingHttpResponse

AT_ONCE = 500
RISKY = ("=", "+", "-", "@", "\t", "\r", "\n")
NUMBER = re.compile(r"-?\d{1,15}(\.\d{1,6})?\Z")
MARK = "\ufeff"
"""So that a spreadsheet knows the file for UTF-8."""


def safe(value) -> str:
    """A cell as text that stays text."""
    text = "" if value is None else str(value)
    if text.lstrip(" \u00a0").startswith(RISKY) and not NUMBER.match(text):
        return "'" + text
    return text


def rows_as_text(rows: Iterable[Iterable]) -> str:
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in rows:
        writer.writerow([safe(cell) for cell in row])
    return out.getvalue()


def csv_answer(name: str, rows: Iterable[Iterable]) -> HttpResponse:
    answer = HttpResponse(MARK + rows_as_text(rows), content_type="text/csv; charset=utf-8")
    return _named(answer, name)


def csv_stream(name: str, rows: Iterable[Iterable]) -> StreamingHttpResponse:
    """For tables of years: some rows at a time."""

    def parts():
        yield MARK
        left = iter(rows)
        while some := list(islice(left, AT_ONCE)):
            yield rows_as_text(some)

    return _named(StreamingHttpResponse(parts(), content_type="text/csv; charset=utf-8"), name)


def _named(answer, name):
    answer["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    answer["X-Content-Type-Options"] = "nosniff"
    return answer

"""Taking what would make it cheaper: on a line of an order, saved or still being typed."""

from __future__ import annotations

from dataclasses import replace

from bakery.craft.costing import simpler_titles

from .adapters import line_spec
from .data import LineData, OrderData
from .models import Order, OrderLine
from .queries import order_by_number
from .rows import data_of, line_data
from .services import change_order
from .ways import MOST_WAYS, is_way


def taken(line: LineData, code: str, *, named: bool) -> LineData:
    """The line with one more way taken; without a code as it was asked for.

    Where it says the same, the line itself changes: a design fewer, another kind. `named` says that names are
    lettered, which a plain kind would put elsewhere.
    """
    if not code:
        return replace(line, ways=())
    if not is_way(code) or len(line.ways) >= MOST_WAYS:
        return line
    if code == "design" and not line.ways:
        return replace(line, designs=max(1, line.designs - 1))
    if code == "plain" and not line.ways and not named and not line.design:
        return replace(line, kind="plain", colours=1)
    return replace(line, ways=(*line.ways, code))


def with_way(data: OrderData, code: str, places: set[int]) -> OrderData:
    """The order with that way taken on its lines, counted from 0, at these places."""
    lines = [
        taken(line, code, named=bool(data.names)) if at in places else line
        for at, line in enumerate(data.lines)
    ]
    return replace(data, lines=tuple(lines))


def make_simpler(*, order: Order, revision: int, use: str) -> Order:
    """Take `simpler:1.3=code` on the lines at places 1 and 3. Unknown lines or codes change nothing.

    Raises OrderChangedMeanwhile where the order is another by now.
    """
    order = order_by_number(order.number)
    code, numbers = read_use(use)
    rows = [row for row in order.lines.all() if row.position in numbers]
    takes = {row.pk for row in rows if not code or has_way(line_data(row), row.design, code)}
    places = {at for at, row in enumerate(order.lines.all()) if row.pk in takes}
    return change_order(order=order, revision=revision, data=with_way(data_of(order), code, places))


def read_use(use: str) -> tuple[str, set[int]]:
    """The code of a press and the numbers of the lines it is about."""
    what, _, code = use.partition("=")
    name, _, at = what.partition(":")
    numbers = [n for n in at.split(".")[:MOST_WAYS] if n.isascii() and n.isdigit() and len(n) < 6]
    return code[:40], {int(n) for n in numbers} if name == "simpler" else set()


def made_simpler_words(line: OrderLine) -> str:
    """`leave off the dots, one spray colour fewer`: how the line was made simpler; "" where it was not."""
    if not line.ways:
        return ""
    titles = titles_of(line_data(line), line.design)
    return ", ".join(title[0].lower() + title[1:] for title in titles)


def as_offered(titles) -> tuple[str, ...]:
    """The same for a customer to read: `Without the dots`."""
    gone = "Leave off "
    return tuple(f"Without {t.removeprefix(gone)}" if t.startswith(gone) else t for t in titles)


def has_way(data: LineData, design, code: str) -> bool:
    """Whether the line, as simple as it is already, can be made simpler in this way."""
    more = replace(data, ways=(*data.ways, code))
    return is_way(code) and len(titles_of(more, design)) > len(titles_of(data, design))


def titles_of(data: LineData, design) -> tuple[str, ...]:
    """What the ways of a line are called."""
    return simpler_titles(line_spec(data, "l1", design), data.ways)

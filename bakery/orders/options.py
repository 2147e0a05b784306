"""Writes about options: one beside the order, changed, taken away, chosen. Each is one transaction."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from .data import OrderData
from .errors import OrderError
from .models import MOST_COOKIES, Option, Order, State
from .queries import order_by_number
from .rows import data_of
from .services import change_order
from .simpler import as_offered, has_way, read_use, titles_of
from .text import one_line
from .versions import AS_ASKED, MOST_OPTIONS, changes_between, offered, with_changes

OPEN_TO_OPTIONS = (State.ENQUIRY, State.QUOTED, State.HELD, State.LAPSED)


class NoOption(OrderError):
    """A sentence about why there is none."""


def may_have_options(order: Order) -> bool:
    """Whether anything may still be chosen: until it is booked."""
    return order.state in OPEN_TO_OPTIONS


@transaction.atomic
def offer(
    *, order: Order, use: str = "", quantities: dict[int, int] | None = None, title: str = ""
) -> Option:
    """Another version beside the order: a way that makes it simpler, other quantities, or both.

    The same again is the same option. Raises NoOption where nothing differs, or two stand there already.
    """
    order = _locked(order)
    data = data_of(order)
    other = _made(order, data, use, quantities or {})
    changes = changes_between(order, data, other)
    if not changes:
        raise NoOption("That is what they asked for already. Change how many, or take a cheaper way.")
    there = offered(order)
    same = next((option for option in order.options.all() if option.changes == changes), None)
    if same is not None and same.offered:
        return same
    if len(there) >= MOST_OPTIONS:
        raise NoOption("Two stand beside it already. Take one away first; three can be told apart, not more.")
    option = same or Option(order=order)
    option.offered, option.changes = True, changes
    option.title = one_line(title)[:80] or option.title or title_of(order, data, other)
    option.full_clean()
    option.save()
    return option


@transaction.atomic
def change_option(
    *, option: Option, use: str = "", quantities: dict[int, int] | None = None, title: str = ""
) -> Option:
    """One more way taken on an option, other quantities, another name. NoOption where nothing is left."""
    order = _locked(option.order)
    option = Option.objects.get(pk=option.pk)
    data = data_of(order)
    was = with_changes(order, data, option.changes)
    other = _made(order, was, use, quantities or {})
    changes = changes_between(order, data, other)
    if not changes:
        raise NoOption("Then it would be just what they asked for. Take the option away instead.")
    if changes != option.changes and option.title == title_of(order, data, was):
        option.title = title_of(order, data, other)
    option.title = one_line(title)[:80] or option.title
    option.changes = changes
    option.full_clean()
    option.save()
    return option


def put_away(*, option: Option) -> None:
    """Off the page; it can be offered again."""
    Option.objects.filter(pk=option.pk).update(offered=False)


@transaction.atomic
def choose(*, order: Order, option: Option | None, revision: int, at: datetime | None = None) -> Order:
    """The customer chose this one: the order becomes it, the others are put away, and so is what was asked.

    None is the order as asked. A quote that still offers it is kept to: its version with just the chosen one
    follows. Raises OrderChangedMeanwhile where the order is another by now.
    """
    from .quotes import quote_chosen
    from .versions import versions_of

    at = at or timezone.now()
    order = _locked(order)
    first, *others = versions_of(order)
    picked = next((one for one in others if option is not None and one.option.pk == option.pk), first)
    if option is not None and picked is first:
        raise NoOption("That version is not offered any more. Here is what is.")
    key = picked.option.pk if picked.option else None
    if picked.option is not None:
        _keep_as_asked(order, first, picked)
        change_order(order=order, revision=revision, data=replace(picked.data, own_price=picked.own))
        Option.objects.filter(pk=key).update(chosen_at=at)
    Option.objects.filter(order=order, offered=True).update(offered=False)
    quote_chosen(order=_locked(order), option=key, now=at)
    return order_by_number(order.number)


def _keep_as_asked(order: Order, first, picked) -> None:
    """What was asked before, so that it can be taken again."""
    back = changes_between(order, picked.data, first.data)
    if back and not any(option.changes == back for option in order.options.all()):
        Option.objects.create(order=order, title=AS_ASKED, changes=back, offered=False)


def title_of(order: Order, data: OrderData, other: OrderData) -> str:
    """A name for a version when she gives none: `Leave off the dots`, `24 instead of 36`."""
    rows, found = {row.pk: row for row in order.lines.all()}, []
    for old, line in zip(data.lines, other.lines, strict=True):
        if line.ways != old.ways:
            titles = titles_of(line, rows[line.line].design)[len(old.ways) :]
            found += as_offered(titles) or ["Made in full"]
    if other.quantity != data.quantity:
        found.append(f"{other.quantity} instead of {data.quantity}")
    words = ", ".join(dict.fromkeys(found)) or "Another way"
    return (words[0].upper() + words[1:])[:80]


def _made(order: Order, data: OrderData, use: str, quantities: dict[int, int]) -> OrderData:
    """The data with one way more on the lines it names, and these quantities by place."""
    code, numbers = read_use(use)
    rows = {row.pk: row for row in order.lines.all()}
    lines = []
    for line in data.lines:
        row = rows[line.line]
        count = quantities.get(row.position, line.quantity)
        count = count if 1 <= count <= MOST_COOKIES else line.quantity
        simpler = code and row.position in numbers and has_way(line, row.design, code)
        ways = (*line.ways, code) if simpler else line.ways
        lines.append(replace(line, quantity=count, ways=ways))
    return replace(data, lines=tuple(lines))


def _locked(order: Order) -> Order:
    """The order as it is now, read whole, its row locked."""
    Order.objects.select_for_update().get(pk=order.pk)
    return order_by_number(order.number)

"""Money as tables for a spreadsheet. Amounts with a point and two places."""

from __future__ import annotations

from collections.abc import Iterator

from bakery.craft.earning import Pay, money

from . import queries, words
from .page import name_of
from .queries import Span

PAY = (
    "orders",
    "cookies",
    "came in",
    "went out",
    "left for you",
    "minutes thought",
    "minutes taken",
    "an hour",
)
ORDERS = (
    "order", "title", "for", "hand-over", "cookies", "asked", "paid", "given back", "brought", "went out",
    "material thought", "material used", "minutes thought", "minutes taken", "minutes timed", "an hour",
    "still owed",
)  # fmt: skip
PAYMENTS = ("day", "order", "title", "for", "what", "amount", "note")


def table(name: str, span: Span) -> Iterator[tuple]:
    """The rows of one table, its heading first. KeyError for a name there is none of."""
    return TABLES[name](span)


def _pay(pay: Pay) -> tuple:
    return (
        pay.orders, pay.cookies, money(pay.brought), money(pay.cost), money(pay.left), minutes(pay.thought),
        minutes(pay.took), pay.hour,
    )  # fmt: skip


def minutes(seconds: int) -> str:
    return f"{seconds / 60:.1f}"


def _by(what: str, span: Span) -> Iterator[tuple]:
    pays = queries.pay_by(what, span, queries.stall_lines(span))
    names = queries.names_of(what, pays)
    yield (what, *PAY)
    rows = [(pk not in names, name_of(names.get(pk), pay), pay) for pk, pay in pays.items()]
    for _, name, pay in sorted(rows, key=lambda row: row[:2]):
        yield (name, *_pay(pay))


def _months(span: Span) -> Iterator[tuple]:
    yield ("month", *PAY)
    for first, pay in queries.pay_by_month(span, queries.stall_lines(span)).items():
        yield (f"{first:%Y-%m}", *_pay(pay))


def _orders(span: Span) -> Iterator[tuple]:
    yield ORDERS
    for row in queries.order_rows(span):
        order, known = row.order, row.brought is not None
        pay = Pay("", 1, row.cookies, row.brought or 0, row.cost, row.thought, row.took)
        yield (
            order.number, order.title, order.customer.name if order.customer else "", row.on, row.cookies,
            None if row.asked is None else money(row.asked), money(row.came_in), money(row.given_back),
            money(row.brought) if known else None, money(row.cost), money(row.material_thought),
            money(row.material), minutes(row.thought), minutes(row.took), minutes(row.timed),
            pay.hour if known else None, money(row.owed),
        )  # fmt: skip


def _payments(span: Span) -> Iterator[tuple]:
    yield PAYMENTS
    for one in queries.payments_between(span):
        order = one.order
        amount = -one.amount if one.what == one.What.REFUND else one.amount
        who = order.customer.name if order.customer else ""
        yield (one.on, order.number, order.title, who, one.get_what_display(), amount, one.note)


def _pace(span: Span) -> Iterator[tuple]:
    yield ("work", "orders", "minutes thought", "minutes taken", "times")
    for one in queries.paces(span.last):
        yield (
            words.WORKS[one.work],
            one.orders,
            minutes(one.thought),
            minutes(one.took),
            f"{float(one.factor):.3f}",
        )


TABLES = {
    "orders": _orders,
    "designs": lambda span: _by("design", span),
    "kinds": lambda span: _by("kind", span),
    "months": _months,
    "payments": _payments,
    "pace": _pace,
}

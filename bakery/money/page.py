"""All that the Money page shows, put together."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from django.utils import timezone

from bakery.craft.earning import LEAST_ORDERS, OFF, Pay, least_paid, money
from bakery.designs.adapters import drawing_of, drawing_of_kind
from bakery.drawing.earnings import Column
from bakery.orders.models import Payment
from bakery.orders.pricing import money as said
from bakery.orders.text import plural
from bakery.studio.queries import the_studio

from . import queries, words
from .queries import Span

SHOWN = 5
TABLES = (
    ("orders", "Orders, thought and real"),
    ("designs", "Designs"),
    ("kinds", "Kinds of cookie"),
    ("months", "Months"),
    ("payments", "Payments"),
    ("pace", "Your minutes, and the clock"),
)


def span_of(key: str, today: date) -> Span:
    """The days that an address asks for: `2025`, `all`, else the last twelve months, whole ones."""
    if key == "all":
        return Span("all", date(2000, 1, 1), today, "over all the years")
    if len(key) == 4 and key.isascii() and key.isdigit() and 2000 <= int(key) <= today.year:
        return Span(key, date(int(key), 1, 1), min(today, date(int(key), 12, 31)), f"in {key}")
    first = date(today.year - 1, today.month, 1)
    first = date(today.year, 1, 1) if today.month == 12 else first.replace(month=today.month + 1)
    return Span("", first, today, f"since {words.MONTHS[first.month - 1]}")


@dataclass(frozen=True)
class Row:
    """A design or kind in the list: its pay, its cookie, its facts, its bar."""

    pay: Pay
    drawing: dict | None
    facts: str
    hour: str
    few: bool
    dark: bool
    title: str

    @property
    def value(self) -> float:
        return float(self.pay.hour or 0)


def money_page(span_: Span, *, now, waiting: int = 0) -> dict:
    """The whole page; a bounded number of queries, whatever the years hold."""
    studio, today = the_studio(), timezone.localdate(now)
    sign, wage = studio.currency_sign, studio.hourly_wage
    stall = queries.stall_lines(span_)
    months = queries.pay_by_month(span_, stall)
    every = queries.pay_of_all(months)
    designs, kinds = rows_by("design", span_, stall, sign), rows_by("kind", span_, stall, sign)
    named = [row.pay for row in designs if row.drawing]
    least = least_paid(named)
    scale = [row.value for row in (*designs, *kinds) if row.pay.hour is not None]
    sums = queries.totals(span_)
    return {
        "sign": sign,
        "wage": float(wage),
        "wage_words": f"{said(wage, sign)}",
        "headline": words.headline(named, every, wage, sign),
        "lead": words.lead(named, every, wage, sign, span_.words),
        "drawing": next((row.drawing for row in designs if row.pay is least), None),
        "designs": designs[:SHOWN],
        "more_designs": designs[SHOWN:],
        "kinds": kinds,
        "most": max([*scale, float(wage)]),
        "low": min([*scale, 0.0]),
        "least_orders": LEAST_ORDERS,
        "stall": said(money(sum(one.money for one in stall)), sign) if stall else "",
        "sums": sums,
        "of_time": words.of_time(sums),
        "of_material": words.of_material(sums, sign),
        "of_price": words.of_price(sums, sign),
        "off": [_off(row) for row in queries.furthest_off(span_)],
        "waiting": waiting,
        "span": span_,
        "years": queries.years_of(today),
        "earlier": span_.key.isdigit() and today.year - int(span_.key) > 2,
        "tables": TABLES,
        **_months(span_, months, every, sign),
        **_owed(today, sign),
        **_paces(today),
        **_came_in(span_, sign),
    }


NO_DESIGN, AT_THE_STALL = "No design yet", "Sold at the stall, of no order"


def name_of(one, pay: Pay) -> str:
    """A design's or kind's name; what has neither was made before any design, or stood ready by itself."""
    return one.name if one else NO_DESIGN if pay.orders else AT_THE_STALL


def rows_by(what: str, span_: Span, stall, sign: str) -> list[Row]:
    """Designs or kinds by what an hour paid, the least first; those that rest on too little come last."""
    pays = queries.pay_by(what, span_, stall)
    names = queries.names_of(what, pays)
    named = [(names.get(pk), replace(pay, name=name_of(names.get(pk), pay)))
             for pk, pay in pays.items()]  # fmt: skip
    least = least_paid(pay for one, pay in named if one)

    def order(pair):
        pay = pair[1]
        return (pay.orders < LEAST_ORDERS or pay.hour is None, pay.hour or Decimal(0), pay.name)

    return [_row(what, one, pay, pay is least, sign) for one, pay in sorted(named, key=order)]


def _row(what, one, pay: Pay, dark: bool, sign: str) -> Row:
    if one is None:
        drawing = None
    else:
        drawing = drawing_of(one, next(iter(one.variations.all()), None)) if what == "design" else (
            drawing_of_kind(one.key))  # fmt: skip
    return Row(
        pay=pay, drawing=drawing, facts=words.facts(pay, sign), hour=words.hour_words(pay, sign),
        few=pay.orders < LEAST_ORDERS, dark=dark and what == "design",
        title=f"{pay.name}: {words.hour_words(pay, sign)}",
    )  # fmt: skip


def _months(span_: Span, months: dict, every: Pay, sign: str) -> dict:
    years = span_.key == "all"
    rows = queries.by_year(months) if years else _every_month(span_, months)
    cols = tuple(
        Column(words.short_month(first, years=years), pay.brought / 100, pay.cost / 100,
               f"{words.month(first, years=years)}: {said(money(pay.brought), sign)} came in, "
               f"{said(money(pay.cost), sign)} went out")
        for first, pay in rows.items()
    )  # fmt: skip
    made = [(first, pay) for first, pay in reversed(rows.items()) if pay != Pay()]
    table = [_month_row(words.month(first, years=years), pay, sign) for first, pay in made]
    total = _month_row("All", every, sign)
    say = words.of_months(made, sign, years=years)
    return {"columns": cols, "month_rows": table, "month_total": total, "by_year": years, "months_say": say}


def _month_row(title: str, pay: Pay, sign: str) -> tuple:
    hour = words.hour_words(pay, sign).removesuffix(" an hour")
    came, went = said(money(pay.brought), sign), said(money(pay.cost), sign)
    return title, pay.orders, came, went, words.time(pay.took), hour


def _every_month(span_: Span, months) -> dict[date, Pay]:
    """Each month of the days, empty ones too."""
    found, first = {}, span_.first.replace(day=1)
    while first <= span_.last:
        found[first] = months.get(first, Pay())
        first = first.replace(year=first.year + first.month // 12, month=first.month % 12 + 1)
    return found


def _owed(today: date, sign: str) -> dict:
    rows, n, pennies = queries.what_is_owed()
    return {
        "owed_words": words.owed_words(n, pennies, sign),
        "owed_more": n - len(rows),
        "owed": [
            {"order": row.order, "money": said(money(row.owed), sign), "amount": f"{money(row.owed):.2f}",
             "due": words.due(row.due_on, today), "late": bool(row.due_on and row.due_on < today)}
            for row in rows
        ],
    }  # fmt: skip


def _came_in(span_: Span, sign: str) -> dict:
    sums = queries.money_in(span_)
    back = sums.get(Payment.What.REFUND, 0)
    came = sum(sums.values()) - back
    back_words = f", {said(money(back), sign)} given back" if back else ""
    return {
        "came_in": f"{said(money(came), sign)} came in {span_.words}{back_words}." if sums else "",
        "payments": [
            {"row": one, "money": said(one.amount, sign)} for one in queries.last_payments()
        ],
    }  # fmt: skip


def _paces(today: date) -> dict:
    used = {pace.work: pace for pace in queries.taken_over()}
    rows = [_pace_row(one, used.get(one.work)) for one in queries.paces(today)]
    return {
        "paces": [row for row in rows if row["use"]],
        "right": [row for row in rows if not row["use"]],
        "pace_most": max([1.6, *(row["factor"] for row in rows)]),
        "used": [{"pace": pace, "words": words.of_taken_over(pace)} for pace in used.values()],
    }


def _pace_row(one: queries.WorkPace, used) -> dict:
    return {
        "work": one.work,
        "factor": float(one.factor),
        "words": words.of_pace(one.work, one.factor),
        "rests": plural(one.orders, "order"),
        "thought": words.time(one.thought),
        "took": words.time(one.took),
        "use": one.orders >= LEAST_ORDERS and abs(one.factor - 1) >= OFF,
        "seen": used.pk if used else 0,
    }


def orders_view(span_: Span, *, least_first: bool, page) -> dict:
    """Every order with what it paid, forty at a time."""
    studio = the_studio()
    found = queries.orders_page(span_, least_first=least_first, page=page)
    return {
        "span": span_,
        "page": found,
        "count": f"{found.paginator.count:,}",
        "least_first": least_first,
        "rows": [_order_row(row, studio.currency_sign) for row in found],
        "years": queries.years_of(timezone.localdate()),
    }


def _order_row(row, sign: str) -> dict:
    pay = Pay("", 1, row.cookies, row.brought or 0, row.cost, row.thought, row.took)
    thought = f", thought {words.time(row.thought)}" if row.timed else ", as you thought"
    known = row.brought is not None
    brought = f"{said(money(pay.brought), sign)} in" if known else "paid at the stall"
    if not known and not row.for_stock:
        brought = "no price known"
    return {
        "order": row.order,
        "on": row.on,
        "facts": f"{brought}, {said(money(pay.cost), sign)} out; {words.time(row.took)}{thought}",
        "hour": words.hour_words(pay, sign) if known else "",
    }


def _off(row) -> dict:
    more = words.time(row.took - row.thought)
    return {
        "order": row.order,
        "words": f"{words.time(row.took)} where you thought {words.time(row.thought)}, {more} more",
    }

"""The sentences of Money."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils import timezone

from bakery.craft.earning import LEAST_ORDERS, Pay, least_paid, money
from bakery.orders.pricing import money as said
from bakery.orders.text import plural

WORKS = {
    "dough": "Dough", "bake": "Rolling and baking", "mix": "Mixing icing", "flood": "Flooding",
    "spray": "Spraying", "icing_pass": "Icing through stencils", "pipe": "Piping", "letter": "Lettering",
    "transfer": "Transfers", "wafer": "Wafer paper", "brush": "Brushing", "pack": "Bagging and boxing",
}  # fmt: skip
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip


def headline(rows: list[Pay], every: Pay, wage: Decimal, sign: str) -> str:
    """The one honest sentence: which design pays least, where enough orders say so."""
    least = least_paid(rows)
    if least is not None:
        if least.hour < 0:
            return f"{least.name} costs you {said(-least.hour, sign)} an hour."
        return f"{least.name} pays you {said(least.hour, sign)} an hour."
    if every.hour is None:
        return "Nothing has been handed over yet."
    if every.hour < 0:
        return f"An hour costs you {said(-every.hour, sign)}."
    return f"An hour pays you {said(every.hour, sign)}."


def lead(rows: list[Pay], every: Pay, wage: Decimal, sign: str, when: str) -> str:
    """What it rests on, and what it is held against."""
    least = least_paid(rows)
    if least is None:
        if every.hour is None:
            return "Once an order is handed over, you see here what its hours paid."
        few = "" if not rows else f" No design has {LEAST_ORDERS} orders yet, so none is named."
        return f"That rests on {plural(every.orders, 'order')} {when}; your wage is {said(wage, sign)}.{few}"
    known = [row for row in rows if row.orders >= LEAST_ORDERS and row.hour is not None]
    best = max(known, key=lambda row: (row.hour, row.name))
    rests = f"It rests on {plural(least.orders, 'order')} {when}."
    if best is least:
        return f"{rests} Your wage is {said(wage, sign)}."
    against = "more than" if least.hour > wage else "just" if least.hour == wage else "less than"
    return (
        f"{rests} That is {against} your wage of {said(wage, sign)}; {best.name} pays "
        f"{said(best.hour, sign)}, all together {said(every.hour, sign)}."
    )


def facts(row: Pay, sign: str) -> str:
    """`6 orders, 96 cookies, 13 h 40: £418 in, £121 out`."""
    if not row.orders:
        return f"{said(money(row.brought), sign)} in"
    return (
        f"{plural(row.orders, 'order')}, {plural(row.cookies, 'cookie')}, {time(row.took)}: "
        f"{said(money(row.brought), sign)} in, {said(money(row.cost), sign)} out"
    )


def time(seconds: float) -> str:
    """`40 min`, `13 h 40`, `213 h`: work is said in hours, however many."""
    minutes = max(0, round(seconds / 60))
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours:,} h" if hours >= 100 or not rest else f"{hours} h {rest:02d}"


def hour_words(row: Pay, sign: str) -> str:
    return "no time known" if row.hour is None else f"{said(row.hour, sign)} an hour"


def month(first: date, *, years: bool = False) -> str:
    return str(first.year) if years else f"{MONTHS[first.month - 1]} {first.year}"


def short_month(first: date, *, years: bool = False) -> str:
    return f"’{first.year % 100:02d}" if years else MONTHS[first.month - 1][:3]


def of_months(made: list[tuple[date, Pay]], sign: str, *, years: bool = False) -> str:
    """The best month for her purse and the best for her hours, in words beside the picture."""
    if not made:
        return ""
    first, most = max(made, key=lambda pair: pair[1].brought)
    words = f"Most came in in {month(first, years=years)}: {said(money(most.brought), sign)}"
    paid = [pair for pair in made if pair[1].hour is not None]
    if not paid:
        return f"{words}."
    first, best = max(paid, key=lambda pair: pair[1].hour)
    last, least = min(paid, key=lambda pair: pair[1].hour)
    return (
        f"{words}. An hour paid most in {month(first, years=years)}, {said(best.hour, sign)}, and least in "
        f"{month(last, years=years)}, {said(least.hour, sign)}."
    )


def of_time(sums: dict) -> str:
    """How long it took against what was thought, and how much of that was timed at all."""
    thought, took, timed = sums["thought"], sums["took"], sums["timed"]
    if not thought:
        return "No work is done yet."
    share = round(100 * timed / thought)
    if not timed:
        return (
            f"You thought {time(thought)}. Nothing was timed, so that stands for what it took: one answer in "
            "the morning, “We finished at”, is enough to know better."
        )
    than = _against(took, thought)
    rest = "" if share >= 99 else f" Timed is {share} % of it; the rest counts as you thought."
    return f"It took {time(took)} where you thought {time(thought)}: {than}.{rest}"


def of_material(sums: dict, sign: str) -> str:
    thought, used = sums["material_thought"], sums["material"]
    if not thought and not used:
        return ""
    return (
        f"Material came to {said(money(used), sign)} where you thought {said(money(thought), sign)}: "
        f"{_against(used, thought)}."
    )


def of_price(sums: dict, sign: str) -> str:
    asked, brought = sums["asked"], sums["brought"]
    if not asked:
        return ""
    return (
        f"You asked {said(money(asked), sign)}; {said(money(brought), sign)} counts as brought, refunds off."
    )


def _against(was: int, thought: int) -> str:
    if not thought:
        return "more than you thought"
    off = round(100 * (was - thought) / thought)
    return "as you thought" if not off else f"{abs(off)} % {'more' if off > 0 else 'less'}"


def times(factor) -> str:
    """`1.4`, `0.85`: as few figures as say it."""
    return f"{float(factor):.2f}".rstrip("0").rstrip(".")


def of_pace(work: str, factor) -> str:
    """`Lettering takes you 1.4 times what you say`."""
    said_times = times(factor)
    if said_times == "1":
        return f"{WORKS[work]} takes you what you say"
    return f"{WORKS[work]} takes you {said_times} times what you say"


def of_taken_over(pace) -> str:
    at = timezone.localtime(pace.at)
    return f"{WORKS[pace.work]}: {times(pace.factor)} times, from {at.day} {MONTHS[at.month - 1]} on"


def owed_words(n: int, pennies: int, sign: str) -> str:
    if not n:
        return "Nobody owes you anything."
    return f"{said(money(pennies), sign)} is still to come, from {plural(n, 'order')}."


def due(day: date | None, today: date) -> str:
    if day is None:
        return ""
    late = (today - day).days
    if late > 0:
        return (
            f"due {plural(late, 'day')} ago"
            if late < 60
            else f"due since {day.day} {MONTHS[day.month - 1]} {day.year}"
        )
    if late == 0:
        return "due today"
    return f"due {day.day} {MONTHS[day.month - 1]}" + ("" if day.year == today.year else f" {day.year}")

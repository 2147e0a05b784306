"""The answer to what went wrong: what still holds, whom to ring first, what moves."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.orders.adapters import order_drawing
from bakery.orders.models import Order
from bakery.orders.queries import with_lines
from bakery.studio import adapters as studio
from bakery.studio.queries import the_studio

from .. import callings, words
from ..levers import levers
from ..models import Plan, Setback
from ..old_work import old_words
from ..setbacks import shortfall
from . import freshness
from .proposal import moves_of

Kind = Setback.Kind
STILL = timedelta(hours=18)
"""So long an answer is looked up by what was said."""
SOON, NOTHING_LEFT = 4 * 24 * 60, 20
"""Minutes: how far ahead a full session is spoken of, and what counts as nothing left of it."""


@dataclass(frozen=True)
class Call:
    """One customer to ring."""

    order: Order
    picture: dict | None
    what: str
    says: str
    text: str
    phone: str


@dataclass(frozen=True)
class Holding:
    title: str
    when: str
    picture: dict | None


@dataclass(frozen=True)
class AnswerView:
    setback: Setback
    headline: str
    lead: str
    plan: Plan | None
    calls: tuple[Call, ...]
    moves: tuple
    soft: tuple[Holding, ...]
    holds: tuple[Holding, ...]
    levers: tuple[str, ...]
    days: tuple
    undone: bool
    working: bool
    if_left: str = ""
    old: tuple[str, ...] = ()

    @property
    def is_off(self) -> bool:
        return self.setback.kind == Kind.OFF

    @property
    def may_change_time(self) -> bool:
        return self.setback.kind in (Kind.WET, Kind.RAN_OUT, Kind.TOOL) and not self.undone


def setback_of(plan: Plan | None, now: datetime) -> Setback | None:
    """What a proposal answers, when it is something that went wrong and was not taken back."""
    if plan is None or not plan.reason:
        return None
    recent = Setback.objects.filter(undone_at=None, at__gt=now - STILL)
    return next((one for one in recent[:20] if plan.reason.startswith(one.words)), None)


def answer_view(setback: Setback, now: datetime) -> AnswerView:
    """What the page says about one thing that went wrong."""
    plan = freshness.proposal()
    if plan is not None and not plan.reason.startswith(setback.words):
        plan = None
    shown = plan or freshness.wall()
    if shown is None:
        return _bare(setback, now)
    keys = [order["id"] for order in shown.problem["orders"]]
    rows = with_lines(Order.objects.filter(number__in=[int(key[1:]) for key in keys if key[1:].isdigit()]))
    orders = {order.key: order for order in rows}
    late = [one for one in callings.late_orders(shown.problem, shown.plan) if one.key in orders]
    soft = [order for order in shown.problem["orders"] if order["soft"] and order["id"] in shown.plan["late"]]
    gone = {one.key for one in late} | {order["id"] for order in soft}
    open_orders = [orders[key] for key in keys if key in orders and orders[key].hand_over_at > now]
    holds = [order for order in open_orders if order.key not in gone]
    undone = setback.undone_at is not None
    titles = {key: order.title for key, order in orders.items()}
    return AnswerView(
        setback=setback,
        headline=_headline(setback, len(holds), len(open_orders), now, undone),
        lead=_lead(setback, plan, late, soft, now, undone),
        plan=plan,
        calls=tuple(_call(one, orders[one.key], setback, now) for one in late),
        moves=_moves(plan, setback),
        soft=tuple(_holding(orders[order["id"]], now) for order in soft if order["id"] in orders),
        holds=tuple(_holding(order, now) for order in holds),
        levers=() if undone else levers(setback.kind, now),
        days=_days_after(setback, now),
        undone=undone,
        working=freshness.being_worked_out(),
        if_left=_if_left(plan, orders, now),
        old=() if undone else old_words((shown.tonight or {}).get("old"), titles, now),
    )


def _moves(plan, setback):
    """The moves; a reason that only says again what she said herself is left out."""
    said = "There are no baking hours" if setback.kind in (Kind.OFF, Kind.HALF) else "\0"
    if setback.kind in (Kind.TOOL, Kind.RAN_OUT):
        said = setback.words.removeprefix("You said: ").lower()
    moves = moves_of(plan) if plan else ()
    return tuple(
        replace(move, why="") if move.why.startswith(said) or move.why.lower() == said else move
        for move in moves
    )


def _if_left(plan, orders, now) -> str:
    """What it costs to leave the plan: the first hand-over whose work would keep a place it cannot have."""
    keys = {key for move in (plan.moves if plan else ()) for key in move.get("keys", ())}
    broken = {key for key in keys if key in plan.problem["wall"]} if plan else set()
    touched = [orders[name] for name in {key.split(".")[0] for key in broken} if name in orders]
    if not touched:
        return ""
    first = min(touched, key=lambda order: order.hand_over_at)
    due = words.day_and_time(first.hand_over_at, now)
    return (
        f"If you leave it, the wall keeps work that cannot be done there; the first hand-over this touches "
        f"is {first.title}, {due}."
    )


def _full(plan, now) -> str:
    """ "Wednesday and Thursday are then full.": the next sessions of which nothing is left."""
    problem, starts = plan.problem, plan.plan["starts"]
    origin, tasks = datetime.fromisoformat(problem["origin"]), problem["tasks"]
    minute = (now - origin).total_seconds() / 60
    found = []
    for window in problem["windows"]:
        if window["longest"] is not None or not minute < window["end"] < minute + SOON:
            continue
        a, b = window["start"], window["end"]
        work = sum(task["attended"] * task["hands"] for task in tasks if a <= starts.get(task["id"], -1) < b)
        gone = sum(
            (min(b, out["end"]) - max(a, out["start"])) * out["amount"]
            for out in problem["blocked"]
            if out["resource"] == "hands" and out["start"] < b and out["end"] > a
        )
        if work and (b - a) * window["hands"] - gone - work < NOTHING_LEFT:
            found.append(words.near_day(origin + timedelta(minutes=a), now))
    days = list(dict.fromkeys(found))
    return (
        f"{words.capital(words.listed(days))} {'is' if len(days) == 1 else 'are'} then full." if days else ""
    )


def _bare(setback, now) -> AnswerView:
    head = _first(setback, now)
    return AnswerView(setback, head, "There is no plan yet.", None, (), (), (), (), (), (), False, True)


def _headline(setback, hold, total, now, undone) -> str:
    if undone:
        return "Taken back."
    first = _first(setback, now)
    if not total:
        return first
    if hold == total:
        return f"{first} Everything still holds."
    if total == 1:
        return f"{first} The one open order does not hold."
    count = words.capital(words.number_word(hold)) if hold else "None"
    return f"{first} {count} of {words.number_word(total)} still {'holds' if hold < 2 else 'hold'}."


def _first(setback, now) -> str:
    data, kind = setback.data, setback.kind
    today = timezone.localdate(now).isoformat()
    if kind in (Kind.OFF, Kind.HALF):
        said = setback.words.removeprefix("You said: ")
        if kind == Kind.OFF and data["days"] == [today]:
            return "Tonight is off."
        return words.capital(said)
    return words.capital(setback.words.removeprefix("You said: "))


def _lead(setback, plan, late, soft, now, undone) -> str:
    if undone:
        return "It is as if you had never said it."
    parts = []
    if setback.kind == Kind.BROKE:
        parts.append(_spares(setback))
    if late:
        calls = words.capital(words.number_word(len(late)))
        parts.append(f"{calls} {'needs' if len(late) == 1 else 'need'} a call.")
    if soft:
        parts.append("What is made for stock goes short.")
    if plan is None:
        parts.append("Nothing has to move.")
    elif not late:
        parts.append("Nobody needs a call.")
    if plan is not None:
        parts.append(_full(plan, now))
    return " ".join(part for part in parts if part)


def _spares(setback) -> str:
    """Whether the spares cover what broke, or how many are made anew."""
    from bakery.orders.adapters import spec_to_plan

    from ..setbacks import open_setbacks

    number = int(setback.data["order"][1:])
    order = with_lines(Order.objects.filter(number=number)).first()
    if order is None:
        return ""
    line = next((one for one in spec_to_plan(order).lines if one.id == setback.data["line"]), None)
    lost = open_setbacks(setback.at).broken.get((order.key, setback.data["line"]), 0)
    if line is None:
        return ""
    short = shortfall(line, lost, studio.shop())
    if not short:
        return f"The spares cover it: {line.quantity} good ones are still there."
    return f"The spares do not cover it: {short} of {line.quantity} are made anew."


def _call(late, order, setback, now) -> Call:
    quantity = sum(line.quantity for line in order.lines.all())
    who = order.customer.name if order.customer else ""
    due = words.day_and_time(order.hand_over_at, now)
    event = f" Their event is {words.day_and_time(order.event_at, now)}." if order.event_at else ""
    title = order.title if not who or who in order.title else f"{who}, {order.title}"
    return Call(
        order=order,
        picture=order_drawing(order),
        what=f"{title}: {words.counted(quantity, 'cookie')}, {due}.{event}",
        says=callings.says(late, order, now),
        text=callings.text(late, order, kind=setback.kind, studio=the_studio().name, now=now),
        phone=order.customer.phone if order.customer else "",
    )


def _holding(order, now) -> Holding:
    return Holding(order.title, words.day_and_time(order.hand_over_at, now), order_drawing(order))


def _days_after(setback, now) -> tuple:
    """The baking days of the next two days, for "those evenings off too"."""
    if setback.kind != Kind.OFF or setback.undone_at is not None:
        return ()
    last = max(datetime.fromisoformat(day).date() for day in setback.data["days"])
    if len(setback.data["days"]) > 1:
        return ()
    sessions = studio.sessions_between(last + timedelta(days=1), last + timedelta(days=2))
    return tuple(dict.fromkeys(timezone.localdate(session.start) for session in sessions))

"""Every write to an order: one function, one transaction, safe to repeat."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from django.db import IntegrityError, transaction
from django.db.models import F, Max
from django.utils import timezone

from bakery.customers.models import Customer
from bakery.studio.models import Counter

from .data import LineData, OrderData
from .errors import AllergyNotAsked, OrderChangedMeanwhile
from .kinds import kind_rows
from .models import Name, Order, OrderLine, Payment, State, StateChange
from .rows import data_of, highest_place
from .signals import orders_changed
from .states import check_step

FIRST_NUMBER = 101
# Notes of steps that a later press looks up.
WITH_DEPOSIT, AS_QUOTED, UNDONE = "with the deposit", "as quoted", "undone"
PLAIN_FIELDS = ("event_at", "hand_over_at", "way", "place", "travel_minutes", "distance_km", "transit_days",
                "for_stock", "bake_ahead", "platter_holds",
                "allergy_state", "allergies", "deposit_paid", "budget", "own_price", "their_words",
                "note")  # fmt: skip
LINE_FIELDS = ("quantity", "designs", "colours", "spares", "packaging", "stage", "stage_at")
# A change of any of these changes what must be made, or when.
WORK_FIELDS = {
    "hand_over_at",
    "event_at",
    "lines",
    "way",
    "travel_minutes",
    "transit_days",
    "for_stock",
    "bake_ahead",
    "platter_holds",
    "names",
}
NEEDS_ALLERGIES = {State.QUOTED: "making a quote", State.HELD: "holding the date", State.BOOKED: "booking",
                   State.HANDED_OVER: "handing over"}  # fmt: skip


def next_number(*, name: str = "order", at_least: int = FIRST_NUMBER) -> int:
    """A number nobody else gets. The row stays locked until the transaction ends, on either database."""
    with transaction.atomic():
        Counter.objects.get_or_create(name=name)
        Counter.objects.filter(name=name).update(value=F("value") + 1)
        value = Counter.objects.get(name=name).value
        if value < at_least:
            value = at_least
            Counter.objects.filter(name=name).update(value=value)
        return value


def take_order(*, token, data: OrderData, made_again_from: Order | None = None) -> Order:
    """The order of this form: taken at the first call, found again at every other."""
    try:
        with transaction.atomic():
            found = Order.objects.filter(token=token).first()
            return found or _take(token, data, made_again_from)
    except IntegrityError:  # a second press overtook this one: its order is the order
        found = Order.objects.filter(token=token).first()
        if found is None:
            raise
        return found


def _take(token, data: OrderData, made_again_from) -> Order:
    highest = Order.objects.aggregate(most=Max("number"))["most"] or 0
    order = Order(
        token=token,
        number=next_number(at_least=max(FIRST_NUMBER, highest + 1)),
        made_again_from=made_again_from,
    )
    _write(order, data)
    StateChange.objects.create(order=order, state=order.state, at=order.created_at)
    _tell(order, f"Order {order.number} was taken.")
    return order


@transaction.atomic
def change_order(*, order: Order, revision: int, data: OrderData) -> Order:
    """Save `data` over the order as it was at `revision`; raises OrderChangedMeanwhile if it moved on."""
    current = Order.objects.select_for_update().get(pk=order.pk)
    before = data_of(current)
    data = settled(data, before)
    if before == data:
        return current
    if current.revision != revision:
        raise OrderChangedMeanwhile(current)
    current.revision += 1
    _write(current, data)
    if any(getattr(before, name) != getattr(data, name) for name in WORK_FIELDS):
        _tell(current, f"Order {current.number} was changed.")
    return current


def settled(data: OrderData, before: OrderData) -> OrderData:
    """`data` as it would be stored, so that sending it twice is seen to be the same."""
    old = {line.line: line for line in before.lines}
    lines = []
    for line in data.lines:
        was = old.get(line.line)
        same_stage = was is not None and was.stage == line.stage
        lines.append(replace(line, stage_at=was.stage_at) if same_stage and line.stage_at is None else line)
    same_person = data.who == before.who
    return replace(
        data,
        lines=tuple(lines),
        title=data.title or data.who or _plain_title(data),
        phone=data.phone or (before.phone if same_person else ""),
        email=data.email or (before.email if same_person else ""),
    )


def make_again(*, order: Order, hand_over_at: datetime, token) -> Order:
    """A new enquiry with everything that was really made, for another day."""
    data = again_data(order=order, hand_over_at=hand_over_at)
    return take_order(token=token, data=data, made_again_from=order)


def again_data(*, order: Order, hand_over_at: datetime) -> OrderData:
    """What stays when it is made again: who, what and how; not when, what was paid, or the allergies."""
    data = data_of(order)
    lines = tuple(replace(line, stage="nothing", stage_at=None, line=None) for line in data.lines)
    return replace(
        data, lines=lines, hand_over_at=hand_over_at, event_at=None, deposit_paid=False,
        allergy_state="not_asked", own_price=None, budget=None, their_words="",
    )  # fmt: skip


def _write(order: Order, data: OrderData) -> None:
    for name in PLAIN_FIELDS:
        setattr(order, name, getattr(data, name))
    order.customer = _customer(data, order.customer)
    order.title = data.title or data.who or _plain_title(data)
    order.full_clean(validate_unique=False)
    order.save()
    _write_lines(order, data.lines)
    _write_names(order, data.names)


def _plain_title(data: OrderData) -> str:
    return f"{data.quantity} cookies"


def _customer(data: OrderData, now: Customer | None) -> Customer | None:
    """Whoever is named: the one there is by that name, or a new one; contact data is added, never emptied."""
    if not data.who:
        return None
    same_name = Customer.objects.filter(name__iexact=data.who).order_by("pk")
    found = now if now and now.name == data.who else same_name.first() or Customer(name=data.who)
    fresh = {name: getattr(data, name) for name in ("phone", "email") if getattr(data, name)}
    if found.pk is None or any(getattr(found, name) != value for name, value in fresh.items()):
        for name, value in fresh.items():
            setattr(found, name, value)
        found.full_clean()
        found.save()
    return found


def _write_lines(order: Order, lines: tuple[LineData, ...]) -> None:
    """Rows keep their position for life, so that jobs keep their keys; a new one never takes an old."""
    rows = {row.pk: row for row in order.lines.all()}
    kinds = kind_rows()
    last = highest_place(order)
    kept = set()
    for data in lines:
        row = rows.get(data.line)
        if row is None or row.pk in kept:
            last += 1
            row = OrderLine(order=order, position=last)
        for name in LINE_FIELDS:
            setattr(row, name, getattr(data, name))
        row.ways = list(data.ways)
        row.kind, row.design_id, row.variation_id = kinds[data.kind], data.design, data.variation
        if row.stage != OrderLine.Stage.NOTHING and row.stage_at is None:
            row.stage_at = timezone.now()
        row.full_clean()
        row.save()
        kept.add(row.pk)
    order.lines.exclude(pk__in=kept).delete()
    if last > order.lines_ever:
        order.lines_ever = last
        Order.objects.filter(pk=order.pk).update(lines_ever=last)


def _write_names(order: Order, names: tuple[str, ...]) -> None:
    if tuple(order.names.values_list("text", flat=True)) == names:
        return
    order.names.all().delete()
    rows = [Name(order=order, position=at, text=text) for at, text in enumerate(names, 1)]
    for row in rows:
        row.full_clean(validate_unique=False, validate_constraints=False)
    Name.objects.bulk_create(rows)


@transaction.atomic
def set_state(
    *, order: Order, state: str, note: str = "", at: datetime | None = None, back: bool = False
) -> Order:
    """Send the order to `state`. Already there: nothing happens. Raises WrongState or AllergyNotAsked.

    `back` takes a step back, from wherever it led.
    """
    current = Order.objects.select_for_update().get(pk=order.pk)
    if current.state == state:
        return current
    if not back:
        check_step(current.state, state)
    ask_first(order=current, state=state)
    was_planned, before = current.is_planned, current.state
    current.state = state
    if state != State.HELD:
        current.held_until = None
    current.save()
    StateChange.objects.create(
        order=current, before=before, state=state, note=note[:200], at=at or timezone.now()
    )
    if current.is_planned or was_planned:
        _tell(current, f"Order {current.number}: {State(state).label.lower()}.")
    return current


def ask_first(*, order: Order, state: str) -> None:
    """Raise AllergyNotAsked where food is promised or handed to somebody nobody has asked."""
    doing = NEEDS_ALLERGIES.get(state)
    if doing and order.allergy_state == Order.Allergy.NOT_ASKED and not order.for_stock:
        raise AllergyNotAsked(doing)


def book(*, order: Order, note: str = "") -> Order:
    """The deposit books: from now on the order is planned."""
    return set_state(order=order, state=State.BOOKED, note=note)


@transaction.atomic
def book_with_deposit(*, order: Order, on=None) -> Order:
    """Book, and record the deposit of the latest quote as paid today; once."""
    quote = order.quotes.order_by("-version").first()
    paid = Order.objects.filter(pk=order.pk, deposit_paid=True).exists()
    booked = set_state(order=order, state=State.BOOKED, note="" if paid else WITH_DEPOSIT)
    if not booked.deposit_paid:
        booked.deposit_paid = True
        booked.revision += 1
        booked.save()
    has_one = booked.payments.filter(what=Payment.What.DEPOSIT).exists()
    if quote is not None and quote.deposit and not has_one:
        record_payment(
            order=booked, what=Payment.What.DEPOSIT, amount=quote.deposit, on=on or timezone.localdate(),
            note=AS_QUOTED,
        )  # fmt: skip
    return booked


@transaction.atomic
def hold(*, order: Order, until: datetime) -> Order:
    """Keep the place softly until a moment; the clock then lets it go."""
    held = set_state(order=order, state=State.HELD)
    if held.held_until != until:
        held.held_until = until
        held.save()
    return held


def cancel(*, order: Order, note: str = "") -> Order:
    return set_state(order=order, state=State.CANCELLED, note=note)


def decline(*, order: Order, note: str = "") -> Order:
    return set_state(order=order, state=State.DECLINED, note=note)


@transaction.atomic
def undo_state(*, order: Order) -> Order:
    """Back to the state before the last step, whichever it was: everything can be undone. Pressed twice, it
    is undone once. With a booking goes the deposit that was recorded with it.
    """
    current = Order.objects.select_for_update().get(pk=order.pk)
    last = last_step(current)
    if last is None:
        return current
    undone = set_state(order=current, state=last.before, note=UNDONE, back=True)
    if last.state == State.BOOKED:
        undone.payments.filter(what=Payment.What.DEPOSIT, note=AS_QUOTED).delete()
    if last.note == WITH_DEPOSIT:
        undone.deposit_paid = False
        undone.revision += 1
    if last.before == State.HELD:
        undone.held_until = _hold_again(undone)
    undone.save()
    return undone


def last_step(order: Order) -> StateChange | None:
    """The step that brought the order where it is and can be taken back; None: there is none."""
    last = order.changes.order_by("-at", "-pk").first()
    steps_back = last is None or not last.before or last.note == UNDONE
    return None if steps_back or last.state != order.state else last


def _hold_again(order: Order) -> datetime:
    """Until when a date is held again: as long as its quote stands, else as long as a new one would."""
    from .quotes import open_until

    now, quote = timezone.now(), order.quotes.order_by("-version").first()
    return quote.valid_until if quote and quote.valid_until > now else open_until(now)


def lapse_overdue(*, now: datetime) -> list[Order]:
    """Let go of what waited too long: holds whose clock ran out, and open quotes past their last day."""
    held = Order.objects.filter(state=State.HELD, held_until__lt=now)
    quoted = (
        Order.objects.filter(state=State.QUOTED)
        .annotate(until=Max("quotes__valid_until"))
        .filter(until__lt=now)
    )
    found = [_lapse(order, now) for order in [*held, *quoted]]
    return [order for order in found if order is not None]


@transaction.atomic
def _lapse(order: Order, now: datetime) -> Order | None:
    """Let one go, unless somebody said something about it since it was looked up."""
    current = Order.objects.select_for_update().get(pk=order.pk)
    fresh_quote = current.state == State.QUOTED and current.quotes.filter(valid_until__gte=now).exists()
    if (current.state, current.held_until) != (order.state, order.held_until) or fresh_quote:
        return None
    return set_state(order=current, state=State.LAPSED, note="nobody answered in time", at=now)


@transaction.atomic
def set_stage(*, line: OrderLine, stage: str, at: datetime | None = None) -> OrderLine:
    """Where these cookies are now."""
    order = Order.objects.select_for_update().get(pk=line.order_id)
    line = OrderLine.objects.get(pk=line.pk)
    line.order = order
    if line.stage == stage and (at is None or line.stage_at == at):
        return line
    line.stage, line.stage_at = stage, None if stage == OrderLine.Stage.NOTHING else at or timezone.now()
    line.full_clean()
    line.save()
    _bump(order)
    _tell(order, f"Order {order.number}: {line.get_stage_display()}.")
    return line


@transaction.atomic
def move_hand_over(*, order: Order, revision: int, hand_over_at: datetime) -> Order:
    """Another day or hour for the same order."""
    return change_order(
        order=order, revision=revision, data=replace(data_of(order), hand_over_at=hand_over_at)
    )


@transaction.atomic
def tell_allergies(*, order: Order, allergy_state: str, allergies: str = "") -> Order:
    """What the customer said when asked."""
    current = Order.objects.select_for_update().get(pk=order.pk)
    if (current.allergy_state, current.allergies) != (allergy_state, allergies):
        current.allergy_state, current.allergies = allergy_state, allergies
        current.revision += 1
        current.full_clean(validate_unique=False)
        current.save()
    return current


@transaction.atomic
def record_payment(*, order: Order, what: str, amount, on, note: str = "") -> Payment:
    """Money that came in. The same again is the same payment; a second one of that size needs a note."""
    current = Order.objects.select_for_update().get(pk=order.pk)  # the second of two presses waits here
    payment = Payment(order=order, what=what, amount=amount, on=on, note=note)
    payment.full_clean()
    same = order.payments.filter(what=what, amount=payment.amount, on=on, note=note).first()
    if same:
        return same
    payment.save()
    if what == Payment.What.DEPOSIT and not current.deposit_paid:
        current.deposit_paid = True
        current.revision += 1
        current.save()
        order.deposit_paid = True
    return payment


def _bump(order: Order) -> None:
    order.revision += 1
    order.save()


def _tell(order: Order, reason: str) -> None:
    transaction.on_commit(lambda: orders_changed.send(Order, reason=reason, order=order))

"""Put the example's open orders in, with the road and the payments behind them."""

from datetime import date, timedelta
from decimal import Decimal

from bakery.orders.models import Name, Order, OrderLine, Payment, State, StateChange

from .wanted import OPEN, Wanted

# The road each state has behind it.
ROAD = {
    State.ENQUIRY: (),
    State.QUOTED: (State.QUOTED,),
    State.HELD: (State.QUOTED, State.HELD),
    State.BOOKED: (State.QUOTED, State.BOOKED),
    State.APPROVED: (State.QUOTED, State.BOOKED, State.APPROVED),
    State.KITCHEN: (State.QUOTED, State.BOOKED, State.KITCHEN),
    State.READY: (State.QUOTED, State.BOOKED, State.KITCHEN, State.READY),
    State.HANDED_OVER: (State.QUOTED, State.BOOKED, State.KITCHEN, State.READY, State.HANDED_OVER),
    State.DECLINED: (State.DECLINED,),
    State.LAPSED: (State.QUOTED, State.LAPSED),
    State.CANCELLED: (State.QUOTED, State.BOOKED, State.CANCELLED),
}
DEPOSIT_SHARE = Decimal("0.5")


def fill_open(dates, people: dict, designs: dict) -> list[Order]:
    """The fourteen open orders with their lines, names, state changes and payments."""
    orders = Order.objects.bulk_create(order_of(wanted, dates, people) for wanted in OPEN)
    pairs = list(zip(orders, OPEN, strict=True))
    OrderLine.objects.bulk_create(
        line_of(order, position, line, dates, designs)
        for order, wanted in pairs
        for position, line in enumerate(wanted.lines, 1)
    )
    Name.objects.bulk_create(
        Name(order=order, position=position, text=text)
        for order, wanted in pairs
        for position, text in enumerate(wanted.names, 1)
    )
    StateChange.objects.bulk_create(change for order in orders for change in changes_of(order))
    Payment.objects.bulk_create(payment for order in orders for payment in payments_of(order, dates.day(0)))
    return orders


def order_of(wanted: Wanted, dates, people: dict) -> Order:
    return Order(
        number=wanted.number,
        customer=people[wanted.who],
        title=wanted.title,
        event_at=dates.at(*wanted.event) if wanted.event else None,
        hand_over_at=dates.at(*wanted.hand_over),
        way=wanted.way,
        place=wanted.place,
        travel_minutes=wanted.travel,
        state=wanted.state,
        for_stock=wanted.soft,
        allergy_state=wanted.allergy,
        allergies=wanted.allergies,
        deposit_paid=wanted.deposit,
        own_price=Decimal(wanted.price) if wanted.price else None,
        their_words=wanted.words,
        note=wanted.note,
        held_until=dates.at(*wanted.held_until) if wanted.held_until else None,
        created_at=dates.at(*wanted.asked),
        updated_at=dates.at(*wanted.asked),
    )


def line_of(order: Order, position: int, line, dates, designs: dict) -> OrderLine:
    design = designs[line.design]
    return OrderLine(
        order=order,
        position=position,
        kind=design.kind,
        design=design,
        variation=variation_of(design, line.base),
        quantity=line.quantity,
        colours=colours_in(design),
        spares=line.spares,
        packaging=line.packaging,
        stage=line.stage,
        stage_at=dates.at(*line.stage_at) if line.stage_at else None,
    )


def variation_of(design, base: str):
    """The variation on that base colour."""
    return next((row for row in design.variations.all() if row.base.name == base), None)


def colours_in(design) -> int:
    """How many colours the design takes, base included."""
    return len({row.colour_id for layer in design.layers.all() for row in layer.layer_colours.all()})


def changes_of(order: Order) -> list[StateChange]:
    """The road to the order's state, a day or so a step."""
    asked = order.created_at
    rows = [StateChange(order=order, state=State.ENQUIRY, at=asked)]
    for number, state in enumerate(ROAD[order.state], 1):
        at = asked + timedelta(hours=19 * number)
        if state == State.HANDED_OVER:
            at = order.hand_over_at
        rows.append(StateChange(order=order, before=rows[-1].state, state=state, at=at))
    return rows


def payments_of(order: Order, today: date) -> list[Payment]:
    """A deposit of half where one was paid; the rest a week before the hand-over, once that day is past."""
    if not order.deposit_paid or order.own_price is None:
        return []
    deposit = (order.own_price * DEPOSIT_SHARE).quantize(Decimal("0.01"))
    booked = order.created_at + timedelta(days=2)
    rows = [Payment(order=order, what="deposit", amount=deposit, on=booked.date())]
    due = max(booked, order.hand_over_at - timedelta(days=7)).date()
    if due < today and order.state in (State.KITCHEN, State.READY, State.HANDED_OVER):
        rows.append(Payment(order=order, what="balance", amount=order.own_price - deposit, on=due))
    return rows

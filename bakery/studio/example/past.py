"""Put the example's past orders in: the same rows as for open ones, with their road behind them."""

from datetime import timedelta
from decimal import Decimal

from bakery.orders.models import Name, Order, OrderLine, Payment, State, StateChange

from .history import HAND_OVER_CLOCKS, PAST
from .orders import changes_of, colours_in, payments_of, variation_of
from .people import PLACE_NAMES
from .wanted import LEAST_NUMBER

NEVER_MADE = (State.DECLINED, State.LAPSED)


def fill_past(dates, people: dict, designs: dict) -> list[Order]:
    """Sixty orders, numbered in the order of asking."""
    rows = sorted(PAST, key=lambda row: -row[0])
    orders = Order.objects.bulk_create(
        order_of(LEAST_NUMBER + at, row, dates, people) for at, row in enumerate(rows)
    )
    pairs = list(zip(orders, rows, strict=True))
    OrderLine.objects.bulk_create(line_of(order, row, designs) for order, row in pairs)
    StateChange.objects.bulk_create(change for order in orders for change in changes_of(order))
    Payment.objects.bulk_create(payment for order in orders for payment in payments_of(order, dates.day(0)))
    Name.objects.bulk_create(
        Name(order=order, position=position, text=text)
        for order, row in pairs
        if row[3] == "Place card"
        for position, text in enumerate(PLACE_NAMES[: row[5]], 1)
    )
    return orders


def order_of(number: int, row: tuple, dates, people: dict) -> Order:
    days, who, title, _, _, _, price, ending = row
    state = State(ending) if ending else State.HANDED_OVER
    hand_over = dates.at(-days, HAND_OVER_CLOCKS[number % len(HAND_OVER_CLOCKS)])
    asked = hand_over - timedelta(days=16 + number % 9, hours=3)
    return Order(
        number=number,
        customer=people[who],
        title=title,
        hand_over_at=hand_over,
        event_at=hand_over + timedelta(hours=4),
        state=state,
        allergy_state=Order.Allergy.NONE,
        deposit_paid=state not in NEVER_MADE,
        own_price=Decimal(price),
        created_at=asked,
        updated_at=hand_over,
    )


def line_of(order: Order, row: tuple, designs: dict) -> OrderLine:
    design = designs[row[3]]
    made = order.state == State.HANDED_OVER
    return OrderLine(
        order=order,
        position=1,
        kind=design.kind,
        design=design,
        variation=variation_of(design, row[4]),
        quantity=row[5],
        colours=colours_in(design),
        stage=OrderLine.Stage.PACKED if made else OrderLine.Stage.NOTHING,
        stage_at=order.hand_over_at - timedelta(hours=20) if made else None,
    )

"""Rows back to frozen data: what a form shows and what two versions are compared by."""

from .data import LineData, OrderData
from .models import Order, OrderLine
from .ways import known_ways


def data_of(order: Order) -> OrderData:
    """The order as data."""
    customer = order.customer
    return OrderData(
        who=customer.name if customer else "",
        title=order.title,
        phone=customer.phone if customer else "",
        email=customer.email if customer else "",
        hand_over_at=order.hand_over_at,
        event_at=order.event_at,
        way=order.way,
        place=order.place,
        travel_minutes=order.travel_minutes,
        distance_km=order.distance_km,
        transit_days=order.transit_days,
        for_stock=order.for_stock,
        bake_ahead=order.bake_ahead,
        platter_holds=order.platter_holds,
        lines=tuple(line_data(line) for line in order.lines.all()),
        names=tuple(name.text for name in order.names.all()),
        allergy_state=order.allergy_state,
        allergies=order.allergies,
        deposit_paid=order.deposit_paid,
        budget=order.budget,
        own_price=order.own_price,
        asked_at=order.created_at,
        their_words=order.their_words,
        note=order.note,
    )


def line_data(line: OrderLine) -> LineData:
    return LineData(
        line=line.pk,
        kind=line.kind.key,
        quantity=line.quantity,
        designs=line.designs,
        colours=line.colours,
        design=line.design_id,
        variation=line.variation_id,
        spares=line.spares,
        packaging=line.packaging,
        stage=line.stage,
        stage_at=line.stage_at,
        ways=known_ways(line.ways),
    )


def highest_place(order: Order) -> int:
    """The highest place a line of this order has or had: what was made of a deleted line keeps its name."""
    return max([order.lines_ever, *(line.position for line in order.lines.all())])

"""Orders made for stock that are done become cookies that stand ready."""

from __future__ import annotations

from bakery.designs.adapters import drawing_of
from bakery.designs.models import Design
from bakery.designs.queries import with_layers
from bakery.orders.adapters import line_drawing, order_spec
from bakery.orders.models import Order, State
from bakery.orders.pricing import priced
from bakery.orders.queries import with_lines
from bakery.orders.services import set_state
from bakery.stock import stall
from bakery.studio.queries import the_studio

DONE = (State.READY, State.HANDED_OVER)
MOST = 20


def ready_of(order: Order) -> list[stall.Ready]:
    """Each line with its cookies, its picture, and her own price parted over them, else the rough one."""
    lines = list(order.lines.all())
    count = sum(line.quantity for line in lines)
    total = order.own_price if order.own_price is not None else priced(order_spec(order)).total
    each = round(total / count, 2) if count else None
    return [stall.Ready(line.key, line.title, line.quantity, line_drawing(line), each) for line in lines]


def to_put_down() -> list[Order]:
    """Orders made for stock that are ready and do not stand there yet; bounded queries."""
    orders = list(
        with_lines(Order.objects.filter(for_stock=True, state=State.READY).order_by("hand_over_at")[:MOST])
    )
    there = stall.put_down_already(line.key for order in orders for line in order.lines.all())
    return [order for order in orders if not all(line.key in there for line in order.lines.all())]


def show_looks(items) -> None:
    """Cookies put down by hand know only their design's name: they look as it does now."""
    bare = [item for item in items if not item.drawing]
    names = {item.shape for item in bare}
    looks = {one.name: drawing_of(one) for one in with_layers(Design.objects.filter(name__in=names))}
    for item in bare:
        item.drawing = looks.get(item.shape, {})


def can_put_down(order: Order) -> bool:
    """Whether the one press makes sense on its page."""
    return order.for_stock and order.state == State.READY


def put_order_down(*, order: Order):
    """The one press: its cookies stand ready, and the order is handed over to the stall. Safe to repeat."""
    rows = stall.put_down(ready=ready_of(order), keeps_days=the_studio().keeps_days)
    if order.state == State.READY:
        set_state(order=order, state=State.HANDED_OVER, note="put with what stands ready")
    return rows

"""The quotes behind the example's orders, as they were sent: snapshots made by the same words as today's."""

from datetime import timedelta

from bakery.orders.models import Option, Order, Quote, State
from bakery.orders.queries import with_lines
from bakery.orders.quotes import snapshot_of

QUOTED_AFTER = timedelta(hours=19)
CHOICE = (("Without the dots", {"ways": ["without.piped.1"]}), ("Two dozen", {"quantity": 24}))
WITHOUT = (State.ENQUIRY, State.DECLINED)


def fill_quotes(now) -> None:
    """A quote for every order that has seen one; open quotes stay open long enough to be looked at."""
    orders = with_lines(Order.objects.filter(for_stock=False).exclude(state__in=WITHOUT)).prefetch_related(
        "options"
    )
    Quote.objects.bulk_create(quote_of(order, now) for order in orders)


def fill_options() -> None:
    """Two versions beside what the museum asks for, to be looked at side by side."""
    order = Order.objects.filter(state=State.ENQUIRY, for_stock=False).order_by("-number").first()
    for title, change in CHOICE:
        option = Option(order=order, title=title, changes={"1": change})
        option.full_clean()
        option.save()


def quote_of(order: Order, now) -> Quote:
    made = order.created_at + QUOTED_AFTER
    if order.state == State.QUOTED:
        made = max(made, now - timedelta(hours=6))
    snapshot = snapshot_of(order, made) | {"version": 1}
    return Quote(
        order=order,
        made_at=made,
        valid_until=snapshot["valid_until"],
        total=snapshot["total"],
        deposit=snapshot["deposit"],
        snapshot=snapshot,
    )

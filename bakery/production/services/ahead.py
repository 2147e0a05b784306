"""What the plan takes of things made ahead is spoken for; what comes to nothing is free again."""

from bakery.orders.models import Order, State
from bakery.stock import made_ahead

CAME_TO_NOTHING = (State.CANCELLED, State.DECLINED, State.LAPSED, State.MOVED)


def speak_for(it) -> None:
    """Keep who uses what of this scene. Call it inside a transaction."""
    orders = set(it.works)
    uses = [use for use in it.uses if use.order in orders]
    spoken = made_ahead.spoken_orders()
    if not uses and not spoken:
        return
    made_ahead.claim(uses=uses, orders=orders, begun=it.begun)
    away = spoken - orders
    numbers = [int(key[1:]) for key in away if key[1:].isdigit()]
    lost = Order.objects.filter(number__in=numbers, state__in=CAME_TO_NOTHING)
    lost_keys = {f"o{number}" for number in lost.values_list("number", flat=True)}
    made_ahead.release(orders=lost_keys)
    made_ahead.claim(uses=(), orders=(), begun=away - lost_keys)

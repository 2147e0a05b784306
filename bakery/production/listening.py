"""What makes the plan ask to be worked out again."""

from django.db import transaction
from django.dispatch import receiver
from django.utils import timezone

from bakery.background.signals import tick
from bakery.orders.signals import orders_changed
from bakery.stock.signals import Choices, ahead_changed, choices_asked, names_asked
from bakery.studio.signals import studio_changed


@receiver(orders_changed)
def when_orders_change(sender, reason="", **more):
    from .services.books import ask_for_books

    _ask(reason)
    with transaction.atomic():
        ask_for_books()


@receiver(studio_changed)
def when_the_studio_changes(sender, reason="", **more):
    _ask(f"{reason[0].upper()}{reason[1:]}." if reason else "")


@receiver(ahead_changed)
def when_what_is_made_ahead_changes(sender, **more):
    _ask("What is made ahead has changed.")


@receiver(choices_asked)
def when_the_cupboard_asks_for_whom(sender, **more):
    from bakery.designs.models import Design
    from bakery.orders.adapters import cutter_of
    from bakery.orders.models import PLANNED_STATES, Order

    orders = Order.objects.filter(state__in=PLANNED_STATES).order_by("hand_over_at", "number")
    designs = list(Design.objects.order_by("name"))
    cutters = {cutter_of(design): f"{cutter_of(design)} mm" for design in designs}
    return Choices(
        orders=tuple((order.key, order.title) for order in orders),
        shapes=tuple(sorted(cutters.items())),
        designs=tuple((design.name, design.name) for design in designs),
    )


@receiver(names_asked)
def when_the_books_ask_for_names(sender, orders, **more):
    from django.urls import reverse

    from bakery.orders.models import Order

    numbers = [int(key[1:]) for key in orders if key[:1] == "o" and key[1:].isdecimal()]
    rows = Order.objects.filter(number__in=numbers).values_list("number", "title")
    return {f"o{number}": (title, reverse("order", args=[number])) for number, title in rows}


@receiver(tick)
def when_a_day_begins(sender, **more):
    """A new session, or no plan yet: the verdicts of the last evening say nothing about this one."""
    from .queries.freshness import is_stale

    if is_stale(timezone.now()):
        _ask("")


def _ask(reason):
    from .services.plans import ask_for_plan

    with transaction.atomic():
        ask_for_plan(reason=reason, weak=True)

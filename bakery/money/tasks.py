"""Adding up in the background what a page would have to wait for."""

from django.dispatch import receiver

from bakery.background.kinds import computation
from bakery.background.signals import tick


@computation("money_sums", title="Adding up what the hours paid")
def money_sums(args, report):
    """Each chunk of orders is a transaction of its own and may be done twice; the marks move at the end."""
    from .services import AGAIN, CHUNK, add_up, behind, reached

    found, tops = behind(again=AGAIN)
    orders = sorted(found)
    for start in range(0, len(orders), CHUNK):
        report(start / len(orders), "Adding up")
        add_up(orders=orders[start : start + CHUNK])
    return lambda: reached(upto=tops)


@receiver(tick, dispatch_uid="money.add_up_what_is_new")
def add_up_what_is_new(**_) -> None:
    from bakery.background.services import enqueue

    from .services import behind

    if behind()[0]:
        enqueue("money_sums")

"""Orders follow their jobs: in the kitchen once something is begun, ready once all is packed."""

from django.db.models import Q

from bakery.orders.models import Order, State
from bakery.orders.services import set_state

from ..models import Job

ALL_PACKED = "all packed"


def orders_follow(jobs) -> None:
    """After something was said about these jobs: what is begun is in the kitchen, what is packed is ready."""
    for order in _orders_of(job for job in jobs if job.state != Job.State.PLANNED):
        if order.state in (State.BOOKED, State.APPROVED):
            order = set_state(order=order, state=State.KITCHEN)
        if order.state == State.KITCHEN and _packed(order):
            set_state(order=order, state=State.READY, note=ALL_PACKED)


def orders_follow_back(jobs) -> None:
    """After something was taken back: what became ready by it alone is in the kitchen again."""
    for order in _orders_of(jobs):
        if order.state == State.READY and not _packed(order):
            last = order.changes.order_by("-at", "-pk").first()
            if last is not None and last.note == ALL_PACKED:
                set_state(order=order, state=State.KITCHEN)


def _orders_of(jobs):
    """Every order these jobs work for, shared ones included."""
    pks = [job.pk for job in jobs]
    return Order.objects.filter(Q(jobs__in=pks) | Q(job_shares__job__in=pks)).distinct().order_by("pk")


def _packed(order) -> bool:
    """True when all its packing was done whole; of a part done the rest is still to come."""
    packing = list(order.jobs.filter(kind="pack").only("key", "state", "done_count"))
    keys = {job.key for job in packing}
    return bool(packing) and all(
        job.state == Job.State.DONE and (job.done_count is None or f"{job.key}.rest" in keys)
        for job in packing
    )

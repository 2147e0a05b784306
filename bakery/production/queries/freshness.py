"""Whether what hangs on the wall still speaks of now."""

from django.utils.dateparse import parse_datetime

from bakery.background.queries import is_active, latest
from bakery.orders.models import PLANNED_STATES, Order, State

from ..models import JobEvent, Plan
from ..services.plans import REPLAN

OUR_FAULT = (
    "The newest change could not be worked into the plan; the fault is Dryby's, not yours. "
    "What stands here is the plan as it was."
)


def wall() -> Plan | None:
    return Plan.objects.filter(state=Plan.State.WALL).first()


def proposal() -> Plan | None:
    return Plan.objects.filter(state=Plan.State.PROPOSED).first()


def is_stale(now, plan: Plan | None = None) -> bool:
    """True when nothing is worked out, when tonight is another night, or when something was said since."""
    plan = plan or wall()
    if plan is None:
        return Order.objects.filter(state__in=PLANNED_STATES).exists()
    tonight = plan.tonight or {}
    until = tonight.get("until") or tonight.get("look_again")
    if until is None or parse_datetime(until) <= now:
        return True
    newest = JobEvent.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
    return newest > tonight.get("seen", 0)


def being_worked_out() -> bool:
    return is_active(REPLAN)


def placeless(plan: Plan | None) -> list[str]:
    """Titles of orders that must be made and of which the plan on the wall knows nothing yet."""
    known = {order["id"] for order in plan.problem["orders"]} if plan else set()
    states = [state for state in PLANNED_STATES if state != State.READY]
    orders = Order.objects.filter(state__in=states).order_by("hand_over_at").only("number", "title")
    return [order.title for order in orders if order.key not in known]


def computing():
    """The working out that is under way, for its progress; None when nothing is."""
    last = latest(REPLAN)
    return last if last is not None and not last.is_over else None


def trouble() -> str:
    """Why the last working out came to nothing, in words; empty when it did not."""
    last = latest(REPLAN)
    if last is None or last.state != last.State.FAILED:
        return ""
    return OUR_FAULT if last.details else last.error

"""Whom to ring first when not every hand-over holds, and the text to send: pure functions over plain data."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from . import words

KIND = {
    "off": "We lose an evening of baking here",
    "half": "We lose part of an evening here",
    "tool": "A tool has broken here",
    "wet": "The air is damp and the icing dries slowly",
    "broke": "Some of your cookies did not survive",
    "ran_out": "Something we need has not come",
}
"""What the customer is told; never more than that."""
FIRST_DOOR, LAST_DOOR = 9, 19


@dataclass(frozen=True)
class Late:
    """One order that no longer holds: by when it can be ready, and whether its event is then over."""

    key: str
    ready: datetime
    missed: bool
    minutes: int
    weight: int
    event: datetime | None


def late_orders(problem: dict, plan: dict) -> list[Late]:
    """Orders that are not soft and come late in a plan, the soonest hand-over first, since that is whom to
    ring first; of two at one time the one whose event is missed. Plain data, as kept with a plan.
    """
    origin = datetime.fromisoformat(problem["origin"])
    found = []
    for order in problem["orders"]:
        minutes = plan["late"].get(order["id"], 0)
        if not minutes or order["soft"]:
            continue
        end, event = order["pickup"] + minutes, order["event"]
        found.append(
            Late(
                order["id"],
                origin + timedelta(minutes=end),
                event is not None and end > event,
                minutes,
                order["weight"],
                None if event is None else origin + timedelta(minutes=event),
            )
        )
    return sorted(found, key=lambda one: (one.ready - timedelta(minutes=one.minutes), not one.missed,
                                          -one.weight, -one.minutes))  # fmt: skip


def offered(late: Late, order) -> datetime:
    """When it can be handed over: on the evening itself while their event has not begun, else at an hour
    at which people come to a door; always at a quarter of an hour.
    """
    road = order.travel_minutes if order.way != order.Way.COLLECTED else 0
    ready = words.local(late.ready) + timedelta(minutes=road)
    ready += timedelta(minutes=-ready.minute % 15)
    event = order.event_at and words.local(order.event_at)
    if event and ready <= event and ready.date() == event.date():
        return ready
    return convenient(words.local(late.ready), road=road)


def convenient(moment: datetime, *, road: int = 0) -> datetime:
    """The next quarter of an hour at which somebody comes to a door: from nine until seven in the evening."""
    moment += timedelta(minutes=road)
    moment += timedelta(minutes=-moment.minute % 15)
    if moment.hour < FIRST_DOOR:
        return moment.replace(hour=FIRST_DOOR, minute=0)
    if (moment.hour, moment.minute) > (LAST_DOOR, 0):
        return (moment + timedelta(days=1)).replace(hour=FIRST_DOOR, minute=0)
    return moment


def says(late: Late, order, now: datetime) -> str:
    """When it can be handed over instead, for her."""
    new = offered(late, order)
    when = words.day_and_time(new, now)
    if order.event_at is None:
        return f"It can be handed over {when}."
    event = words.day_and_time(order.event_at, now)
    if new > order.event_at:
        return f"It can be handed over {when}, which is after their event ({event})."
    return f"It can be handed over {when}, still before their event ({event})."


def text(late: Late, order, *, kind: str, studio: str, now: datetime) -> str:
    """The text to copy: what happened, what is offered, and that the choice is theirs."""
    when, new = words.local(order.hand_over_at), offered(late, order)
    quantity = sum(line.quantity for line in order.lines.all())
    hello = f"Hello, this is {studio}. " if studio else "Hello. "
    was = f"{quantity} cookies for {words.day_in_text(when, now)} {when:%H:%M}"
    at = f"{words.day_in_text(new, now)} at {new:%H:%M}"
    why = f"{KIND.get(kind, 'Something went wrong here')}, and your {was} would not be ready in time. "
    if order.event_at is not None and new > order.event_at:
        return (
            f"{hello}{why}All of them could be ready on {at}, after your event; or we make as many as we can "
            "for the day itself. We are sorry. Which would you like? We take off the price what is missing."
        )
    if order.event_at is not None and order.way == order.Way.COLLECTED:
        return (
            f"{hello}{why}We can bring them to you on {at}, before your event begins. We are sorry. Does "
            "that suit you?"
        )
    return f"{hello}{why}They can be ready on {at}. We are sorry. Does that suit you?"

"""Orders that are not safe enough, in words: never as a share."""

from datetime import timedelta

from django.utils.dateparse import parse_datetime

from .. import words

LENGTHS = {30: "half an hour", 60: "an hour"}
SHORT = {
    "dough": "dough", "bake": "baking", "mix": "mixing", "flood": "flood", "spray": "spraying",
    "icing_pass": "icing through the stencil", "pipe": "piping", "letter": "lettering",
    "transfer": "transfers", "wafer": "wafer paper", "brush": "painting", "pack": "bagging",
}  # fmt: skip


def tight_words(plan, now, titles=None, most: int = 1) -> tuple[str, ...]:
    """ "Tight: flood of the fern plaques; half an hour more tonight makes it safe." for the worst orders."""
    spots = ((plan.tonight or {}).get("tight") or ())[:most] if plan is not None else ()
    return tuple(_said(spot, titles or _titles(spots), now) for spot in spots)


def _said(spot, titles, now) -> str:
    title = titles.get(spot["order"], "an order")
    step = SHORT.get(spot["kind"])
    what = f"{step} of {title}" if step else title
    if not spot["more"]:
        return f"Tight: {what}. Begin it first; a longer session alone does not make it safe."
    when = words.near_day(parse_datetime(spot["session"]) + timedelta(minutes=1), now)
    on = when if when in ("tonight", "today", "tomorrow") else f"on {when}"
    return f"Tight: {what}; {LENGTHS[spot['more']]} more {on} makes it safe."


def _titles(spots) -> dict[str, str]:
    from bakery.orders.models import Order

    numbers = [int(spot["order"][1:]) for spot in spots if spot["order"][1:].isdigit()]
    if not numbers:
        return {}
    rows = Order.objects.filter(number__in=numbers).values_list("number", "title")
    return {f"o{number}": title for number, title in rows}

"""What can be done about a wet day or a thing that is out, in words, each with what it gives in hours."""

from datetime import datetime

from bakery.craft.drying import levers_of
from bakery.studio import adapters as studio
from bakery.studio.queries import newest_reading
from bakery.studio.touches import known

from . import words

COAT = 2.5
LAYS = ("flood", "icing_pass")
MOST = 3
"""So many levers in a note; the page says all."""


def levers(kind: str, now: datetime) -> tuple[str, ...]:
    """Sentences for one kind of setback; none where there is nothing to turn."""
    return drying_levers(now) if kind == "wet" else ()


def drying_levers(now: datetime, thickness: float = COAT) -> tuple[str, ...]:
    """Every lever that helps, the quickest first: "Heat and dehumidify to 55 %: usually dry in 14 h"."""
    here, shop = studio.drying(now).at(thickness), studio.shop()
    return tuple(
        f"{words.capital(what(one, shop))}: usually dry in {length(one.span.usual)}, on a slow night in "
        f"{length(one.span.slow)}."
        for one in levers_here(here, shop)
    )


def room_verdict(here) -> str:
    """How a coat dries here as it is, where that is bad news; "" where it is not."""
    if here.never:
        return "Icing won’t harden here as it is: it only crusts."
    if here.room.slow:
        return "This air is too damp to promise on."
    return ""


def damp_words(runs, now: datetime, own) -> tuple[str, ...]:
    """A note for tonight's list where icing is laid in air that is too damp, with the levers in hours."""
    if not any(run.open and run.kind in LAYS for run in runs) or newest_reading(now) is None:
        return ()
    here = studio.drying(now)
    verdict = room_verdict(here)
    if not verdict:
        return ()
    shop = studio.shop(own)
    told = [f"{what(one, shop)}: {length(one.span.usual)}" for one in levers_here(here, shop)[:MOST]]
    if here.never:
        verdict = "What you flood won’t harden tonight as it is."
    return (f"{verdict} {words.capital('; '.join(told))}." if told else verdict,)


def what(lever, shop) -> str:
    """What to do, in her words."""
    if lever.key == "fan":
        return "a fan that moves the air over the trays"
    if lever.key == "dryer":
        places = shop.dryer * shop.cookies_per_tray
        return f"the dryer, {words.counted(places, 'cookie')} at a time"
    percent = f"{100 * lever.humidity:.0f}{words.NB}%"
    if lever.key == "both":
        return f"heat by 3{words.NB}°C and dehumidify to {percent}"
    if lever.key == "dry":
        return f"dehumidify to {percent}"
    if lever.key == "heat":
        return f"heat by 3{words.NB}°C, doors shut"
    return f"a coat of {lever.thickness_mm:g}{words.NB}mm next time"


def length(minutes: int) -> str:
    """A wait in words, up to the next five minutes."""
    return words.length(5 * -(-minutes // 5))


def levers_here(here, shop):
    """The levers of this room and coat, by what her touches taught of each kind of air."""
    bias = {air: one.learnt.bias for air, one in known().items()}
    return levers_of(here, dryer=bool(shop.dryer), bias=bias)

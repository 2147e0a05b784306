"""What can be done about a wet day or a thing that is out, in words, each with what it gives."""

from datetime import datetime

from bakery.craft.drying import Room, times
from bakery.studio import adapters as studio

from . import words

COAT, THIN = 2.5, 2.0
WARMER_C, DRIER = 3.0, 0.45


def levers(kind: str, now: datetime) -> tuple[str, ...]:
    """Sentences for one kind of setback; none where there is nothing to turn."""
    return drying_levers(now) if kind == "wet" else ()


def drying_levers(now: datetime) -> tuple[str, ...]:
    """Fan, heat, dry air, a dryer, a thinner coat: by the drying model, from the room as it is."""
    room, air = studio.room(now)
    here = _base(room, air)
    found = []
    if air != "fan":
        found.append(("A fan that moves the air over the trays", _base(room, "fan")))
    if room.humidity > DRIER + 0.05:
        drier = Room(room.temperature_c, DRIER, room.measured)
        found.append((f"A dehumidifier down to {DRIER:.0%}".replace("%", " %"), _base(drier, air)))
    warm = Room(room.temperature_c + WARMER_C, _warmed(room), room.measured)
    found.append((f"{WARMER_C:.0f} °C warmer, doors shut", _base(warm, air)))
    found.append((f"Next time a coat of {THIN:g} mm, not {COAT:g}", _base(room, air, THIN)))
    told = [f"{what}: {_gives(here, there)}" for what, there in found if there.usual < here.usual]
    places = studio.shop().dryer
    if places:
        told.append(f"The dryer has {words.counted(places, 'place')}: put the trays needed first in there.")
    return tuple(told)


def _base(room, air, thickness=COAT):
    return times(room, air=air).wait("base_dry", thickness)


def _gives(here, there) -> str:
    return f"a base coat usually takes {words.length(there.usual)} instead of {words.length(here.usual)}."


def _warmed(room) -> float:
    """Relative humidity of the same air, warmer."""
    from bakery.craft.drying import saturation_pressure

    ratio = saturation_pressure(room.temperature_c) / saturation_pressure(room.temperature_c + WARMER_C)
    return max(0.05, room.humidity * ratio)

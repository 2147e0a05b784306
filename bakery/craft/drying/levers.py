"""What can be turned on a damp night, and how long the icing then takes: each by the same closed form."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from .psychrometrics import saturation_pressure
from .times import Bias, DryingTimes, Room, Span, times

__all__ = ["Lever", "levers_of", "warmed"]

WARMER_C = 3.0
"""How much warmer a shut kitchen is made [C]. Ours, no source."""
DRIER = 0.55
"""What a small household dehumidifier gets a kitchen down to, first step [-]. Common practice, no source."""
DRIEST = 0.45
"""And where the room is at the first step already [-]. Common practice, no source."""
THINNER_MM = 0.5
"""How much thinner the next coat is laid [mm]. Ours, no source."""
THINNEST_MM = 1.5


@dataclass(frozen=True)
class Lever:
    """One thing to do. `key` is fan, heat, dry, both, dryer or thin; `span` what a base coat then takes, and
    `humidity` [0, 1] or `thickness_mm` where the lever sets one.
    """

    key: str
    span: Span
    humidity: float = 0.0
    thickness_mm: float = 0.0

    @property
    def helps(self) -> bool:
        """False where even so it never gets hard: that is said, not shown as a time."""
        return not self.span.never


def levers_of(
    here: DryingTimes, *, dryer: bool = False, bias: Mapping[str, Bias] = MappingProxyType({})
) -> tuple[Lever, ...]:
    """Every lever that is quicker than the room as it is, the quickest first.

    `here` is the room with its air and coat; `dryer` says that she has one. `bias` gives what her touches
    taught of each kind of air (`still`, `fan`, `dryer`); one that is missing keeps the prior.
    """
    room, air = here.room, here.air

    def base(air: str, room: Room, thickness: float = here.thickness_mm) -> Span:
        learnt = here.bias if air == here.air else bias.get(air, Bias())
        return times(room, thickness, air, bias=learnt, careful=here.careful).wait("base_dry")

    found = []
    if air == "still":
        found.append(Lever("fan", base("fan", room)))
    aim = DRIER if room.humidity > DRIER + 0.02 else DRIEST
    hot = warmed(room, WARMER_C) if air != "dryer" and room.temperature_c + WARMER_C <= 45 else None
    if room.humidity > aim + 0.02 and air != "dryer":
        found.append(Lever("dry", base(air, replace(room, humidity=aim)), humidity=aim))
        if hot and hot.humidity > aim + 0.02:  # else the heat alone makes it as dry
            found.append(Lever("both", base(air, replace(hot, humidity=aim)), humidity=aim))
    if hot:
        found.append(Lever("heat", base(air, hot), humidity=hot.humidity))
    if dryer and air != "dryer":
        found.append(Lever("dryer", base("dryer", room)))
    thin = here.thickness_mm - THINNER_MM
    if thin >= THINNEST_MM:
        found.append(Lever("thin", base(air, room, thin), thickness_mm=thin))
    now = here.wait("base_dry")
    better = [one for one in found if one.helps and (now.never or one.span.usual < now.usual)]
    return tuple(sorted(better, key=lambda one: one.span.usual))


def warmed(room: Room, by: float) -> Room:
    """The same air `by` degrees [K] warmer: the same vapour is a lower relative humidity."""
    t = room.temperature_c + by
    ratio = saturation_pressure(room.temperature_c) / saturation_pressure(t)
    return Room(t, room.humidity * ratio, room.measured)

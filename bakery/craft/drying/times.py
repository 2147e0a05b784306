"""From a room to the waits of the kitchen: usual and slow-night minutes for each.

"Usual" is the median, "slow" the time not passed nine nights in ten. The spread is a lognormal of three
parts: what is not yet known about this kitchen and recipe, what differs from batch to batch, and what was not
measured. Its sizes come from how far experienced people disagree with one another (common practice, no
source).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import ceil, exp, sqrt
from types import MappingProxyType

from .layer import AIR, PROMISE_LIMIT, Coat, hours_to_dry

__all__ = ["WAITS", "Bias", "DryingTimes", "Room", "Span", "times", "unmeasured_spread"]

WAITS = ("outline_set", "crusted", "firm", "base_dry", "wafer_dry", "dry_through", "mist_dry")
"""Waits from soonest to last, `mist_dry` (a sprayed colour, touch-dry) apart."""

Z90 = 1.2816
"""Standard normal deviate of the 90th percentile."""
PER_BATCH = 0.15
"""Spread of one batch against the next [log units]."""
OUTLINE_SHARE = 0.25
"""An outline only needs a skin: a quarter of the crust's time. Common practice, no source."""
WAFER_SHARE = 1.5
"""Wafer paper wants the base drier still: half as long again. Common practice, no source."""
MIST = (10, 30)
"""Minutes, usual and slow, until a sprayed colour may be touched. Common practice, no source."""
SLOW_ROOM = 0.65
"""Relative humidity from which drying is too slow to promise on."""
LONGEST = {
    "outline_set": 60,
    "crusted": 120,
    "firm": 960,
    "base_dry": 4320,
    "wafer_dry": 4320,
    "dry_through": 4320,
}
"""What a plan assumes, in minutes, where the model says "never": she will have to help, and is told so."""


@dataclass(frozen=True)
class Room:
    """The air where the trays stand: temperature [C], relative humidity [0, 1], and whether it was measured.

    The default is an ordinary heated kitchen, not a reading.
    """

    temperature_c: float = 20.5
    humidity: float = 0.50
    measured: bool = False

    @property
    def never(self) -> bool:
        """True when icing never gets hard through in this air."""
        return self.humidity >= PROMISE_LIMIT

    @property
    def slow(self) -> bool:
        """True when drying is too slow here to promise on."""
        return self.humidity >= SLOW_ROOM


@dataclass(frozen=True)
class Bias:
    """What her own logs say about her kitchen against the model: mean and variance of a log ratio."""

    mean: float = 0.0
    variance: float = 0.30**2


@dataclass(frozen=True)
class Span:
    """One wait in whole minutes: usual (median) and slow (nine nights in ten). `never` marks a stand-in."""

    usual: int
    slow: int
    never: bool = False


@dataclass(frozen=True)
class DryingTimes:
    """All waits of one coat in one room. `careful`: stencil only on a base that is hard through."""

    room: Room = field(default_factory=Room)
    thickness_mm: float = 2.5
    air: str = "still"
    bias: Bias = field(default_factory=Bias)
    careful: bool = True

    @property
    def waits(self) -> Mapping[str, Span]:
        """Every wait by name."""
        return _waits(self.room, self.thickness_mm, self.air, self.bias, self.careful)

    def wait(self, kind: str, thickness_mm: float | None = None) -> Span:
        """The wait `kind` (one of WAITS) for this or another thickness [mm]; KeyError if unknown."""
        return self.at(thickness_mm or self.thickness_mm).waits[kind]

    def at(self, thickness_mm: float) -> "DryingTimes":
        """The same room with a coat of another thickness [mm]."""
        return self if thickness_mm == self.thickness_mm else replace(self, thickness_mm=thickness_mm)

    @property
    def never(self) -> bool:
        """True when this coat never gets hard through here: the waits are then stand-ins."""
        return self.waits["dry_through"].never


def times(
    room: Room | None = None,
    thickness_mm: float = 2.5,
    air: str = "still",
    *,
    bias: Bias | None = None,
    careful: bool = True,
) -> DryingTimes:
    """Usual and slow minutes of every wait for a coat in a room; `air` is still, fan or dryer.

    Raises ValueError for a room, thickness or air that the model does not cover.
    """
    if air not in AIR:
        raise ValueError(f"There is no air called {air!r}.")
    found = DryingTimes(room or Room(), float(thickness_mm), air, bias or Bias(), careful)
    _ = found.waits
    return found


def _spread(room: Room, bias: Bias) -> float:
    """Standard deviation of ln(real time / model time)."""
    return sqrt(bias.variance + PER_BATCH**2 + unmeasured_spread(room) ** 2)


def unmeasured_spread(room: Room) -> float:
    """Spread of ln(real / model) from what nobody measured [log units]: nought for a reading at the trays.

    5 % of thickness, 2 points of humidity and 1 C, each times how strongly the time follows it (the model's
    own sensitivities).
    """
    return 0.0 if room.measured else sqrt((1.3 * 0.05) ** 2 + (0.03 * 2) ** 2 + (0.04 * 1) ** 2)


@lru_cache(maxsize=1024)
def _waits(room: Room, thickness_mm: float, air: str, bias: Bias, careful: bool) -> Mapping[str, Span]:
    coat = Coat(thickness_mm=thickness_mm)
    widen = exp(Z90 * _spread(room, bias))

    def span(kind: str, milestone: str, share: float = 1.0) -> Span:
        hours = hours_to_dry(room.temperature_c, room.humidity, milestone, coat, air)
        if hours is None:
            return Span(LONGEST[kind], LONGEST[kind], never=True)
        usual = 60 * hours * share * exp(bias.mean)
        return Span(ceil(usual), ceil(usual * widen))

    return MappingProxyType(
        {
            "outline_set": span("outline_set", "crust", OUTLINE_SHARE),
            "crusted": span("crusted", "crust"),
            "firm": span("firm", "touch"),
            "base_dry": span("base_dry", "through" if careful else "stencil"),
            "wafer_dry": span("wafer_dry", "through", WAFER_SHARE),
            "dry_through": span("dry_through", "through"),
            "mist_dry": Span(*MIST),
        }
    )

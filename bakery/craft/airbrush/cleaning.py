"""How long it takes to clean the airbrush between two colours, and what a few timings teach.

Each rinse takes away a fixed share of what is left, so the minutes grow with the logarithm of how much the
leftover would show; a dark rest in a light colour wants needle and nozzle out as well. The three figures are
fitted to common practice, no source; her own timings replace them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite, log
from types import MappingProxyType

import numpy as np

from ..colour.spaces import ciede2000, lab_of_hex

__all__ = ["CLEANING", "Cleaning", "Paint", "changes", "clean_minutes", "learn"]

ADDING = 0.3
"""Minutes to put more drops into the cup, with no cleaning at all (common practice, no source)."""
PRIOR_SHARE = 0.6
"""How far her figures may lie from the usual ones: standard deviation as a share of each."""
LOG_SCATTER = 0.25
"""Scatter of one timing as a share of the minutes."""


@dataclass(frozen=True)
class Cleaning:
    """Minutes of a change: `always`, for how much it shows, and for each 10 of lightness gained."""

    always: float = 0.4
    shows: float = 0.15
    lighter: float = 0.55
    timings: int = 0


CLEANING = Cleaning()


@dataclass(frozen=True)
class Paint:
    """What is in the cup: a name, its dried colour as "#rrggbb", its drops by bottle where it was mixed."""

    name: str
    hex: str
    drops: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self):
        lab_of_hex(self.hex)  # says what is wrong with it
        if any(not isfinite(n) or n < 0 for n in self.drops.values()):
            raise ValueError("Drops are counted from nothing upwards.")
        object.__setattr__(self, "drops", MappingProxyType({k: n for k, n in self.drops.items() if n > 0}))

    def __hash__(self):
        return hash((self.name, self.hex))

    def made_from(self, other: "Paint") -> bool:
        """True when adding drops to the other's cup makes this one: no bottle's share has to shrink."""
        if not self.drops or not other.drops or not set(other.drops) <= set(self.drops):
            return False
        scale = max(n / self.drops[bottle] for bottle, n in other.drops.items())
        grown = {bottle: n * scale for bottle, n in self.drops.items()}
        return all(grown[bottle] >= n - 1e-9 for bottle, n in other.drops.items()) and scale <= 12


def clean_minutes(before: Paint, after: Paint, cleaning: Cleaning = CLEANING) -> float:
    """Minutes from one colour to the next: nearly none where drops are only added to the cup."""
    if before == after or (before.drops and before.drops == after.drops):
        return 0.0
    if after.made_from(before):
        return min(ADDING, _full(before, after, cleaning))
    return _full(before, after, cleaning)


def _full(before: Paint, after: Paint, cleaning: Cleaning) -> float:
    shows, lighter = _features(before, after)
    return cleaning.always + cleaning.shows * shows + cleaning.lighter * lighter


def _features(before: Paint, after: Paint) -> tuple[float, float]:
    old, new = lab_of_hex(before.hex), lab_of_hex(after.hex)
    return log(1 + float(ciede2000(old, new))), max(0.0, float(new[0] - old[0])) / 10


def changes(paints: Sequence[Paint], cleaning: Cleaning = CLEANING) -> np.ndarray:
    """Minutes of every change, shape (n, n): row before, column after, nothing on the diagonal."""
    return np.array([[clean_minutes(a, b, cleaning) for b in paints] for a in paints]).reshape(
        len(paints), len(paints)
    )


def learn(timings: Sequence[tuple[Paint, Paint, float]], usual: Cleaning = CLEANING) -> Cleaning:
    """Her own figures from (before, after, minutes): least squares held near the usual ones, never negative.

    The scatter of a timing grows with its minutes, so its weight shrinks. Raises ValueError for minutes that
    are no number from 0 to 60.
    """
    prior = np.array([usual.always, usual.shows, usual.lighter])
    if not timings:
        return usual
    rows, wanted = [], []
    for before, after, minutes in timings:
        if not isfinite(minutes) or not 0 <= minutes <= 60:
            raise ValueError("Cleaning takes 0 to 60 minutes.")
        weight = 1 / (LOG_SCATTER * max(minutes, 0.3))
        rows.append(np.array([1.0, *_features(before, after)]) * weight)
        wanted.append(minutes * weight)
    held = np.diag(1 / (PRIOR_SHARE * prior) ** 2)
    matrix = np.array(rows)
    found = np.linalg.solve(matrix.T @ matrix + held, matrix.T @ np.array(wanted) + held @ prior)
    always, shows, lighter = np.maximum(found, 0.0)
    return Cleaning(float(always), float(shows), float(lighter), len(timings))

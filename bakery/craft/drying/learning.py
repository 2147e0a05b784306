"""What touches teach about her kitchen: how much slower or faster it dries than the model says.

Nobody watches icing dry, so a touch says only "hard by then" or "still soft then": both count. The ratio of
real to modelled hours is lognormal; its mean b for one kitchen and kind of air starts at nothing known
(spread 0.30) and its posterior is summed on a grid of b. A touch that the rest cannot explain is held back
and shown.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import erf, exp, inf, isfinite, log, sqrt

import numpy as np

from .times import PER_BATCH, Bias

__all__ = ["Learnt", "Touch", "learn"]

PRIOR = Bias().variance
GRID = np.linspace(-1.8, 1.8, 601)
"""Values of b that are reckoned with: from six times faster to six times slower."""
LEAST = 0.015
"""Chance under all the other touches below which a touch is held back."""
STRAY = 0.02
"""Chance that any touch is a slip: no single one can move the answer without bound."""


@dataclass(frozen=True)
class Touch:
    """Of one tray: soft at `soft` hours after the last cookie, hard at `hard` hours; either may be unknown.

    `model` is what the model gave for that tray in that room [h], `unmeasured` the spread of its ratio from
    what was not measured (thickness, humidity, warmth) [log units].
    """

    model: float
    soft: float | None = None
    hard: float | None = None
    unmeasured: float = 0.0

    def __post_init__(self):
        given = [each for each in (self.soft, self.hard) if each is not None]
        if not given or not all(isfinite(each) and 0 <= each <= 240 for each in given):
            raise ValueError("A touch is hard or soft, at most ten days after the flood.")
        if not 0 < self.model <= 1000 or not 0 <= self.unmeasured <= 2:
            raise ValueError("A touch needs a time to be compared with.")
        if self.soft is not None and self.hard is not None and self.soft > self.hard:
            raise ValueError("It was hard before it was soft.")

    @property
    def bounds(self) -> tuple[float, float]:
        """The log of real over modelled hours lies between these."""
        low = -inf if not self.soft else log(self.soft / self.model)
        high = inf if self.hard is None else log(max(self.hard, 1e-3) / self.model)
        return low, high


@dataclass(frozen=True)
class Learnt:
    """What is known of her kitchen now, how many touches it rests on, and which were held back."""

    bias: Bias
    rests_on: int = 0
    held_back: tuple[int, ...] = ()

    @property
    def factor(self) -> float:
        """How many times the model's hours it usually takes here."""
        return exp(self.bias.mean)


def learn(touches: Sequence[Touch], prior: Bias | None = None) -> Learnt:
    """The kitchen's bias after these touches; `held_back` counts them from nought.

    Each touch is weighed against all the others: one whose chance under them is less than 1.5 in a hundred is
    left out, at most a quarter of all.
    """
    prior = prior or Bias(0.0, PRIOR)
    if not touches:
        return Learnt(prior)
    chances = np.array([_chance(touch) for touch in touches])
    held: list[int] = []
    for _ in range(len(touches) // 4):
        kept = [i for i in range(len(touches)) if i not in held]
        odd = [(_left_out(chances, kept, i, prior), i) for i in kept]
        least, which = min(odd)
        if least >= LEAST:
            break
        held.append(which)
    kept = [i for i in range(len(touches)) if i not in held]
    weights = _posterior(chances[kept], prior)
    mean = float((weights * GRID).sum())
    variance = float((weights * (GRID - mean) ** 2).sum())
    return Learnt(Bias(mean, variance), len(kept), tuple(sorted(held)))


@lru_cache(maxsize=4096)
def _chance(touch: Touch) -> np.ndarray:
    """Chance of the touch for every b of the grid."""
    spread = sqrt(PER_BATCH**2 + touch.unmeasured**2)
    low, high = touch.bounds
    sure = _below((high - GRID) / spread) - _below((low - GRID) / spread)
    return STRAY * 0.5 + (1 - STRAY) * np.maximum(sure, 0.0)


def _below(z: np.ndarray) -> np.ndarray:
    """Standard normal distribution."""
    return np.array([0.5 * (1 + erf(each / sqrt(2))) if isfinite(each) else float(each > 0) for each in z])


def _posterior(chances: np.ndarray, prior: Bias) -> np.ndarray:
    logs = np.log(chances).sum(axis=0) - (GRID - prior.mean) ** 2 / (2 * prior.variance)
    weights = np.exp(logs - logs.max())
    return weights / weights.sum()


def _left_out(chances: np.ndarray, kept: list[int], i: int, prior: Bias) -> float:
    """Chance of one touch under what the others say, beside that of a slip."""
    others = chances[[j for j in kept if j != i]]
    return float((_posterior(others, prior) * (chances[i] - STRAY * 0.5)).sum())

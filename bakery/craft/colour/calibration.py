"""What sprayed swatches teach about the bottles, and how sure a prediction is.

Four figures a bottle (its scattering, and its absorption in three broad bands, all as logarithms) start
from nothing known and move only as far as the swatches ask: the most probable values under normal priors,
found by Levenberg and Marquardt's method (Marquardt, J. SIAM 11 (1963) 431-441) on the residuals in Lab. The
bottles' own swatches are data too. The spread of a prediction comes from the curvature there, from the hand's
coverage and from what no model catches.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from .layer import BUMPS, ICING, Bottle, Fit, absorption, inside, lab_of_mix, layer, outside
from .spaces import ciede2000, lab_of_hex, srgb_of_xyz, to_hex, xyz_of_lab
from .spectra import lab_of, spectrum_of_hex

__all__ = ["Calibration", "Predicted", "Swatch", "calibrate", "nudged", "predict", "swatches_to_spray"]

PRIOR_SCATTERING, PRIOR_BAND = 0.7, 0.4
"""How far bottles of one kind differ [log units]."""
NOISE = 2.0
"""Error of one measured swatch, spray and photo together [Lab units]."""
RESIDUAL = 1.6
"""What no model catches [Lab units on each axis], until her own swatches say."""
COVERAGE = 0.08
"""How evenly a hand sprays: spread of the coverage."""
DRAWS = 48
NUDGE = 0.7
"""Share of a measured miss that the next recipe for the same colour makes up for."""
OUTLIER = 12.0
"""A swatch this far off is held back and shown: a slip, or another light [colour difference]."""


@dataclass(frozen=True)
class Swatch:
    """A sprayed patch: drops by bottle id, the ground it lies on, the coats, and what colour it dried to."""

    drops: Mapping[str, float]
    hex: str
    ground: str = ICING
    coats: float = 1.0

    def __post_init__(self):
        lab_of_hex(self.hex)
        lab_of_hex(self.ground)
        if not self.drops or min(self.drops.values()) < 0 or sum(self.drops.values()) <= 0:
            raise ValueError("A swatch has drops of at least one bottle.")
        if not 0 < self.coats <= 10:
            raise ValueError("A swatch has one coat, or a few.")


@dataclass(frozen=True)
class Calibration:
    """The bottles as fitted, how sure each figure is, what no model caught, and the swatches held back."""

    bottles: tuple[Bottle, ...]
    spread: np.ndarray = field(repr=False, compare=False)
    moved: tuple[str, ...] = ()
    residual: float = RESIDUAL
    rests_on: int = 0
    held_back: tuple[int, ...] = ()


@dataclass(frozen=True)
class Predicted:
    """A prediction with its doubt: colour differences not passed one time in two and nine times in ten."""

    lab: tuple[float, float, float]
    usual: float
    slow: float


def calibrate(
    bottles: Sequence[Bottle], swatches: Sequence[Swatch], *, hold_back: bool = True
) -> Calibration:
    """The bottles refitted to the swatches; only bottles that occur in one move.

    A swatch that lies far from where all the others put it is held back, counted from nought in `held_back`.
    Raises ValueError for a swatch of an unknown bottle.
    """
    fresh = [replace(bottle, fit=Fit()) for bottle in bottles]
    places = {bottle.id: i for i, bottle in enumerate(fresh)}
    for swatch in swatches:
        if not set(swatch.drops) <= set(places):
            raise ValueError("A swatch is of a bottle that is not there.")
    usable = [
        (n, swatch) for n, swatch in enumerate(swatches) if all(fresh[places[b]].usable for b in swatch.drops)
    ]
    held: tuple[int, ...] = ()
    fitted = _fit(fresh, [swatch for _, swatch in usable])
    if hold_back and len(usable) > 2:
        far = [(_miss(fitted.bottles, swatch), n) for n, swatch in usable]
        worst = sorted((row for row in far if row[0] > OUTLIER), reverse=True)[: len(usable) // 4]
        if worst:
            held = tuple(sorted(n for _, n in worst))
            fitted = _fit(fresh, [swatch for n, swatch in usable if n not in held])
    return replace(fitted, held_back=held)


def _miss(bottles, swatch: Swatch) -> float:
    return float(ciede2000(_lab(bottles, swatch), lab_of_hex(swatch.hex)))


def _lab(bottles, swatch: Swatch) -> np.ndarray:
    used = [bottle for bottle in bottles if swatch.drops.get(bottle.id)]
    drops = [float(swatch.drops[bottle.id]) for bottle in used]
    return lab_of_mix(used, drops, ground=swatch.ground, coats=swatch.coats)


class _Sprayed:
    """Swatches as arrays, reckoned all at once: for a step of the fit, or for many draws."""

    def __init__(self, bottles: Sequence[Bottle], swatches: Sequence[Swatch]):
        plain = [absorption(replace(bottle, fit=Fit())) for bottle in bottles]
        self.k, self.s = np.array([k for k, _ in plain]), np.array([s for _, s in plain])
        drops = np.array([[float(one.drops.get(bottle.id, 0)) for bottle in bottles] for one in swatches])
        self.share = drops / drops.sum(axis=1, keepdims=True)
        self.ground = np.array([inside(spectrum_of_hex(one.ground)) for one in swatches])
        self.coats = np.array([[one.coats] for one in swatches])

    def labs(self, fits: np.ndarray, coats=None) -> np.ndarray:
        """Lab, shape (..., swatches, 3), of fits, shape (..., bottles, 4)."""
        k = self.share @ (self.k * np.exp(fits[..., 1:] @ BUMPS.T))
        s = (self.s * np.exp(fits[..., 0])) @ self.share.T
        return lab_of(outside(layer(k, s[..., None], self.ground, self.coats if coats is None else coats)))


def _fit(bottles: Sequence[Bottle], swatches: Sequence[Swatch]) -> Calibration:
    # All of them: one without a swatch stays where it is, but how unsure it is comes out of its own colour.
    moving = [bottle for bottle in bottles if bottle.usable]
    if not moving:
        return Calibration(tuple(bottles), np.zeros((0, 0)))
    data = [*swatches, *(Swatch({bottle.id: 1.0}, bottle.hex) for bottle in moving)]
    sprayed = _Sprayed(moving, data)
    wanted = np.array([lab_of_hex(swatch.hex) for swatch in data])
    scale = np.ones_like(wanted)  # eyes forgive more where colour is strong
    scale[:, 1:] += 0.03 * np.hypot(wanted[:, 1], wanted[:, 2])[:, None]
    prior = np.array([PRIOR_SCATTERING, PRIOR_BAND, PRIOR_BAND, PRIOR_BAND] * len(moving))

    def residuals(values: np.ndarray) -> np.ndarray:
        """Shape (..., 3 for a swatch and 4 for a bottle) of values, shape (..., 4 for a bottle)."""
        labs = sprayed.labs(values.reshape(*values.shape[:-1], -1, 4))
        missed = ((labs - wanted) / scale / NOISE).reshape(*values.shape[:-1], -1)
        return np.concatenate([missed, values / prior], axis=-1)

    def slopes(values: np.ndarray, here: np.ndarray) -> np.ndarray:
        return (residuals(values + 1e-4 * np.eye(len(values))) - here).T / 1e-4

    values, damp = np.zeros(4 * len(moving)), 1e-2
    here = residuals(values)
    slope = slopes(values, here)
    for _ in range(25):
        square = slope.T @ slope
        step = np.linalg.solve(square + damp * np.diag(np.diag(square)), -slope.T @ here)
        there = residuals(values + step)
        if there @ there < here @ here:
            gain = 1 - (there @ there) / (here @ here)
            values, here, damp = values + step, there, damp / 5
            if gain < 1e-7:
                break
            slope = slopes(values, here)
        else:
            damp *= 6
            if damp > 1e6:
                break
    spread = np.linalg.inv(slope.T @ slope)
    fits = {
        bottle.id: Fit(float(four[0]), tuple(float(v) for v in four[1:]), _count(bottle, swatches))
        for bottle, four in zip(moving, values.reshape(-1, 4), strict=True)
    }
    found = tuple(replace(one, fit=fits[one.id]) if one.id in fits else one for one in bottles)
    return Calibration(found, spread, tuple(fits), _residual(found, swatches), len(swatches))


def _count(bottle: Bottle, swatches: Sequence[Swatch]) -> int:
    return sum(1 for swatch in swatches if swatch.drops.get(bottle.id))


def _residual(bottles, swatches) -> float:
    """What her own swatches leave unexplained, shrunk towards the starting figure by ten swatches' weight."""
    if not swatches:
        return RESIDUAL
    missed = np.array([_lab(bottles, s) - lab_of_hex(s.hex) for s in swatches])
    each = (missed**2).mean(axis=1)
    return float(np.sqrt((10 * RESIDUAL**2 + np.minimum(each, 36.0).sum()) / (10 + len(swatches))))


def predict(
    known: Calibration,
    drops: Mapping[str, float],
    *,
    ground: str = ICING,
    coats: float = 1.0,
    seed: int = 1,
) -> Predicted:
    """The colour that drops by bottle id dry to, and its doubt. Seeded; raises as `mixed` does."""
    swatch = Swatch(drops, "#000000", ground, coats)
    centre = _lab(known.bottles, swatch)
    rng = np.random.default_rng(seed)
    places = {bottle.id: i for i, bottle in enumerate(known.bottles)}
    used = [places[b] for b, n in drops.items() if n]
    spread = np.zeros((4 * len(used), 4 * len(used)))
    for row, i in enumerate(used):
        for column, j in enumerate(used):
            block = _block(known, known.bottles[i].id, known.bottles[j].id)
            spread[4 * row : 4 * row + 4, 4 * column : 4 * column + 4] = block
    root = np.linalg.cholesky(spread + 1e-9 * np.eye(len(spread)))
    bottles = [known.bottles[i] for i in used]
    fits = np.array([[bottle.fit.scattering, *bottle.fit.bands] for bottle in bottles])
    fits = fits + (rng.standard_normal((DRAWS, len(spread))) @ root.T).reshape(DRAWS, -1, 4)
    hand = np.clip(coats * (1 + COVERAGE * rng.standard_normal((DRAWS, 1, 1))), 0.05, 10)
    labs = _Sprayed(bottles, [swatch]).labs(fits, hand)[:, 0]
    far = ciede2000(labs + known.residual * rng.standard_normal((DRAWS, 3)), centre)
    usual, slow = np.quantile(far, [0.5, 0.9])
    return Predicted(tuple(float(v) for v in centre), float(usual), float(slow))


def _block(known: Calibration, first: str, second: str) -> np.ndarray:
    i, j = 4 * known.moved.index(first), 4 * known.moved.index(second)
    return known.spread[i : i + 4, j : j + 4]


def nudged(wanted: str, measured: str, predicted: str = "") -> str:
    """What to ask for next time, when a recipe that should dry to `predicted` (without it, to `wanted`) dried
    to `measured`: past it by most of that.
    """
    aim = lab_of_hex(wanted) + NUDGE * (lab_of_hex(predicted or wanted) - lab_of_hex(measured))
    return to_hex(srgb_of_xyz(xyz_of_lab(aim)))


def swatches_to_spray(
    bottles: Sequence[Bottle], done: Sequence[Swatch] = (), count: int = 3
) -> list[dict[str, int]]:
    """The next swatches worth most: each colour one to three with white, then colours in equal parts.

    Single colours sprayed alone hide how strong they are. Already sprayed ratios are left out.
    """
    whites = [b for b in bottles if b.usable and b.kind == "white"]
    colours = [b for b in bottles if b.usable and b.kind != "white"]
    known = {_ratio(swatch.drops) for swatch in done}
    wanted = [{colour.id: 1, whites[0].id: 3} for colour in colours] if whites else []
    wanted += [{a.id: 1, b.id: 1} for n, a in enumerate(colours) for b in colours[n + 1 :]]
    seen = {bottle.id: sum(1 for s in done if s.drops.get(bottle.id)) for bottle in bottles}
    left = [drops for drops in wanted if _ratio(drops) not in known]
    mixes = [d for d in left if not (whites and whites[0].id in d)]
    tints = sorted((d for d in left if d not in mixes), key=lambda d: min(seen[b] for b in d))
    return (tints + sorted(mixes, key=lambda d: sum(seen[b] for b in d)))[:count]


def _ratio(drops: Mapping[str, float]) -> tuple:
    total = sum(drops.values())
    return tuple(sorted((bottle, round(n / total, 3)) for bottle, n in drops.items() if n))

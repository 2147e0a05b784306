"""A sprayed coat over icing: Kubelka and Munk's two constants, with the surface's own reflection.

Kubelka & Munk, Z. Tech. Phys. 12 (1931) 593-601 (the layer over a ground); Saunderson, J. Opt. Soc. Am. 32
(1942) 727-736 (the surface). A mixture's absorption and scattering are the shares' sums. One formula holds
from a clear dye (scattering near nothing: Beer-Lambert over the icing) to an opaque white. The surface's two
figures and the scattering of dye and white are starting points fitted to common practice, no source; her
swatches refit them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from . import ICING
from .spectra import BANDS, lab_of, spectrum_of_hex

__all__ = [
    "ICING",
    "SCATTERING",
    "Bottle",
    "Fit",
    "absorption",
    "inside",
    "lab_of_mix",
    "layer",
    "mixed",
    "outside",
]

SURFACE, INNER = 0.03, 0.5
"""Light thrown back at the surface from outside, and from within (Saunderson's k1 and k2)."""
FLOOR = 0.01
"""Darkest reflectance taken seriously inside the layer; with the surface, nothing is darker than L* 22."""
SCATTERING = {"dye": 0.03, "opaque": 1.0, "white": 3.0}
"""Scattering of one share at the usual coat, against its thickness."""
CENTRES, WIDTH = (450.0, 540.0, 630.0), 45.0
"""Three broad bands by which a swatch may reshape a bottle's absorption [nm]."""


@dataclass(frozen=True)
class Fit:
    """What swatches taught of a bottle, as logarithms: its scattering, its absorption in three bands."""

    scattering: float = 0.0
    bands: tuple[float, float, float] = (0.0, 0.0, 0.0)
    swatches: int = 0


@dataclass(frozen=True)
class Bottle:
    """An airbrush colour: its dried swatch at the usual coat on white icing, and whether it hides.

    `kind` is dye, opaque or white; `shimmer` (pearl, metallic, neon) breaks the model: no prediction.
    """

    id: str
    name: str
    hex: str
    kind: str = "dye"
    shimmer: bool = False
    fit: Fit = field(default_factory=Fit)

    def __post_init__(self):
        if self.kind not in SCATTERING:
            raise ValueError("A bottle is a dye, an opaque colour or a white.")
        spectrum_of_hex(self.hex)

    @property
    def usable(self) -> bool:
        """True where the model holds for it."""
        return not self.shimmer


def inside(reflectance) -> np.ndarray:
    """Reflectance as the layer itself has it, without the surface (Saunderson, inwards)."""
    r = np.asarray(reflectance, dtype=float)
    return np.clip((r - SURFACE) / (1 - SURFACE - INNER + INNER * r), FLOOR, 1 - 1e-6)


def outside(reflectance) -> np.ndarray:
    """Reflectance as the eye meets it (Saunderson, outwards)."""
    r = np.asarray(reflectance, dtype=float)
    return SURFACE + (1 - SURFACE) * (1 - INNER) * r / (1 - INNER * r)


def layer(absorbing, scattering, ground, coats=1.0) -> np.ndarray:
    """Reflectance of a coat of `absorbing` K and `scattering` S over `ground`, all inside the layer.

    Arrays that broadcast; `coats` is the coverage against the usual coat.
    """
    k, s = np.asarray(absorbing, dtype=float) * coats, np.asarray(scattering, dtype=float) * coats
    g = np.maximum(np.sqrt(k * (k + 2 * s)), 1e-6)
    c = g / np.tanh(g)
    return np.clip((s - ground * (k + s) + ground * c) / (k + s - ground * s + c), 0.0, 1.0)


def _weights() -> np.ndarray:
    bumps = np.exp(-0.5 * ((BANDS[:, None] - np.array(CENTRES)) / WIDTH) ** 2) + 1e-12
    return bumps / bumps.sum(axis=1, keepdims=True)


BUMPS = _weights()


@lru_cache(maxsize=512)
def _plain(shade: str, kind: str, ground: str) -> bytes:
    """Absorption by band before any swatch, as bytes."""
    wanted, below = inside(spectrum_of_hex(shade)), inside(spectrum_of_hex(ground))
    low, high = np.zeros(len(BANDS)), np.full(len(BANDS), 60.0)
    for _ in range(50):
        middle = (low + high) / 2
        darker = layer(middle, SCATTERING[kind], below) < wanted
        high, low = np.where(darker, middle, high), np.where(darker, low, middle)
    return np.maximum((low + high) / 2, 1e-5).tobytes()


def absorption(bottle: Bottle, ground: str = ICING) -> tuple[np.ndarray, float]:
    """(K by band, S) of one share at the usual coat, so that the bottle alone over `ground` shows its swatch.

    Bisection on K: more absorption is always darker. What a swatch taught is laid on top.
    """
    found = np.frombuffer(_plain(bottle.hex, bottle.kind, ground))
    own = SCATTERING[bottle.kind]
    return found * np.exp(BUMPS @ np.array(bottle.fit.bands)), own * float(np.exp(bottle.fit.scattering))


def mixed(bottles: Sequence[Bottle], drops, *, ground: str = ICING, coats: float = 1.0) -> np.ndarray:
    """Reflectance, shape (..., 31), of drops, shape (..., number of bottles), sprayed over `ground`.

    Raises ValueError for no drop at all, drops below nothing, or a bottle that the model does not know.
    """
    drops = np.asarray(drops, dtype=float)
    if drops.shape[-1] != len(bottles) or (drops < 0).any() or not (drops.sum(axis=-1) > 0).all():
        raise ValueError("A recipe has drops of at least one bottle.")
    if not all(bottle.usable for bottle in bottles) or not 0 < coats <= 10:
        raise ValueError("Pearl, metallic and neon cannot be predicted.")
    known = [absorption(bottle) for bottle in bottles]
    share = drops / drops.sum(axis=-1, keepdims=True)
    k = share @ np.array([k for k, _ in known])
    s = share @ np.array([[s] for _, s in known])
    return outside(layer(k, s, inside(spectrum_of_hex(ground)), coats))


def lab_of_mix(bottles: Sequence[Bottle], drops, *, ground: str = ICING, coats: float = 1.0) -> np.ndarray:
    """CIE Lab of `mixed`."""
    return lab_of(mixed(bottles, drops, ground=ground, coats=coats))

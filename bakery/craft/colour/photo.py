"""A colour read from a photograph, with a white card in the same light to go by.

The light of a kitchen tints everything alike: dividing by the card, in linear light, takes the tint out
(von Kries, 1902, in its simplest form). What white paper throws back is common practice, no source.
"""

import numpy as np

from .spaces import ciede2000, lab_of_xyz, to_hex, xyz_of_srgb

__all__ = ["CARD", "by_white", "uneven"]

CARD = 0.90
"""Share of light that plain white paper or card throws back."""
BLOWN, DARK = 0.985, 0.12
"""Linear light from which a patch is too bright for the camera; below which a card is too dark to go by."""
UNEVEN = 5.0
"""CIEDE2000: a patch of which a quarter lies further than this from its middle is no one colour."""


def by_white(patch, white, card: float = CARD) -> str:
    """ "#rrggbb" of `patch` as white light would show it; both are sRGB in [0, 1], shape (pixels, 3).

    The middle pixel of each counts, so that a speck or a crumb does not. Raises ValueError, with a sentence,
    for a card that is overexposed or too dark to be white.
    """
    seen, light = (np.median(_linear(one), axis=0) for one in (patch, white))
    if light.max() > BLOWN:
        raise ValueError(
            "The white card is too bright in this picture, its colour is lost: turn the light away."
        )
    if light.min() < DARK:
        raise ValueError("That spot is too dark to be the white card.")
    found = np.clip(seen / light * card, 0, 1)
    return to_hex(np.where(found <= 0.0031308, 12.92 * found, 1.055 * found ** (1 / 2.4) - 0.055))


def uneven(patch) -> bool:
    """True where a patch (sRGB in [0, 1], shape (pixels, 3)) holds an edge, a shadow or a crumb too large to
    be passed over: a quarter of it lies further than UNEVEN from its middle pixel.
    """
    seen = np.asarray(patch, dtype=float).reshape(-1, 3)
    lab = lab_of_xyz(xyz_of_srgb(np.vstack([np.median(seen, axis=0), seen])))
    return bool(np.quantile(ciede2000(lab[1:], lab[0]), 0.75) > UNEVEN)


def _linear(srgb) -> np.ndarray:
    srgb = np.asarray(srgb, dtype=float).reshape(-1, 3)
    return np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)

"""What a cookie takes of everything, and what stays behind. Every figure: common practice, no source."""

from math import ceil

from ..work.kinds import COVER, ICING_DENSITY

__all__ = [
    "BAG_HOLDS",
    "CONSISTENCY",
    "CUP_LOSS",
    "DROPS_PER_DOZEN",
    "bags_for",
    "icing_on_cookie",
    "icing_to_mix",
    "water_to_loosen",
]

BAG_SHARE, BAG_FIXED = 0.15, 20.0
"""Icing left in bags and bowls: a share, and grams a bag."""
BAG_HOLDS = 340.0
"""Icing that one filling of a bag holds without spilling over [g]."""
DROPS_PER_DOZEN = 8.0
"""Airbrush colour [drops a colour a dozen cookies of 46 cm2 and a placing]."""
CUP_LOSS = 6.0
"""Drops that stay in the cup and are sprayed out at each cleaning."""
FLOOD, SPREAD, DETAIL = "flood, heals in 10 s", "spread, keeps a knife's track", "detail, heals in 20 s"
CONSISTENCY = {
    "flood": FLOOD,
    "icing_pass": SPREAD,
    "pipe": DETAIL,
    "letter": DETAIL,
    "transfer": DETAIL,
}
"""The consistency each kind of job needs."""
WATER = {FLOOD: 4.1, DETAIL: 1.7, SPREAD: 0.8}
"""Water that loosens 100 g of stiff icing [mL]: a cup of about 300 g takes 1 teaspoon to detail, 2 to 3 to
flood; half a teaspoon to spread is our own estimate. The seconds test decides, not the volume."""


def icing_on_cookie(area_cm2: float, thickness_mm: float = 2.0, cover: float = COVER) -> float:
    """Icing of a flood coat on one cookie [g]: area x cover x thickness x density."""
    return area_cm2 * cover * thickness_mm / 10 * ICING_DENSITY


def icing_to_mix(grams_on_cookies: float, bags: int = 1) -> float:
    """Icing to mix [g] so that `grams_on_cookies` end on cookies, with what stays in bags and bowls."""
    return 0.0 if grams_on_cookies <= 0 else grams_on_cookies * (1 + BAG_SHARE) + BAG_FIXED * max(1, bags)


def bags_for(grams: float) -> int:
    """How many times a bag is filled with so much icing [g]."""
    return max(0, ceil(grams / BAG_HOLDS - 1e-9))


def water_to_loosen(grams: float, consistency: str) -> float:
    """Water [mL] in `grams` of icing of a consistency, beyond what stiff icing has; 0 for an unknown one."""
    share = WATER.get(consistency, 0.0) / 100
    return max(0.0, grams) * share / (1 + share)

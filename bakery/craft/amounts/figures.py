"""What a cookie takes of everything, and what stays behind. Every figure: common practice, no source."""

from math import ceil, floor, pi, sqrt

from ..work.kinds import COVER, ICING_DENSITY

__all__ = [
    "BAG_HOLDS",
    "CONSISTENCY",
    "CUP_LOSS",
    "DROPS_PER_DOZEN",
    "bags_for",
    "icing_on_cookie",
    "icing_to_mix",
    "pieces_a_sheet",
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
SHEET_MM = (203.0, 254.0)
"""A sheet of wafer paper, 8 by 10 inches."""
GAP_MM = 2.0
"""Between two pieces on a sheet, for the scissors."""


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


def pieces_a_sheet(width_mm: float, height_mm: float) -> int:
    """Pieces of that size in rows on one wafer sheet, turned whichever way gives more; at least 1.

    A piece larger than the sheet still takes a whole sheet. Raises ValueError for a piece of no size.
    """
    if width_mm <= 0 or height_mm <= 0:
        raise ValueError("A piece has a width and a height.")
    wide, high = width_mm + GAP_MM, height_mm + GAP_MM

    def rows(across: float, down: float) -> int:
        return floor((SHEET_MM[0] + GAP_MM) / across) * floor((SHEET_MM[1] + GAP_MM) / down)

    return max(1, rows(wide, high), rows(high, wide))


def side_of(area_cm2: float) -> float:
    """Width [mm] of a round piece of that area [cm2]."""
    return 2 * sqrt(area_cm2 / pi) * 10

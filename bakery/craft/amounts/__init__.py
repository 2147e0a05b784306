"""How much of everything: from the jobs of orders to batches, grams, drops, sheets and boxes."""

from .draws import Draw, Sprayed, sprayed
from .figures import (
    CONSISTENCY,
    CUP_LOSS,
    DROPS_PER_DOZEN,
    bags_for,
    icing_on_cookie,
    icing_to_mix,
    water_to_loosen,
)
from .materials import Book, Material, materials_of
from .needs import Amounts, Dough, IcingBag, amounts
from .packs import BOX_HOLDS, PLATTER_HOLDS, Packed, Packs, box_for, packs_of

__all__ = [
    "BOX_HOLDS",
    "CONSISTENCY",
    "CUP_LOSS",
    "DROPS_PER_DOZEN",
    "PLATTER_HOLDS",
    "Amounts",
    "Book",
    "Dough",
    "Draw",
    "IcingBag",
    "Material",
    "Packed",
    "Packs",
    "Sprayed",
    "amounts",
    "bags_for",
    "box_for",
    "icing_on_cookie",
    "icing_to_mix",
    "materials_of",
    "packs_of",
    "sprayed",
    "water_to_loosen",
]

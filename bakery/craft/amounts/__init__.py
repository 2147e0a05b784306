"""How much of everything: from the jobs of orders to batches, grams, drops, sheets and boxes."""

from .draws import Draw, Sprayed, sprayed
from .figures import (
    CONSISTENCY,
    CUP_LOSS,
    DROPS_PER_DOZEN,
    bags_for,
    icing_on_cookie,
    icing_to_mix,
    pieces_a_sheet,
    water_to_loosen,
)
from .materials import Book, Material, materials_of
from .needs import Amounts, Dough, IcingBag, amounts
from .packs import BOX_HOLDS, PLATTER_HOLDS, Packs, packs_of

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
    "Packs",
    "Sprayed",
    "amounts",
    "bags_for",
    "icing_on_cookie",
    "icing_to_mix",
    "materials_of",
    "packs_of",
    "pieces_a_sheet",
    "sprayed",
    "water_to_loosen",
]

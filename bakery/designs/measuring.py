"""What is cut out of a stencil, from a kept picture of it: the share, and a picture to agree to."""

import io
from dataclasses import dataclass
from functools import lru_cache

from bakery.studio.models import Picture

SIDE = 420
"""Dots along the longer side that are counted: a hundredth of the face is then some hundred dots."""
OPEN, SHEET, OUTSIDE = (31, 90, 142), (241, 214, 171), (255, 254, 250)
OUTLINED = {"line": True, "all": False}


@dataclass(frozen=True)
class Measured:
    """How much is cut out, by this reading of the picture."""

    percent: int
    level: int
    outlined: bool
    sentence: str
    doubt: str = ""


def measured(picture: Picture, *, level: int | None, cut: str, edge: str) -> Measured:
    """The share as the picture is read so; `level` None finds one by itself."""
    found, used = _read(picture.pk, picture.sha256, level, cut, edge)
    percent = round(100 * found.share)
    where = "inside the outline" if found.outlined else "of the whole picture"
    doubt = ""
    if not 1 <= percent <= 90:
        doubt = "That is hardly a stencil. Try the other choice for what is cut out, or move the slider."
    return Measured(percent, used, found.outlined, f"{percent} % is cut out, {where}.", doubt)


def shown(picture: Picture, *, level: int | None, cut: str, edge: str) -> bytes:
    """A PNG: openings blue, the sheet biscuit, what lies outside white."""
    import numpy as np
    from PIL import Image

    found, _ = _read(picture.pk, picture.sha256, level, cut, edge)
    dots = np.empty((*found.inside.shape, 3), dtype=np.uint8)
    dots[:] = OUTSIDE
    dots[found.inside] = SHEET
    dots[found.inside & found.open] = OPEN
    out = io.BytesIO()
    Image.fromarray(dots).save(out, "PNG")
    return out.getvalue()


@lru_cache(maxsize=16)
def _read(pk: int, sha: str, level: int | None, cut: str, edge: str):
    import numpy as np
    from PIL import Image

    from bakery.craft.airbrush.cutout import cut_out, threshold_of

    jpeg = Picture.objects.values_list("jpeg", flat=True).get(pk=pk, sha256=sha)
    with Image.open(io.BytesIO(bytes(jpeg)), formats=("JPEG",)) as image:
        small = image.convert("L")
        small.thumbnail((SIDE, SIDE))
        grey = np.asarray(small)
    used = level or min(255, max(1, threshold_of(grey)))
    return cut_out(grey, dark=cut != "light", threshold=used, outlined=OUTLINED.get(edge)), used

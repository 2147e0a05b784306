"""How large a cookie is, by its cutter; how large a piece of wafer paper."""

import re
from math import pi, sqrt

from ..work import layers_of
from ..work.pieces import Job
from ..work.spec import USUAL_CM2, LineSpec

__all__ = ["face_of", "pieces_of"]

_CUTTER = re.compile(r"(\d{1,4}) x (\d{1,4})$")


def pieces_of(job: Job, line: LineSpec | None) -> tuple[int, tuple[float, float]]:
    """Pieces of wafer paper that a job lays, and the width and height [mm] of each: the cookie's where nobody
    has said.
    """
    layers = layers_of(line) if line else ()
    layer = layers[job.layer] if job.layer is not None and job.layer < len(layers) else None
    if layer is None or layer.kind != "wafer":
        return job.cookies, face_of(line)
    return job.cookies * layer.pieces, layer.piece_mm or face_of(line)


def face_of(line: LineSpec | None) -> tuple[float, float]:
    """Width and height [mm] of the cookie: its cutter's, else those of a round of its area."""
    found = _CUTTER.search(line.shape) if line else None
    if found and int(found[1]) and int(found[2]):
        return float(found[1]), float(found[2])
    side = round(2 * sqrt((line.area_cm2 if line else USUAL_CM2) / pi) * 10, 1)
    return side, side

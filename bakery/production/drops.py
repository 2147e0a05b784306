"""Drops that spray runs take of each colour: cut-out area and coverage, and what the cup keeps."""

from itertools import takewhile
from math import ceil

from django.db.models import Prefetch

from bakery.craft.amounts import CUP_LOSS
from bakery.craft.work import Layer, Shop
from bakery.craft.work.spraying import drops_on
from bakery.designs.models import Design
from bakery.designs.queries import with_layers
from bakery.designs.shop import stencils
from bakery.orders.adapters import made_layers
from bakery.orders.models import OrderLine


def drops_of(jobs) -> dict[int, dict[str, int]]:
    """{job pk: {colour: drops}} of the spray runs among these jobs; a few queries, none without one."""
    runs = [job for job in jobs if job.kind == "spray"]
    if not runs:
        return {}
    wanted = {job.line_id for job in runs if job.line_id}
    if not wanted:
        return {job.pk: _of_run(job, None, Shop()) for job in runs}
    lines = OrderLine.objects.filter(pk__in=wanted)
    lines = lines.select_related("kind", "variation__base", "variation__motif", "variation__detail")
    lines = lines.prefetch_related(Prefetch("design", with_layers(Design.objects.all())))
    known, shop = {line.pk: line for line in lines}, Shop(**stencils())
    return {job.pk: _of_run(job, known.get(job.line_id), shop) for job in runs}


def _of_run(job, line, shop) -> dict[str, int]:
    area, layers = _sprayed(job, line)
    found = {}
    for colour in job.colours:
        mine = [layer for layer in layers if colour in layer.colours]
        drops = sum(drops_on(layer, area, job.cookies, shop) for layer in mine)
        found[colour] = ceil(drops + CUP_LOSS - 1e-9)
    return found


def _sprayed(job, line):
    """Face of a cookie [cm2] and the layers of the run; without a design one placing of all its colours."""
    plain = (None, (Layer("spray", tuple(job.colours)),))
    if line is None or line.design is None or job.layer is None:
        return plain
    rest = made_layers(line)[job.layer :]
    if not rest or rest[0].kind != "spray":
        return plain
    more = takewhile(lambda layer: layer.kind == "spray" and layer.wait == "", rest[1:])
    return float(line.design.area_cm2), (rest[0], *more)

"""The pieces that are wanted. Spares are in: a cookie that is cut to spare gets its piece too."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Prefetch

from bakery.craft.work import cut_of
from bakery.designs.models import Design, Layer
from bakery.designs.queries import with_layers
from bakery.orders.adapters import layer_rows, order_spec
from bakery.studio.adapters import shop

from ..models import Job

WAFER = Layer.Kind.WAFER


@dataclass(frozen=True)
class Wanted:
    """So many pieces of one size; without a size only the design is known."""

    title: str
    what_for: str
    count: int
    width: int | None
    height: int | None
    slug: str = ""


def of_layer(layer: Layer, design: Design, cookies: int, what_for: str) -> Wanted:
    title = f"{design.name}, {layer.title}" if layer.title else design.name
    return Wanted(
        title, what_for, cookies * layer.pieces, layer.piece_width_mm, layer.piece_height_mm, design.slug
    )


def wafer_layers(design: Design) -> list[Layer]:
    """Its wafer layers; `layers` should be prefetched."""
    return [layer for layer in design.layers.all() if layer.kind == WAFER]


def of_design(design: Design, cookies: int) -> list[Wanted]:
    return [of_layer(layer, design, cookies, f"{cookies} of them") for layer in wafer_layers(design)]


def of_order(order) -> list[Wanted]:
    """All wafer layers of an order's lines, spares included (`queries.with_lines` should have read it)."""
    own, lines = shop(), list(order.lines.all())
    cut = {line.id: cut_of(line, own) for line in order_spec(order).lines}
    return [
        of_layer(layer, line.design, cut.get(f"l{line.position}", line.quantity), order.title)
        for line in lines
        if line.design_id
        for layer in layer_rows(line)
        if layer.kind == WAFER
    ]


def has_wafer(order) -> bool:
    """Whether any of its lines gets a wafer piece; no query where `queries.with_lines` has read it."""
    lines = (line for line in order.lines.all() if line.design_id)
    return any(layer.kind == WAFER for line in lines for layer in layer_rows(line))


def of_jobs(first: datetime, last: datetime) -> list[Wanted]:
    """The wafer work planned between two moments and not done, by design and layer; bounded queries."""
    jobs = (
        Job.objects.filter(kind="wafer", planned_start__gte=first, planned_start__lt=last)
        .exclude(state=Job.State.DONE)
        .select_related("order", "line")
        .prefetch_related(Prefetch("line__design", with_layers(Design.objects.all())))
    )
    found = []
    for job in jobs:
        design = job.line.design if job.line else None
        layers = layer_rows(job.line) if design else []
        if job.layer is not None and job.layer < len(layers) and layers[job.layer].kind == WAFER:
            found.append(of_layer(layers[job.layer], design, job.cookies, job.order.title))
        elif not layers:
            found.append(Wanted(job.order.title, job.order.title, job.cookies, None, None))
    return joined(found)


def joined(wanted) -> list[Wanted]:
    """Jobs of several trays as one line."""
    found: dict[tuple, Wanted] = {}
    for one in wanted:
        key = (one.title, one.what_for, one.width, one.height, one.slug)
        before = found[key].count if key in found else 0
        found[key] = Wanted(one.title, one.what_for, before + one.count, one.width, one.height, one.slug)
    return list(found.values())

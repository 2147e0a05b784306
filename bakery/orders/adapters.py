"""Orders as the core wants them: rows or a form's data to frozen specs. The only place that translates."""

from __future__ import annotations

from dataclasses import replace

from django.utils import timezone

from bakery.craft.costing import made_simpler
from bakery.craft.work import LineSpec, OrderSpec
from bakery.designs.adapters import drawing_of, drawing_of_kind, layers_of, rows_still_there
from bakery.designs.models import Design
from bakery.designs.queries import with_layers

from . import queries
from .data import LineData, OrderData
from .models import Order, State
from .rows import data_of, highest_place, line_data
from .ways import known_ways

NEW = "new"
LETTERED = "lettered"


def order_spec(order: Order) -> OrderSpec:
    """One saved order; its lines, names and designs should be prefetched (`queries.with_lines`)."""
    designs = {line.design_id: line.design for line in order.lines.all() if line.design_id}
    ids = {line.pk: f"l{line.position}" for line in order.lines.all()}
    return _spec(data_of(order), order.key, designs, ids)


def spec_to_plan(order: Order) -> OrderSpec:
    """The same for the plan: of an order that is ready nothing is left to do, whatever was ticked off."""
    spec = order_spec(order)
    if order.state != State.READY:
        return spec
    packed = min(order.updated_at, spec.leaves)
    lines = tuple(replace(line, stage="packed", stage_at=packed) for line in spec.lines)
    return replace(spec, lines=lines)


def spec_of(data: OrderData, *, order: Order | None = None) -> OrderSpec:
    """An order that is still being typed; lines of a saved `order` keep their names, so that jobs do too."""
    ids = {line.pk: f"l{line.position}" for line in order.lines.all()} if order else {}
    last = highest_place(order) if order else 0
    if order and data.asked_at is None:
        data = replace(data, asked_at=order.created_at)
    key = order.key if order else NEW
    wanted = {line.design for line in data.lines if line.design}
    designs = (
        {design.pk: design for design in with_layers(Design.objects.filter(pk__in=wanted))} if wanted else {}
    )
    fresh = [line for line in data.lines if line.line not in ids]
    new_ids = {id(line): f"l{last + at}" for at, line in enumerate(fresh, 1)}
    return _spec(data, key, designs, ids, new_ids)


def planned_orders() -> list[Order]:
    """Every order that has to be made, by hand-over, in a bounded number of queries."""
    return list(queries.with_lines(queries.planned()))


def _spec(data: OrderData, key: str, designs: dict, ids: dict, new_ids: dict | None = None) -> OrderSpec:
    names = names_by_line(data, designs)
    lines = [
        _line(line, ids.get(line.line) or new_ids[id(line)], designs.get(line.design), share)
        for line, share in zip(data.lines, names, strict=True)
    ]
    return OrderSpec(
        id=key,
        title=data.title or data.who or "new order",
        lines=tuple(lines),
        hand_over=data.hand_over_at,
        event=data.event_at,
        way=data.way,
        travel_minutes=data.travel_minutes,
        distance_km=None if data.distance_km is None else float(data.distance_km),
        asked_days=asked_days(data),
        transit_days=data.transit_days,
        soft=data.for_stock,
        bake_ahead=data.bake_ahead,
        platter_holds=data.platter_holds,
    )


def asked_days(data: OrderData) -> int:
    """Whole days between asking and hand-over: from the day a kept order came in, else from today."""
    asked = timezone.localdate(data.asked_at) if data.asked_at else timezone.localdate()
    return max(0, (timezone.localdate(data.hand_over_at) - asked).days)


def _line(line: LineData, key: str, design: Design | None, names: int) -> LineSpec:
    spec = line_spec(line, key, design, names)
    return made_simpler(spec, line.ways) if line.ways else spec


def line_spec(line: LineData, key: str, design: Design | None, names: int = 0) -> LineSpec:
    """One line as it was asked for, before anything made it simpler."""
    variation = _variation(design, line.variation)
    return LineSpec(
        id=key,
        title=design.name if design else "",
        kind=design.kind.key if design else line.kind,
        quantity=line.quantity,
        spares=line.spares,
        designs=line.designs,
        colours=line.colours,
        layers=layers_of(design, variation) if design else (),
        area_cm2=float(design.area_cm2) if design else 46.0,
        names=names,
        packaging=line.packaging,
        stage=line.stage,
        stage_at=line.stage_at,
        base=variation.base.name if variation else "",
        shape=cutter_of(design) if design else "",
    )


def made_layers(row) -> tuple:
    """The core's layers of a saved line of a design as it is made, what was left off left out."""
    return made_simpler(line_spec(line_data(row), "l1", row.design), known_ways(row.ways)).layers


def layer_rows(row) -> list:
    """The rows of the same, in the same order: what a job's place among the layers counts in."""
    if not row.ways:
        return list(row.design.layers.all())
    return rows_still_there(row.design, made_layers(row))


def cutter_of(design: Design) -> str:
    """The cutter that blanks for this design are cut with: shape and size."""
    return f"{design.shape} {design.width_mm} x {design.height_mm}"


def _variation(design: Design | None, pk: int | None):
    return (
        next((found for found in design.variations.all() if found.pk == pk), None) if design and pk else None
    )


def letters(line: LineData, design: Design | None) -> bool:
    """Whether these cookies carry names."""
    if design is not None:
        return any(layer.kind == "lettering" for layer in design.layers.all()) or design.kind.key == LETTERED
    return line.kind == LETTERED


def names_by_line(data: OrderData, designs: dict) -> list[int]:
    """How many names each line letters: the lettered lines take them in turn, up to what they hold."""
    left, found = len(data.names), []
    lettered = [letters(line, designs.get(line.design)) for line in data.lines]
    for line, takes in zip(data.lines, lettered, strict=True):
        takes = takes or not any(
            lettered
        )  # names on an order without a lettered line go on whatever there is
        share = min(left, line.quantity) if takes else 0
        found.append(share)
        left -= share
    return found


def line_drawing(line, *, text: str = "") -> dict:
    """What a saved line looks like, for bakery.drawing.cookie."""
    return drawing_of_line(line_data(line), line.design, line.variation, text=text)


def drawing_of_line(data: LineData, design=None, variation=None, *, text: str = "") -> dict:
    """What a line looks like, saved or not; what was left off it is not drawn."""
    if not data.ways:
        return drawing_of(design, variation, text=text) if design else drawing_of_kind(data.kind, text=text)
    spec = made_simpler(line_spec(data, "l1", design), data.ways)
    if design:
        return drawing_of(design, variation, text=text, made=spec.layers)
    if spec.kind != data.kind:
        return drawing_of_kind(spec.kind)
    return drawing_of_kind(data.kind, text=text, made=spec.layers)


def order_drawing(order: Order) -> dict | None:
    """The cookie that stands for an order: its first line, with its first name where names are lettered."""
    lines = list(order.lines.all())
    if not lines:
        return drawing_of_kind("plain")
    names = [name.text for name in order.names.all()]
    lettered = lines[0].design is not None or lines[0].kind.key == LETTERED
    return line_drawing(lines[0], text=names[0][:14] if names and lettered else "")

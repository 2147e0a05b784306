"""From jobs to what each of them draws on, kept apart by order: the one place that reads jobs for amounts."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..work import Work, mean_area
from ..work.icing import steps_of
from ..work.pieces import Job
from ..work.spec import Layer, LineSpec, Shop
from ..work.spraying import drops_on
from .faces import pieces_of
from .figures import CONSISTENCY, CUP_LOSS

__all__ = ["Draw", "Sprayed", "draws_of", "sprayed"]

DOUGH, ICING, SPRAY, WAFER = "dough", "icing", "spray", "wafer"
MIXED_FOR = {
    "flood": ("flood",),
    "spread": ("icing_pass",),
    "detail": ("pipe", "letter"),
    "transfer": ("transfer",),
}
"""Jobs that use what is mixed under a name."""
PLAIN_AREA = 46.0
REST = ".rest"
"""What ends the id of a job made of what was left of another, whose icing is counted with the first."""


@dataclass(frozen=True)
class Draw:
    """What one job takes for one order of one thing.

    `key` is the colour and consistency of icing, the colour in the airbrush, the width and height of a wafer
    piece [mm]. `quantity` is in cookies of 46 cm2 (dough), grams on cookies (icing), drops, or pieces.
    """

    what: str
    key: tuple
    job: str
    order: str
    quantity: float
    cookies: int


def draws_of(works: Sequence[Work], jobs: Sequence[Job], icing: str = "layers") -> tuple[Draw, ...]:
    """All draws of some jobs of these works. Icing counts where it is laid ("layers") or mixed ("mixes")."""
    by_order = {work.order.id: work for work in works}
    lines = {(work.order.id, line.id): line for work in works for line in work.order.lines}
    areas = {name: mean_area(work) for name, work in by_order.items()}
    return tuple(draw for job in jobs for draw in _draws(job, by_order, lines, areas, icing))


def base_id(job: Job) -> str:
    """The id without the part that a long job was cut into, or the rest that was left of it."""
    name = job.id.split("/")[0]
    while name.endswith(REST):
        name = name.removesuffix(REST)
    return name


def _draws(job: Job, works, lines, areas, icing: str) -> Iterator[Draw]:
    if job.kind == "dough":
        for order, cookies in job.shared or ((job.order, job.cookies),):
            size = areas.get(order, PLAIN_AREA) / PLAIN_AREA
            yield Draw(DOUGH, (), job.id, order, cookies * size, cookies)
    elif job.kind == "spray":
        yield from _sprayed(job, works)
    elif job.kind == "wafer":
        pieces, size = pieces_of(job, lines.get((job.order, job.line)))
        yield Draw(WAFER, size, job.id, job.order, pieces, job.cookies)
    elif icing == "mixes" and job.kind == "mix":
        yield from _mixed(job, works)
    elif icing == "layers":
        yield from _laid(job)


def _laid(job: Job, name: str = "") -> Iterator[Draw]:
    if job.kind in CONSISTENCY and job.grams:
        colours = job.colours or ("white",)
        for colour in colours:
            key = (colour, CONSISTENCY[job.kind])
            yield Draw(ICING, key, name or job.id, job.order, job.grams / len(colours), job.cookies)


def _mixed(mix: Job, works: Mapping[str, Work]) -> Iterator[Draw]:
    """What its orders' layers take of a mixing; of one that is cut in two, its part."""
    kinds = MIXED_FOR.get(base_id(mix).rpartition(".")[2], ())
    found = [
        draw
        for order in mix.orders
        if order in works
        for job in works[order].jobs
        if job.kind in kinds and not job.id.endswith(REST)
        for draw in _laid(job, mix.id)
        if not mix.colours or draw.key[0] in mix.colours
    ]
    whole = sum(draw.quantity for draw in found)
    part = mix.grams / whole if "/" in mix.id and whole else 1.0
    for draw in found:
        yield Draw(draw.what, draw.key, draw.job, draw.order, draw.quantity * part, draw.cookies)


@dataclass(frozen=True)
class Sprayed:
    """What a spray run does for one line: its layers, on so many cookies. `line` None: nobody knows it."""

    order: str
    line: LineSpec | None
    layers: tuple[Layer, ...]
    cookies: int
    shop: Shop


def sprayed(job: Job, works: Mapping[str, Work]) -> Iterator[Sprayed]:
    """The lines that a spray run works on; a shared run has several. `works` by order."""
    for order, cookies, name in _parts_of(job):
        work = works.get(order)
        key = name.split(".")[1] if name.count(".") else job.line
        line = next((line for line in work.order.lines if line.id == key), None) if work else None
        layers = _sprayed_layers(work, line, name) or (Layer("spray", job.colours),)
        yield Sprayed(order, line, layers, cookies, work.shop if work else Shop())


def _sprayed(job: Job, works) -> Iterator[Draw]:
    """Drops by area, what is cut out, and coverage; and each order's part of what is cleaned away."""
    rows = list(sprayed(job, works))
    every = sum(row.cookies for row in rows) or 1
    for row in rows:
        area = row.line.area_cm2 if row.line else None
        for colour in job.colours:
            mine = [layer for layer in row.layers if colour in layer.colours]
            drops = sum(drops_on(layer, area, row.cookies, row.shop) for layer in mine)
            yield Draw(
                SPRAY, (colour,), job.id, row.order, drops + CUP_LOSS * row.cookies / every, row.cookies
            )


def _sprayed_layers(work: Work | None, line: LineSpec | None, name: str) -> tuple[Layer, ...]:
    """The layers that the run of that name sprays on a line."""
    if work is None or line is None:
        return ()
    for step in steps_of(work.order, line, work.shop):
        if step.layer.kind == "spray" and any(job.id == name for job in step.jobs):
            return step.layers
    return ()


def _parts_of(job: Job) -> Iterator[tuple[str, int, str]]:
    """(order, cookies, name of the single run): a shared one in the order of those it stands for."""
    whole = sum(count for _, count in job.parts)
    if not job.stands_for:
        yield job.order, job.cookies, base_id(job)
    elif len(job.stands_for) != len(job.parts) or not whole:
        for order, cookies in job.shared:
            name = next((name for name in job.stands_for if name.split(".")[0] == order), "")
            yield order, cookies, name
    else:
        part = job.cookies / whole  # a run cut in two holds a part of each
        for name, (_, cookies) in zip(job.stands_for, job.parts, strict=True):
            yield name.split(".")[0], round(cookies * part), name

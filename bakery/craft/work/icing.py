"""Layer by layer on the drying trays: jobs, the waits between them and the places they fill."""

from math import ceil

from .counting import Tray, names_of, shares, trays_of, whole
from .kinds import grams_per_cookie, layers_of, minutes_of, shop_minutes
from .pieces import Job
from .spec import Layer, LineSpec, OrderSpec, Shop
from .spraying import change_minutes, more_minutes

__all__ = ["JOB_OF_LAYER", "Step", "done_layers", "steps_of"]

JOB_OF_LAYER = {"piped": "pipe", "lettering": "letter"}
"""Layers whose job has another name; all others are called alike."""
TITLES = {
    "flood": "Flood",
    "spray": "Spray",
    "icing_pass": "Spread",
    "pipe": "Pipe",
    "letter": "Letter",
    "transfer": "Stick on",
    "wafer": "Wafer paper",
    "brush": "Brush",
}


class Step:
    """One layer, or a spray run of several, with its jobs: `by_tray` maps a tray number to its job."""

    def __init__(self, index: int, layers: tuple[Layer, ...]):
        self.index, self.layers = index, layers
        self.by_tray: dict[int, Job] = {}
        self.made_ahead: Job | None = None

    @property
    def layer(self) -> Layer:
        """The first layer of the step, whose wait and thickness count."""
        return self.layers[0]

    @property
    def jobs(self) -> list[Job]:
        """Its jobs, each once, in tray order."""
        return list({job.id: job for job in self.by_tray.values()}.values())


def steps_of(order: OrderSpec, line: LineSpec, shop: Shop) -> list[Step]:
    """The line's layers as steps with jobs. Sprays that may follow one another at once share a run."""
    steps: list[Step] = []
    for index, layer in enumerate(layers_of(line)):
        last = steps[-1].layers[-1] if steps else None
        if layer.kind == "spray" and last is not None and last.kind == "spray" and layer.wait == "":
            steps[-1].layers += (layer,)
        else:
            steps.append(Step(index, (layer,)))
    trays = trays_of(line, shop)
    for step, (kind, number) in zip(steps, _numbers(steps), strict=True):
        stem = f"{order.id}.{line.id}.{kind}{'' if number == 1 else number}"
        _fill(step, kind, stem, order, line, trays, shop)
    return steps


def _numbers(steps: list[Step]) -> list[tuple[str, int]]:
    """Kind of job and number of each step, no two alike: the lowest of its layers' own numbers, else the next
    that is free.
    """
    kinds = [JOB_OF_LAYER.get(step.layer.kind, step.layer.kind) for step in steps]
    own = [min((layer.number for layer in step.layers), default=0) for step in steps]
    taken = {(kind, number) for kind, number in zip(kinds, own, strict=True) if number}
    found: list[tuple[str, int]] = []
    for kind, number in zip(kinds, own, strict=True):
        if not number or (kind, number) in found:
            number = next(
                n for n in range(1, 2 + len(steps) + len(taken)) if (kind, n) not in {*taken, *found}
            )
        found.append((kind, number))
    return found


def done_layers(line: LineSpec) -> int:
    """How many of the line's layers its stage says are on the cookies already."""
    kinds = [layer.kind for layer in layers_of(line)]
    if line.stage in ("decorated", "packed"):
        return len(kinds)
    counted = {"flooded": ("flood",), "sprayed": ("flood", "spray", "icing_pass")}.get(line.stage, ())
    return max((i + 1 for i, kind in enumerate(kinds) if kind in counted), default=0)


def _fill(step, kind, stem, order, line, trays, shop):
    if kind == "spray":
        # No run is larger than half the rack: its trays need places before and after.
        runs = shares(len(trays), ceil(len(trays) / max(1, shop.rack_places // 2)))
        at = 0
        for number, size in enumerate(runs, 1):
            group, name = trays[at : at + size], stem if len(runs) == 1 else f"{stem}.{number}"
            run = _run(step, name, order, line, group, shop)
            step.by_tray.update({tray.number: run for tray in group})
            at += size
        return
    to_letter = names_of(line)
    for tray in trays:
        cookies = tray.cookies
        if kind == "letter":
            cookies = min(cookies, to_letter)
            to_letter -= cookies
        if cookies:
            step.by_tray[tray.number] = _tray_job(
                step, kind, stem, order, line, tray, len(trays), cookies, shop
            )
    if kind == "transfer":
        step.made_ahead = _transfers(step, stem, order, line, trays, shop)


def _colours(layer: Layer, variation: int) -> tuple[str, ...]:
    """A many-coloured flood lays one colour on each tray; other layers lay all of theirs."""
    if layer.kind == "flood" and len(layer.colours) > 1:
        return (layer.colours[variation % len(layer.colours)],)
    return layer.colours


def _tray_job(step, kind, stem, order, line, tray: Tray, trays, cookies, shop) -> Job:
    layer = step.layer
    placings = layer.placings if kind == "icing_pass" else 1
    minutes = shop_minutes(shop, f"{layer.kind}_set") + cookies * placings * minutes_of(layer, line, shop)
    if kind == "pipe":
        minutes += (line.designs - 1) * shop_minutes(shop, "piped_design") / trays
    colours = _colours(layer, tray.variation)
    title = f"{layer.title or TITLES[kind]} {' and '.join(colours)}".strip()
    return Job(
        f"{stem}.{tray.number}",
        kind,
        title,
        order.id,
        line=line.id,
        layer=step.index,
        tray=tray.number,
        trays=trays,
        cookies=cookies,
        colours=colours,
        grams=round(cookies * grams_per_cookie(layer, line), 3),
        minutes=whole(minutes),
        attended=whole(minutes),
        uses={f"stencil/{name}": 1 for name in layer.stencils} if kind == "icing_pass" else {},
        parts=((line.id, cookies),),
    )


def _run(step, stem, order, line, trays, shop) -> Job:
    """One spray run: set up, all placings, clean between colours, end with a clean airbrush."""
    cookies = sum(tray.cookies for tray in trays)
    placings = sum(layer.placings for layer in step.layers)
    colours = tuple(dict.fromkeys(colour for layer in step.layers for colour in layer.colours))
    minutes = (
        shop_minutes(shop, "spray_set")
        + sum(cookies * layer.placings * minutes_of(layer, line, shop) for layer in step.layers)
        + (placings - 1) * shop_minutes(shop, "spray_pass_dry")
        + change_minutes(step.layers, shop)
        + more_minutes(step.layers, cookies, line, shop)
        + (line.designs - 1) * shop_minutes(shop, "spray_design")
        + shop_minutes(shop, "spray_end")
    )
    stencils = dict.fromkeys(name for layer in step.layers for name in layer.stencils)
    return Job(
        stem,
        "spray",
        f"{step.layer.title or TITLES['spray']} {' and '.join(colours)}".strip(),
        order.id,
        line=line.id,
        layer=step.index,
        trays=len(trays),
        cookies=cookies,
        colours=colours,
        minutes=whole(minutes),
        attended=whole(minutes),
        uses={"airbrush": 1, **{f"stencil/{name}": 1 for name in stencils}},
        parts=((line.id, cookies),),
    )


def _transfers(step, stem, order, line, trays, shop) -> Job:
    """Transfers piped ahead on film, with some to break."""
    wanted = sum(tray.cookies for tray in trays)
    count = ceil(wanted * (1 + shop_minutes(shop, "transfer_spares")) - 1e-9)
    minutes = whole(shop_minutes(shop, "transfer_film") + count * shop_minutes(shop, "transfer_make"))
    return Job(
        f"{stem}.make",
        "transfer",
        f"Pipe transfers {' and '.join(step.layer.colours)}".strip(),
        order.id,
        line=line.id,
        layer=step.index,
        cookies=count,
        colours=step.layer.colours,
        grams=round(count * grams_per_cookie(step.layer, line), 3),
        minutes=minutes,
        attended=minutes,
        parts=((line.id, count),),
    )

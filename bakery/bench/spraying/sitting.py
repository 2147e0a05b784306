"""One time at the airbrush: the fillings in order, what each sprays, and the ways through the cookies."""

from dataclasses import dataclass
from math import ceil

from bakery.craft.amounts import sprayed
from bakery.craft.work.kinds import shop_minutes
from bakery.craft.work.spraying import change_minutes, passes_of
from bakery.designs.queries import stencil_names
from bakery.production import words
from bakery.production.queries.days import began

from .batches import Batch, batches
from .saying import clean_words, drops_words, millilitres, run_words

UNKNOWN = "not in the cupboard’s airbrush colours, so its cleaning is counted flat and its drops by the dozen"


@dataclass(frozen=True)
class Part:
    """Drops of one bottle in a filling."""

    name: str
    drops: int
    shake: bool = False
    alcohol: bool = False


@dataclass(frozen=True)
class Sprays:
    """What a filling covers: so many cookies of a design, through a stencil."""

    title: str
    cookies: int
    order: str
    stencil: str = ""


@dataclass(frozen=True)
class Filling:
    """One filling of the cup."""

    number: int
    name: str
    hex: str
    pk: int
    before: object
    clean: str
    cleans: bool
    amount: str
    drops: int
    parts: tuple[Part, ...]
    sprays: tuple[Sprays, ...]


@dataclass(frozen=True)
class Sitting:
    """Runs that are sprayed one after another."""

    time: str
    title: str
    cookies: int
    sentence: str
    in_one_go: str
    fillings: tuple[Filling, ...]
    batches: tuple[Batch, ...]
    unknown: tuple[str, ...]
    keys: tuple[str, ...]
    proved: bool


def sitting_of(jobs, works, colours, in_cup=None) -> Sitting:
    """`jobs` are pairs of row and core job; `colours` the airbrush colours with their bottles."""
    from bakery.craft.airbrush import CLEANING, plan_run

    shop = next(iter(works.values())).shop
    by_name = {colour.name.casefold(): colour for colour in colours}
    passes, told, found, runs = [], {}, [], []
    for row, job in jobs:
        runs.append(())
        for number, one in enumerate(sprayed(job, works)):
            name = f"{row.key} {number}"
            title = one.line.title if one.line and one.line.title else row.title
            order = works[one.order].order.title if one.order in works else ""
            for at, layer in enumerate(one.layers):
                told[name, at] = (title, one, layer, order)
            found.append(one)
            runs[-1] = runs[-1] or one.layers
            passes += passes_of(one.layers, one.line, one.cookies, shop, name) if one.line else ()
    paint = shop.paints.get(in_cup.name.casefold()) if in_cup else None
    run = plan_run(passes, shop.cleaning or CLEANING, in_cup=paint) if passes else None
    unknown = {
        c for one in found for layer in one.layers for c in layer.colours if c.casefold() not in shop.paints
    }
    return Sitting(
        time=words.clock(began(jobs[0][0])),
        title=words.listed(dict.fromkeys(title for title, *_ in told.values())),
        cookies=sum(row.cookies for row, _ in jobs),
        sentence=run_words(run) if run else "",
        in_one_go=_in_one_go(runs, run, shop),
        fillings=tuple(_fillings(run, by_name, told, in_cup, stencil_names())) if run else (),
        batches=batches(found),
        unknown=tuple(f"{words.capital(name)} is {UNKNOWN}." for name in sorted(unknown)),
        keys=tuple(row.key for row, _ in jobs),
        proved=bool(run and run.proved),
    )


def _in_one_go(layers_of_runs, run, shop) -> str:
    """What spraying runs that are planned one by one spares, when nothing is stripped between them."""
    if run is None or len(layers_of_runs) < 2:
        return ""
    alone = sum(change_minutes(layers, shop) for layers in layers_of_runs)
    once = shop_minutes(shop, "spray_set") + shop_minutes(shop, "spray_end")
    spared = (len(layers_of_runs) - 1) * once + alone - run.cleaning
    if spared < 1:
        return ""
    runs = words.number_word(len(layers_of_runs))
    return (
        f"Planned as {runs} runs, each set up and stripped. In one go, if all trays are dry by then, "
        f"it is about {words.length(spared)} less."
    )


def _fillings(run, by_name, told, in_cup, stencils):
    last = in_cup
    for number, step in enumerate(run.steps, 1):
        colour = by_name[step.paint.name.casefold()]
        added = last is not None and step.paint.drops and 0 < step.clean_before <= 0.3
        yield Filling(
            number=number,
            name=colour.name,
            hex=colour.hex,
            pk=colour.pk,
            before=last,
            clean=clean_words(step.clean_before, last.name if last else "", added),
            cleans=last is not None and step.clean_before > 0.3,
            amount=drops_words(step.drops, millilitres(colour, step.drops)),
            drops=step.drops,
            parts=_parts(colour, step.drops),
            sprays=tuple(_sprays(step.passes, told, stencils)),
        )
        last = colour


def _sprays(passes, told, stencils):
    for one in passes:
        run, layer_at, _ = one.id.rsplit(".", 2)
        title, part, layer, order = told[run, int(layer_at)]
        stencil = words.listed([stencils.get(f"stencil/{key}", key) for key in layer.stencils])
        yield Sprays(title, part.cookies, order, stencil)


def _parts(colour, drops: int) -> tuple[Part, ...]:
    """Whole drops of each bottle, never fewer than its share."""
    rows = [row for row in colour.parts.all() if row.drops]
    whole = float(sum(row.drops for row in rows))
    return tuple(
        Part(
            row.item.name,
            ceil(drops * float(row.drops) / whole - 1e-9),
            row.item.shake_first,
            row.item.alcohol,
        )
        for row in rows
    )

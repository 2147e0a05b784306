"""One spray run, or a whole evening over several designs: passes in their best order, step by step."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from .cleaning import CLEANING, Cleaning, Paint, changes
from .crossing import least_cleaning
from .order import best_order

__all__ = ["CUP_LOSS", "DROPS_PER_CM2", "Pass", "Run", "Step", "plan_run"]

DROPS_PER_CM2 = 8 / 12 / (46 * 0.5)
"""Drops a cm2 sprayed at usual coverage: 8 drops a colour a dozen cookies of 46 cm2, half of each cut out
(common practice, no source)."""
CUP_LOSS = 6
"""Drops that stay in the cup and go with every cleaning (common practice, no source)."""


@dataclass(frozen=True)
class Pass:
    """One colour at one placing of a design: what it covers and which passes of the design come before it.

    `cut_out` is the share of the face that the stencil leaves open, `coverage` 1 for the usual coat; stencils
    laid down many times count as so many coats of the whole face.
    """

    id: str
    design: str
    paint: Paint
    cookies: int
    area_cm2: float = 46.0
    cut_out: float = 0.25
    coverage: float = 1.0
    after: tuple[str, ...] = ()

    def __post_init__(self):
        if self.cookies < 1 or not 0 < self.area_cm2 <= 2000:
            raise ValueError("A pass has cookies with a face.")
        if not 0 < self.cut_out <= 1 or not 0 < self.coverage <= 100:
            raise ValueError("A stencil leaves some of the face open, and a coat covers it.")

    @property
    def drops(self) -> float:
        """Drops on the cookies, without what the cup keeps."""
        return self.cookies * self.area_cm2 * self.cut_out * self.coverage * DROPS_PER_CM2


@dataclass(frozen=True)
class Step:
    """One filling of the cup: the passes sprayed from it, and the cleaning before it."""

    paint: Paint
    passes: tuple[Pass, ...]
    clean_before: float
    drops: int


@dataclass(frozen=True)
class Run:
    """The steps in order. `cleaning` minutes in all, `least` minutes that no order undercuts."""

    steps: tuple[Step, ...]
    cleaning: float
    least: float

    @property
    def proved(self) -> bool:
        """True when no order needs less cleaning."""
        return abs(self.cleaning - self.least) < 1e-9

    @property
    def drops(self) -> Mapping[str, int]:
        """Drops to fill by colour name."""
        found: dict[str, int] = {}
        for step in self.steps:
            found[step.paint.name] = found.get(step.paint.name, 0) + step.drops
        return found


def plan_run(passes: Sequence[Pass], cleaning: Cleaning = CLEANING, *, in_cup: Paint | None = None) -> Run:
    """The order of fillings with the least cleaning that keeps every design's own order of passes.

    Where all passes of each colour wait for the same, every colour is filled once (Held-Karp over the
    colours). Else a colour may have to come back (one design light then dark, another dark then light), or
    had better, and the cheapest way is searched pass by pass. Raises ValueError for two passes of one id, an
    unknown pass, or passes that run in a circle.
    """
    passes = tuple(passes)
    need = needs_of(passes)
    paints = list(dict.fromkeys(p.paint for p in passes))
    colour = [paints.index(p.paint) for p in passes]
    start = None
    if in_cup is not None:
        start = paints.index(in_cup) if in_cup in paints else len(paints)
        paints = paints if in_cup in paints else [*paints, in_cup]
    costs = np.array([[round(10 * m) for m in row] for row in changes(paints, cleaning)], dtype=np.int64)
    fillings, cost, bound = _least(need, colour, costs, start)
    return Run(tuple(_steps(passes, paints, colour, costs, fillings, start)), cost / 10, bound / 10)


def needs_of(passes: Sequence[Pass]) -> list[int]:
    """For each pass, the passes right before it as bits. Raises ValueError as `plan_run` does."""
    place = {p.id: i for i, p in enumerate(passes)}
    if len(place) != len(passes):
        raise ValueError("Two passes have the same id.")
    for p in passes:
        for name in p.after:
            if name not in place:
                raise ValueError(f"There is no pass called {name!r}.")
    need = [sum(1 << place[name] for name in set(p.after)) for p in passes]
    done = 0
    while done != (1 << len(passes)) - 1:
        ready = sum(1 << i for i in range(len(passes)) if not done >> i & 1 and need[i] & ~done == 0)
        if not ready:
            raise ValueError("These passes run in a circle.")
        done |= ready
    return need


def _least(need, colour, costs, start):
    """(fillings, cost, bound). To come back to a colour can be cheaper than to wait with it until all of its
    passes are ready, so filling each once is the best only where they are ready together.
    """
    together = len(set(zip(colour, need, strict=True))) == len(set(colour))
    if together and (once := _once(need, colour, costs, start)):
        return once
    found = least_cleaning(need, colour, costs, start)
    once = _once(need, colour, costs, start) if found[1] > found[2] else None
    return (*once[:2], found[2]) if once and once[1] < found[1] else found


def _once(need, colour, costs, start):
    """Every colour filled once, or None where the designs' orders cross."""
    rules = {
        (colour[j], colour[i])
        for i in range(len(need))
        for j in range(len(need))
        if need[i] >> j & 1 and colour[i] != colour[j]
    }
    try:
        found = best_order(costs, rules, start=start)
    except ValueError:
        return None
    fillings = [(c, [i for i in range(len(need)) if colour[i] == c]) for c in found.places]
    return [(c, group) for c, group in fillings if group], found.cost, found.bound


def _steps(passes, paints, colour, costs, fillings, start):
    last = start
    for c, group in fillings:
        clean = 0.0 if last is None else float(costs[last][c]) / 10
        mine = tuple(passes[i] for i in group)
        yield Step(paints[c], mine, clean, ceil(sum(p.drops for p in mine) - 1e-9) + CUP_LOSS)
        last = c

"""What must have dried before what: the waits along each drying tray and the rack places meanwhile."""

from ..drying import DryingTimes, Span
from .baking import Baking
from .counting import trays_of
from .kinds import shop_minutes, thawing
from .pieces import Job, Past, Place, Wait
from .spec import LAYER_WAITS, OrderSpec, Shop

__all__ = ["Chain", "chains_of"]

WHY = {
    "outline_set": "outline set",
    "crusted": "neighbouring icing crusted, tray not moved",
    "firm": "icing firm enough to pipe on",
    "base_dry": "base dry",
    "wafer_dry": "base dry enough for wafer paper",
    "dry_through": "dry through before it is bagged",
    "mist_dry": "colour dry to the touch",
    "chill": "dough chilled",
    "cool": "cookies fully cold",
    "thaw": "thawed, closed, at room temperature",
    "next": "one layer after the other",
    "transfer_dry": "transfers dry enough to lift",
}


class Chain:
    """Gathers waits and places of one order; of two waits between the same jobs the longer stays."""

    def __init__(self, order: OrderSpec, shop: Shop, drying: DryingTimes, finish: str):
        self.order, self.shop, self.drying, self.finish = order, shop, drying, finish
        self.thaws: dict[str, Job] = {}
        self._waits: dict[tuple[str, str], Wait] = {}
        self._places: dict[tuple[str, str], list[int]] = {}

    @property
    def waits(self) -> list[Wait]:
        """The waits, in the order they were found."""
        return list(self._waits.values())

    @property
    def places(self) -> list[Place]:
        """Rack places, those between the same two jobs taken together."""
        return [
            Place("rack", amount, after, until or None, minutes)
            for (after, until), (amount, minutes) in self._places.items()
        ]

    def wait(self, before: Job, after: str, kind: str, span: Span, longest: int | None = None):
        """Note a wait of `span` between two jobs."""
        known = self._waits.get((before.id, after))
        if known is None or known.slow_minutes < span.slow:
            self._waits[before.id, after] = Wait(
                before.id, after, kind, span.usual, span.slow, longest, WHY[kind], span.never
            )

    def place(self, after: str, until: str, minutes: int):
        """Note one more rack place from the end of a job to the start of another, or until boxed."""
        held = self._places.setdefault((after, until), [0, 0])
        held[0] += 1
        held[1] = max(held[1], minutes)


def chains_of(chain: Chain, baking: Baking, steps, done_ids: set[str], past: list[Past]) -> None:
    """Fill `chain` for every tray: blanks to first layer, layer to layer, last layer to packing."""
    cool = int(shop_minutes(chain.shop, "bake_cool"))
    cooling = Span(cool, cool)
    known_past = {p.job.id for p in past if p.ended is not None}
    jobs_by_id = {job.id: job for job in (*baking.jobs, *(p.job for p in past))}
    for line in chain.order.lines:
        if line.stage == "packed":
            continue
        at = 0
        for tray in trays_of(line, chain.shop):
            ids = [
                name
                for name, first, last in baking.loads.get(line.id, ())
                if first < at + tray.cookies and at < last
            ]
            ids += [name for name in (f"{chain.order.id}.{line.id}.baked",) if name in known_past and not ids]
            at += tray.cookies
            todo = [step for step in steps[line.id] if tray.number in step.by_tray]
            left = [step for step in todo if step.by_tray[tray.number].id not in done_ids]
            first = left[0].by_tray[tray.number].id if left else chain.finish
            for name in ids:
                chain.wait(jobs_by_id[name], first, "cool", cooling)
            if line.id in chain.thaws:
                chain.wait(chain.thaws[line.id], first, "thaw", thawing(chain.shop))
            _along(chain, todo, tray.number, done_ids, known_past)
        _doughs(chain, line, baking, jobs_by_id, known_past)
        for step in steps[line.id]:
            if step.made_ahead and step.made_ahead.id not in done_ids:
                _ahead(chain, step)


def _doughs(chain, line, baking, jobs_by_id, known_past):
    """Dough made before the order came in still has to chill and still grows old."""
    name = f"{chain.order.id}.{line.id}.dough"
    if name not in known_past:
        return
    chill = int(shop_minutes(chain.shop, "dough_chill"))
    for bake, _, _ in baking.loads.get(line.id, ()):
        chain.wait(jobs_by_id[name], bake, "chill", Span(chill, chill))


def _ahead(chain: Chain, step) -> None:
    dry = int(shop_minutes(chain.shop, "transfer_dry"))
    slow = dry + dry // 4
    for job in step.jobs:
        chain.wait(step.made_ahead, job.id, "transfer_dry", Span(dry, slow))
    chain.place(step.made_ahead.id, "", slow)


def _along(chain: Chain, todo, number: int, done_ids, known_past) -> None:
    """Waits and places of one tray, from each layer to the next and to packing."""
    reached: dict[int, int] = {}
    names = [step.by_tray[number] for step in todo]
    live = [job.id not in done_ids or job.id in known_past for job in names]
    for i in range(len(todo)):
        last = i + 1 == len(todo)
        after = chain.finish if last else names[i + 1].id
        need = "dry_through" if last else todo[i + 1].layer.wait
        for j in range(i + 1):
            rank = LAYER_WAITS.index(need)
            if live[j] and (j == i or rank > reached.get(j, 0)):
                kind, span = _drying(chain, todo[j].layers[-1], need, j == i)
                if kind != "next" or j == i:
                    chain.wait(names[j], after, kind, span)
            reached[j] = max(reached.get(j, 0), rank)
        if live[i]:
            chain.place(names[i].id, after, _boxed(chain, todo[i].layers[-1]))


def _drying(chain: Chain, layer, need: str, next_to: bool) -> tuple[str, Span]:
    """The wait that `need` means after this layer."""
    if layer.wet:
        return (need, chain.drying.wait(need, layer.thickness_mm)) if need else ("next", Span(0, 0))
    if layer.kind in ("spray", "brush") and next_to:
        return "mist_dry", chain.drying.wait("mist_dry")
    return "next", Span(0, 0)


def _boxed(chain: Chain, layer) -> int:
    """Minutes until a tray with this layer on top is dry even on a slow night, and boxed.

    Wet icing dries while she is away; a sprayed tray she boxes herself as soon as it can be touched.
    """
    if not layer.wet:
        return chain.drying.wait("mist_dry").slow
    return chain.drying.wait("dry_through", layer.thickness_mm).slow + chain.shop.boxed_within

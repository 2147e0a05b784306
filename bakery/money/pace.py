"""How long each sort of work really takes her: her own minutes against the clock, taken over with one press.

`Use it` puts right everything that minutes come from: the shop's minutes of each operation, the minutes she
gave a kind of cookie, and those she gave a layer of a design. What was there before is kept for the undo.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from bakery.craft.work import LineSpec, Shop, default_layers
from bakery.craft.work.kinds import MINUTES, minutes_of
from bakery.designs.kinds import USUAL_COLOURS
from bakery.designs.models import Kind, Layer
from bakery.studio import adapters as studio

from .models import Pace

OPERATIONS = {
    "dough": ("dough", "dough_more"),
    "bake": ("bake_set", "bake_roll"),
    "mix": ("mix_base", "mix_bag"),
    "flood": ("flood_set", "flood"),
    "spray": ("spray_set", "spray", "spray_pass_dry", "spray_change", "spray_end", "spray_design"),
    "icing_pass": ("icing_pass_set", "icing_pass"),
    "pipe": ("piped_set", "piped", "dot", "piped_design"),
    "letter": ("lettering_set", "lettering"),
    "transfer": ("transfer_film", "transfer_set", "transfer_make", "transfer"),
    "wafer": ("wafer_set", "wafer"),
    "brush": ("brush_set", "brush"),
    "pack": ("pack_set", "pack"),
}
"""Sorts of work that can be put right, with the shop's operations behind each."""
LAYERS = {"pipe": "piped", "letter": "lettering"}
"""Layers are called like their work but for these."""
LEAST, MOST = Decimal("0.25"), Decimal("4")
CENT, THOUSANDTH = Decimal("0.01"), Decimal("0.001")


def own_minutes() -> dict[str, float]:
    """The shop's minutes by operation, as far as she took over her own pace; one query."""
    factors: dict[str, Decimal] = {}
    for work, factor in Pace.objects.filter(undone_at=None).values_list("work", "factor"):
        factors[work] = factors.get(work, Decimal(1)) * factor
    return {
        operation: MINUTES[operation].value * float(factor)
        for work, factor in factors.items()
        for operation in OPERATIONS.get(work, ())
    }


def used_since() -> dict[str, datetime]:
    """When each sort of work was last put right: only what was done after that says something new."""
    found: dict[str, datetime] = {}
    for work, at in Pace.objects.filter(undone_at=None).order_by("at").values_list("work", "at"):
        found[work] = at
    return found


@transaction.atomic
def use_pace(
    *, work: str, factor: Decimal, rests_on: int, seen: int = 0, now: datetime | None = None
) -> Pace:
    """From now on this work is planned and priced at `factor` times the minutes so far.

    `seen` is the newest Pace that the page showed (0: none): a second press finds that another has come, and
    gives that one. Raises ValueError for work or a factor that cannot be.
    """
    factor = Decimal(factor).quantize(THOUSANDTH)
    if work not in OPERATIONS or not LEAST <= factor <= MOST:
        raise ValueError(f"The minutes of {work!r} cannot be made {factor} times as long.")
    kinds = list(Kind.objects.select_for_update().order_by("pk"))
    newest = Pace.objects.filter(work=work, undone_at=None).first()
    if newest is not None and newest.pk != seen:
        return newest
    before = {"kinds": _kinds(kinds, work, float(factor)), "layers": _layers(work, factor)}
    pace = Pace(work=work, factor=factor, rests_on=rests_on, before=before, at=now or timezone.now())
    pace.full_clean()
    pace.save()
    return pace


@transaction.atomic
def undo_pace(*, pk: int, now: datetime | None = None) -> Pace | None:
    """As it was before, but for what she has typed anew since. Undone twice, it is undone once."""
    list(Kind.objects.select_for_update().order_by("pk").values_list("pk"))
    pace = Pace.objects.filter(pk=pk, undone_at=None).first()
    if pace is None:
        return None
    for key, (was, became) in pace.before.get("kinds", {}).items():
        Kind.objects.filter(key=key, minutes=Decimal(became)).update(minutes=Decimal(was))
    for key, (was, became) in pace.before.get("layers", {}).items():
        Layer.objects.filter(pk=int(key), minutes_per_cookie=Decimal(became)).update(
            minutes_per_cookie=Decimal(was)
        )
    pace.undone_at = now or timezone.now()
    pace.save(update_fields=["undone_at"])
    return pace


def _kinds(kinds, work: str, factor: float) -> dict[str, list[str]]:
    """Kinds that she gave minutes of her own: the part of them that is this work grows or shrinks."""
    found, shop = {}, replace(studio.shop(), kind_minutes={})
    for kind in kinds:
        if kind.minutes is None:
            continue
        share = _share(kind.key, LAYERS.get(work, work), shop)
        after = (kind.minutes * Decimal(str(1 + share * (factor - 1)))).quantize(CENT)
        if after != kind.minutes:
            found[kind.key] = [str(kind.minutes), str(after)]
            kind.minutes = after
            kind.full_clean()
            kind.save(update_fields=["minutes"])
    return found


def _share(key: str, layer_kind: str, shop: Shop) -> float:
    """How much of a kind's decorating is layers of this sort, from 0 to 1."""
    line = LineSpec("l1", "", key, 24, colours=USUAL_COLOURS.get(key, 1))
    minutes: dict[str, float] = {}
    for layer in default_layers(line):
        placings = layer.placings if layer.kind in ("spray", "icing_pass") else 1
        minutes[layer.kind] = minutes.get(layer.kind, 0) + placings * minutes_of(layer, line, shop)
    every = sum(minutes.values())
    return minutes.get(layer_kind, 0) / every if every else 0.0


def _layers(work: str, factor: Decimal) -> dict[str, list[str]]:
    """Layers of designs that she gave minutes of their own."""
    found = {}
    rows = Layer.objects.select_for_update().filter(kind=LAYERS.get(work, work))
    for layer in rows.exclude(minutes_per_cookie=None).order_by("pk"):
        after = (layer.minutes_per_cookie * factor).quantize(CENT)
        if after != layer.minutes_per_cookie:
            found[str(layer.pk)] = [str(layer.minutes_per_cookie), str(after)]
            layer.minutes_per_cookie = after
            layer.full_clean(exclude=["design"])
            layer.save(update_fields=["minutes_per_cookie"])
    return found

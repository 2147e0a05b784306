"""How long each kind of cookie takes to decorate: the usual minutes, hers, and what her designs say."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from decimal import Decimal

from django import forms
from django.db import transaction

from bakery.studio.forms.plain import PlainForm

from .kinds import USUAL_COLOURS
from .models import Design, Kind
from .queries import with_layers
from .reckoning import line_of


@dataclass(frozen=True)
class KindRow:
    """A kind with its minutes; `worst` is how far its rough price is off one of her designs, in per cent."""

    kind: Kind
    field: forms.BoundField
    usual: str
    designs: int
    worst: int | None
    better: Decimal | None
    better_worst: int | None

    @property
    def off(self) -> bool:
        return self.worst is not None and self.worst > 15


class KindMinutesForm(PlainForm):
    """A field of minutes for each kind; empty means the usual ones."""

    def __init__(self, *args, kinds=(), **kwargs):
        super().__init__(*args, **kwargs)
        for kind in kinds:
            self.fields[kind.key] = forms.DecimalField(
                label=f"{kind.name}, minutes a cookie", required=False, min_value=0, max_value=240,
                max_digits=5, decimal_places=2, initial=kind.minutes,
                error_messages={"invalid": "A number, like 3.5.", "min_value": "Not less than nothing.",
                                "max_value": "Up to 240 minutes a cookie.",
                                "max_decimal_places": "Two figures after the point are enough."},
            )  # fmt: skip


@transaction.atomic
def set_kind_minutes(*, minutes: dict[str, Decimal | None]) -> None:
    """Her own decorating minutes a cookie by the kind's key; None takes the usual ones again."""
    for kind in Kind.objects.select_for_update().filter(key__in=minutes):
        if kind.minutes != minutes[kind.key]:
            kind.minutes = minutes[kind.key]
            kind.full_clean()
            kind.save(update_fields=["minutes"])


def kind_rows(form: KindMinutesForm, kinds) -> list[KindRow]:
    """Each kind with its usual minutes, and how well the rough price stands for her designs."""
    from bakery.craft.costing.fitting import decorating_minutes, fit_of, fitting_minutes
    from bakery.craft.work import LineSpec
    from bakery.studio import adapters as studio

    shop, prices = studio.shop(), studio.prices()
    plain = replace(shop, kind_minutes={})
    lines = defaultdict(list)
    for design in with_layers(Design.objects.filter(put_away=False).select_related("kind")):
        if design.layers.all():
            lines[design.kind.key].append(line_of(design, 24))
    rows = []
    for kind in kinds:
        asked = {"colours": USUAL_COLOURS.get(kind.key, 1)}
        usual = decorating_minutes(LineSpec("l1", "", kind.key, 24, **asked), plain)
        mine = lines[kind.key]
        fit = fit_of(kind.key, mine, shop, prices, **asked) if mine else None
        best = None if fit is None or fit.good else fitting_minutes(kind.key, mine, shop, prices, **asked)
        rows.append(KindRow(
            kind, form[kind.key], f"{usual:.2f}".rstrip("0").rstrip("."), len(mine),
            None if fit is None else round(fit.off * 100),
            None if best is None else Decimal(str(round(best.minutes, 2))),
            None if best is None else round(best.off * 100),
        ))  # fmt: skip
    return rows

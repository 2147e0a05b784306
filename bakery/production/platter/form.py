"""What she says about a platter. Guests are enough; everything else has a default."""

from __future__ import annotations

import re
from decimal import Decimal

from django import forms

from bakery.craft.packing import Tray
from bakery.designs.models import Design
from bakery.designs.queries import with_layers
from bakery.orders.fields import Choice, Count, PickedRow
from bakery.orders.kinds import kind_rows
from bakery.orders.text import one_line

from .choices import ANY, HOW, OCCASIONS, OWN, OWN_SHAPES, TRAYS

MOST_GUESTS = 2000
_EACH = re.compile(r"^\d{1,2}(?:[.,]\d{1,2})?\Z", re.ASCII)


class Each(forms.Field):
    """Cookies a guest: 2, 1.5."""

    def __init__(self, **more):
        widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        super().__init__(required=False, widget=widget, **more)

    def to_python(self, value):
        text = one_line(value or "")
        if not text:
            return None
        number = Decimal(text.replace(",", ".")) if _EACH.match(text) else None
        if number is None or not 0 < number <= 20:
            raise forms.ValidationError("Cookies a guest: a number from half a one to 20.")
        return number


class Size(Count):
    def __init__(self, label: str):
        super().__init__(least=10, most=120, what=f"{label}, in cm", label=f"{label}, cm")


class PlatterForm(forms.Form):
    guests = Count(least=1, most=MOST_GUESTS, what="Guests", label="Guests",
                   too_many="One platter page reckons up to 2,000 guests.")  # fmt: skip
    occasion = Choice(label="Occasion", choices=[(one.key, one.name) for one in OCCASIONS], usual="party")
    each = Each(label="Cookies a guest")
    feature = PickedRow(label="The one they look at")
    colours = PickedRow(label="On several base colours")
    bases = Choice(label="Base colours", choices=[("1", "1"), ("2", "2"), ("3", "3")], usual="3")
    plain = PickedRow(label="Between them")
    n_feature = Count(least=0, most=5000, what="How many", label="How many")
    n_colours = Count(least=0, most=5000, what="How many", label="How many")
    n_plain = Count(least=0, most=5000, what="How many", label="How many")
    tray = Choice(
        label="Tray", usual=ANY,
        choices=[(ANY, "Whatever fits"), *((key, name) for key, (name, _) in TRAYS.items()), (OWN, "My own")],
    )  # fmt: skip
    own_shape = Choice(label="Its shape", choices=OWN_SHAPES, usual="round")
    own_width = Size("Its width")
    own_height = Size("Its depth")
    how = Choice(label="Laid", choices=HOW, usual="flat")

    def __init__(self, data=None, **more):
        super().__init__(data, **more)
        self.kinds = kind_rows()
        self.designs = {one.pk: one for one in with_layers(Design.objects.filter(put_away=False))}
        for name, empty in (("feature", "none"), ("colours", "none"), ("plain", "plain flooded rounds")):
            field = self.fields[name]
            field.known = self.designs | ({0: None} if name != "plain" else {})
            rows = [(pk, design.name) for pk, design in self.designs.items()]
            field.widget.choices = [("0" if name != "plain" else "", empty), *rows]

    def clean(self):
        found = self.cleaned_data
        if found.get("guests") is None and "guests" not in self.errors:
            self.add_error("guests", "How many guests?")
        if found.get("tray") == OWN:
            if found.get("own_width") is None and "own_width" not in self.errors:
                self.add_error("own_width", "How wide is your tray?")
            if (
                found.get("own_shape") != "round"
                and not found.get("own_height")
                and "own_height" not in self.errors
            ):
                self.add_error("own_height", "And how deep?")
        return found

    @property
    def trays(self) -> list[Tray]:
        """Those it may lie on."""
        said = self.cleaned_data
        if said["tray"] == OWN:
            return [Tray(said["own_shape"], said["own_width"] * 10.0, (said["own_height"] or 0) * 10.0)]
        return [TRAYS[said["tray"]][1]] if said["tray"] in TRAYS else [tray for _, tray in TRAYS.values()]


def first_values() -> dict:
    """What the form opens with: thirty guests, her most detailed design, and one that has several bases."""
    designs = list(with_layers(Design.objects.filter(put_away=False)))
    wide = [design for design in designs if len(design.variations.all()) > 1]
    colours = max(wide, key=lambda one: len(one.variations.all()), default=None)
    others = [design for design in designs if design is not colours and not design.text]
    feature = max(others, key=lambda one: one.kind.position, default=None)
    return {
        "guests": "30",
        "occasion": "party",
        "feature": str(feature.pk) if feature else "0",
        "colours": str(colours.pk) if colours else "0",
        "bases": "3",
        "tray": ANY,
        "how": "flat",
    }

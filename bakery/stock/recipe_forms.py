"""A recipe as she writes it: a name and how many are enough; a line for each thing that goes in."""

from decimal import Decimal
from math import pi, sqrt

from django import forms

from bakery.craft.ingredients import parse_line
from bakery.craft.units import UnitError
from bakery.studio.typed import Cleaned

from .models import Recipe, StockItem

MOST_LINES = 40
USUAL_AREA = Decimal("46")


def _whole(label, low, high, sentence, **more):
    said = {"required": sentence, "invalid": "A whole number, please.", "min_value": sentence,
            "max_value": f"More than {high} is more than a kitchen table holds."}  # fmt: skip
    return forms.IntegerField(label=label, min_value=low, max_value=high, error_messages=said, **more)


def _size(label, low, high, what, **more):
    said = {"required": f"{what} is {low} to {high} mm.", "min_value": f"{what} is {low} to {high} mm.",
            "max_value": f"{what} is {low} to {high} mm.", "invalid": "A number of millimetres, like 6.",
            "max_digits": "A number of millimetres, like 6.", "max_whole_digits": "A number of millimetres.",
            "max_decimal_places": "One place after the point is enough."}  # fmt: skip
    return forms.DecimalField(
        label=label,
        min_value=low,
        max_value=high,
        max_digits=6,
        decimal_places=1,
        error_messages=said,
        **more,
    )


class RecipeForm(Cleaned, forms.Form):
    name = forms.CharField(
        label="What do you call it?",
        max_length=60,
        error_messages={"required": "Give it a name.", "max_length": "A name has room for 60 letters."},
    )
    cookies = _whole("One batch makes how many cookies?", 1, 500, "A batch makes at least one.", initial=20)
    lines = forms.CharField(
        label="What goes in, a line each",
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false"}),
        help_text="Like 375 g flour, 1 1/2 cups sugar, 2 eggs. It can stay empty.",
        error_messages={"max_length": "That is longer than any recipe."},
    )
    across_mm = _size("Counted with a cutter this wide, in mm", 15, 300, "A cutter", required=False)
    thickness_mm = _size("Rolled how thick, in mm", 1, 30, "Dough", required=False)
    rerolls = _whole("Scraps rolled again, times", 0, 3, "From 0 to 3 times.", required=False)

    def __init__(self, *args, what: str, **kwargs):
        self.what = what
        super().__init__(*args, **kwargs)
        for name in ("cookies", "across_mm", "thickness_mm", "rerolls"):
            self.fields[name].widget.attrs["inputmode"] = "decimal"
            if what != Recipe.What.DOUGH:
                del self.fields[name]
        self.fields["name"].widget.attrs["autocomplete"] = "off"

    def clean_lines(self):
        """Every wrong line is named; the others are not lost."""
        found, wrong = [], []
        for number, row in enumerate(self.cleaned_data["lines"].split("\n"), 1):
            if not row.strip():
                continue
            try:
                found.append(parse_line(row))
            except UnitError as fault:
                wrong.append(f"Line {number}: {fault}")
        if len(found) > MOST_LINES:
            wrong.append(f"{len(found)} lines: a recipe has up to {MOST_LINES}.")
        if wrong:
            raise forms.ValidationError(wrong[:8])
        return tuple(found)

    def made(self) -> dict:
        """For the service."""
        data = self.cleaned_data
        across = data.get("across_mm")
        area = area_across(across) if across else None
        return {"what": self.what, "name": data["name"], "cookies": data.get("cookies") or 20,
                "lines": data["lines"], "area_cm2": area, "thickness_mm": data.get("thickness_mm"),
                "rerolls": data.get("rerolls")}  # fmt: skip


def area_across(width_mm) -> Decimal:
    """Area of a round cutter of that width; one of about 3 inches is the usual one."""
    area = pi * (float(width_mm) / 20) ** 2
    return USUAL_AREA if abs(area - float(USUAL_AREA)) < 1 else Decimal(str(round(area, 1)))


def across(area_cm2) -> Decimal:
    """Width [mm] of a round cutter of that area."""
    return Decimal(str(round(2 * sqrt(float(area_cm2) / pi) * 10)))


class GramsForm(Cleaned, forms.Form):
    """What one measure weighs."""

    grams = forms.DecimalField(
        min_value=Decimal("0.01"),
        max_value=5000,
        max_digits=7,
        decimal_places=2,
        error_messages={
            "required": "Give the grams, like 45.",
            "invalid": "Give the grams as a number, like 45.",
            "min_value": "It weighs something.",
            "max_value": "More than 5 kg? Give it in grams.",
            "max_digits": "Give the grams as a number, like 45.",
            "max_whole_digits": "Give the grams as a number, like 45.",
            "max_decimal_places": "Two places after the point are enough.",
        },
    )


class ScaleForm(Cleaned, forms.Form):
    """For how many, cut with what, rolled how thick."""

    cookies = _whole("Cookies", 1, 5000, "At least one.", initial=48)
    across_mm = _size("Cutter, mm wide", 15, 300, "A cutter", initial=76, required=False)
    thickness_mm = _size("Thick, mm", 1, 30, "Dough", initial=6, required=False)
    rerolls = _whole("Rolled again, times", 0, 3, "From 0 to 3 times.", initial=1, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            field.widget.attrs["inputmode"] = "decimal"


def packets() -> list[StockItem]:
    """What a recipe can come from."""
    shelves = (StockItem.Group.DRY, StockItem.Group.FRESH)
    return list(StockItem.objects.filter(group__in=shelves))

"""The five questions. Everything has a usual value; whatever is typed badly gets a sentence beside it."""

from datetime import time
from decimal import Decimal

from django import forms

from bakery.studio.answers import PARTS, USUAL_HOURS, StartAnswers, stints_between
from bakery.studio.models import BakingHours

from .plain import speak_plainly

OTHER = "other"
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
TILES = [(f"{day}-{part}", f"{BakingHours.Weekday(day).label} {part}") for day in range(7) for part in PARTS]


class ChipsField(forms.ChoiceField):
    """Pick one number, or "other" and type it."""

    def __init__(self, *numbers, before="", other=True, **kwargs):
        chips = [(str(number), f"{before}{number}") for number in numbers]
        super().__init__(
            choices=[*chips, (OTHER, "other")] if other else chips, widget=forms.RadioSelect, **kwargs
        )


class StartForm(forms.Form):
    tiles = forms.MultipleChoiceField(
        choices=TILES,
        widget=forms.CheckboxSelectMultiple,
        initial=[f"{day}-{part}" for day, part in sorted(USUAL_HOURS)],
        error_messages={"required": "Tick at least one square: without baking hours nothing can be planned."},
    )
    sheet = ChipsField(8, 12, 14, 16, 20, other=False, initial="14")
    rack = ChipsField(4, 6, 8, 12, initial="12")
    rack_other = forms.IntegerField(min_value=1, max_value=200, required=False, label="How many places")
    batch = ChipsField(12, 18, 20, 24, initial="20")
    batch_other = forms.IntegerField(min_value=1, max_value=500, required=False, label="How many cookies")
    wage = ChipsField(12, 14, 16, 18, before="£", initial="16")
    wage_other = forms.DecimalField(
        min_value=0, max_value=1000, decimal_places=2, required=False, label="How much an hour"
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for part, hours in PARTS.items():
            for end, usual in zip(("from", "until"), hours, strict=True):
                self.fields[f"{part}_{end}"] = forms.TimeField(
                    required=False, initial=usual, label=f"{part} {end}",
                    widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
                )  # fmt: skip
        speak_plainly(self)

    def clean(self):
        for name in ("rack", "batch", "wage"):
            untyped = self.cleaned_data.get(f"{name}_other") is None and not self.has_error(f"{name}_other")
            if self.cleaned_data.get(name) == OTHER and untyped:
                self.add_error(f"{name}_other", "Type the number, or pick one of the others.")
        parts = self.parts()
        for part, (start, end) in parts.items():
            if start >= end:
                self.add_error(f"{part}_until", f"The {part} would end before it begins.")
        return self.cleaned_data

    def parts(self) -> dict[str, tuple[time, time]]:
        """When each part of the day is; an empty field means the usual clock time."""
        return {
            part: tuple(
                self.cleaned_data.get(f"{part}_{end}") or usual
                for end, usual in zip(("from", "until"), hours, strict=True)
            )
            for part, hours in PARTS.items()
        }

    def number(self, name: str):
        value = self.cleaned_data[name]
        return self.cleaned_data[f"{name}_other"] if value == OTHER else value

    def answers(self) -> StartAnswers:
        ticked = [tile.split("-") for tile in self.cleaned_data["tiles"]]
        return StartAnswers(
            stints=stints_between([(int(day), part) for day, part in ticked], self.parts()),
            cookies_per_sheet=int(self.number("sheet")),
            rack_places=int(self.number("rack")),
            cookies_per_batch=int(self.number("batch")),
            hourly_wage=Decimal(self.number("wage")),
        )

    def has_part_errors(self) -> bool:
        return any(name.endswith(("_from", "_until")) for name in self.errors)

    def grid(self):
        """The squares as rows of a day: (short name, its three tiles)."""
        tiles = list(self["tiles"])
        return [(day, tiles[3 * at : 3 * at + 3]) for at, day in enumerate(DAYS)]

    def part_fields(self):
        """Pairs of clock fields by part of the day."""
        return [(part, self[f"{part}_from"], self[f"{part}_until"]) for part in PARTS]

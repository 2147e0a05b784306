"""A usual year: how damp her kitchen is month by month."""

import calendar

from django import forms

from bakery.craft.drying import months
from bakery.studio.forms.plain import PlainForm

NAMES = tuple(calendar.month_name)[1:]


class YearForm(PlainForm):
    """Twelve percentages; all empty is our own."""

    def __init__(self, *args, own=(), **kwargs):
        super().__init__(*args, **kwargs)
        usual = own or [100 * one for one in months.TYPICAL]
        for number, name in enumerate(NAMES, 1):
            self.fields[f"m{number}"] = forms.IntegerField(
                label=name, min_value=10, max_value=95, initial=round(usual[number - 1]),
                widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
                error_messages={"required": f"How damp is {name}, about?",
                                "invalid": "Give a whole number, in figures.",
                                "min_value": "No kitchen is drier than 10 %%.",
                                "max_value": "Above 95 %% it rains indoors."},
            )  # fmt: skip

    def humidities(self) -> list[int]:
        return [self.cleaned_data[f"m{number}"] for number in range(1, 13)]

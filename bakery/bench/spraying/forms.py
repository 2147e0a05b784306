"""One figure she times at the sink."""

import re
from decimal import Decimal

from django import forms

from bakery.stock.models import Colour

_MINUTES = re.compile(r"^(\d{1,3})(?:[.,](\d))?\s*(?:m|min|mins|minutes?)?$", re.ASCII)
MOST = 60


class Minutes(forms.Field):
    """`4`, `4,5`, `4.5 min`."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "maxlength": "12"})

    def to_python(self, value):
        text = " ".join(str(value or "").lower().split())
        if not text:
            raise forms.ValidationError("How many minutes did it take? For example 4.")
        found = _MINUTES.match(text)
        if not found:
            raise forms.ValidationError("Minutes are a number, for example 4 or 2.5.")
        minutes = Decimal(f"{found[1]}.{found[2] or 0}")
        if minutes > MOST:
            raise forms.ValidationError(f"At most {MOST} minutes: longer than that is not one cleaning.")
        return minutes


class TookForm(forms.Form):
    before = forms.ModelChoiceField(Colour.objects.none(), label="From", empty_label="Pick one")
    after = forms.ModelChoiceField(Colour.objects.none(), label="To", empty_label="Pick one")
    minutes = Minutes(label="Cleaning took, minutes")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name in ("before", "after"):
            self.fields[name].queryset = Colour.objects.filter(medium=Colour.Medium.AIRBRUSH)
            for wrong in ("required", "invalid_choice"):
                self.fields[name].error_messages[wrong] = "Choose one of the airbrush colours."

    def clean(self):
        found = super().clean()
        if found.get("before") and found.get("before") == found.get("after"):
            self.add_error("after", "That is the same colour twice: nothing was cleaned between.")
        return found

"""What she types about things made ahead."""

from datetime import datetime, time

from django import forms
from django.utils import timezone

MOST = 5000


class AheadForm(forms.Form):
    """What, how many, where; for whom and since when only if it matters."""

    thing = forms.ChoiceField(
        label="What is it?",
        error_messages={"required": "Pick what it is.", "invalid_choice": "Pick one of the list."},
    )
    quantity = forms.IntegerField(
        label="How many?",
        min_value=1,
        max_value=MOST,
        help_text="Batches of dough, or cookies, or transfers.",
        error_messages={
            "required": "How many are there?",
            "invalid": "A whole number, please.",
            "min_value": "At least one.",
            "max_value": f"Up to {MOST}.",
        },
    )
    place = forms.ChoiceField(
        label="Where does it lie?",
        choices=[("tin", "Tin"), ("freezer", "Freezer"), ("fridge", "Fridge"), ("counter", "Counter")],
        error_messages={"required": "Pick a place.", "invalid_choice": "Pick one of the places."},
    )
    for_order = forms.ChoiceField(
        label="For whom?",
        required=False,
        error_messages={"invalid_choice": "That order is not open any more."},
    )
    made_on = forms.DateField(
        label="Made on",
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text="Empty is today.",
        error_messages={"invalid": "A date, like 2026-11-24."},
    )

    def __init__(self, *args, choices, **kwargs):
        super().__init__(*args, **kwargs)
        things = [("", "pick one"), ("dough:", "Dough, in batches")]
        things += [(f"blank:{key}", f"Baked blanks, {label}") for key, label in choices.shapes]
        things += [("blank:", "Baked blanks, any other cutter")]
        things += [(f"transfer:{key}", f"Transfers, {label}") for key, label in choices.designs]
        things += [(f"finished:{key}", f"Cookies ready, {label}") for key, label in choices.designs]
        self.fields["thing"].choices = things
        self.fields["for_order"].choices = [("", "anyone"), *choices.orders]
        self.fields["quantity"].widget.attrs["inputmode"] = "numeric"

    def clean_made_on(self):
        day = self.cleaned_data["made_on"]
        today = timezone.localdate()
        if day and day > today:
            raise forms.ValidationError("That day is still to come.")
        if day and (today - day).days > 400:
            raise forms.ValidationError("More than a year ago: bake it new.")
        return day

    def clean(self):
        data = super().clean()
        if data.get("thing") == "blank:" and not data.get("for_order"):
            self.add_error("for_order", "A cutter that no design has: say whose they are.")
        return data

    def made(self) -> dict:
        """For the service."""
        data = self.cleaned_data
        what, _, shape = data["thing"].partition(":")
        day = data["made_on"]
        made = timezone.make_aware(datetime.combine(day, time(12))) if day else timezone.now()
        return {
            "what": what,
            "shape": shape,
            "quantity": data["quantity"],
            "place": data["place"],
            "for_order": data["for_order"],
            "made_on": min(made, timezone.now()),
        }


__all__ = ["AheadForm"]

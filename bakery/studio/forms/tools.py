"""A tool that is out, and a reading of the room."""

from datetime import timedelta

from django import forms
from django.utils import timezone

from bakery.studio.adapters import COLDEST_C, WARMEST_C
from bakery.studio.models import Outage, Reading
from bakery.studio.parts import more_of_the_shop

from .plain import PlainForm, PlainModelForm

MOMENT = "%Y-%m-%dT%H:%M"


def moment_field(label: str, missing: str) -> forms.DateTimeField:
    return forms.DateTimeField(
        label=label, input_formats=[MOMENT, "%Y-%m-%d %H:%M", "%Y-%m-%d %H:%M:%S"],
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MOMENT),
        error_messages={"required": missing, "invalid": "That is not a date and time."},
    )  # fmt: skip


def tool_choices() -> list[tuple[str, str]]:
    """What can be out, by the planner's name for it."""
    stencils = more_of_the_shop().get("stencil_copies", {})
    return [
        ("airbrush", "the airbrush"),
        ("oven", "a sheet's place in the oven"),
        ("rack", "a place on the rack"),
        *((f"stencil/{name}", f"stencil {name.replace('-', ' ')}") for name in sorted(stencils)),
    ]


def tool_name(resource: str) -> str:
    return dict(tool_choices()).get(resource, resource.replace("stencil/", "stencil ").replace("-", " "))


class OutageForm(PlainForm):
    resource = forms.ChoiceField(label="What is out")
    amount = forms.IntegerField(
        label="How many of them", min_value=1, max_value=200, initial=1, help_text="Usually one."
    )
    start = moment_field("Out since", "Since when?")
    end = moment_field("Back at", "Until when, about? You can bring it back earlier.")
    reason = forms.CharField(label="Why", max_length=120, required=False)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["resource"].choices = tool_choices()
        now = timezone.localtime().replace(second=0, microsecond=0)
        self.fields["start"].initial = now
        self.fields["end"].initial = now + timedelta(days=2)

    def clean(self):
        data = self.cleaned_data
        if data.get("start") and data.get("end"):
            if data["start"] >= data["end"]:
                self.add_error("end", "It cannot be back before it broke.")
            elif data["end"] <= timezone.now():
                self.add_error("end", "It would be back already.")
            elif data["end"] - data["start"] > timedelta(days=400):
                self.add_error("end", "That is more than a year; say so again then.")
        return data


class ReadingForm(PlainModelForm):
    class Meta:
        model = Reading
        fields = ("temperature_c", "humidity_percent", "where", "fan")
        labels = {
            "temperature_c": "Degrees, °C",
            "humidity_percent": "Humidity, %",
            "where": "Read",
            "fan": "A fan moves the air over the trays",
        }
        error_messages = {
            "temperature_c": {"required": "How warm is it?"},
            "humidity_percent": {"required": "How damp is it?"},
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["fan"].initial = Reading.objects.values_list("fan", flat=True).first() or False

    def clean(self):
        data = super().clean()
        if wrong := cold_or_hot(data):
            self.add_error("temperature_c", wrong)
        return data


def cold_or_hot(data: dict) -> str:
    """A sentence where no trays can be in such a room; a weather report may say what it likes."""
    degrees = data.get("temperature_c")
    if degrees is None or data.get("where") != Reading.Where.TRAYS or COLDEST_C <= degrees <= WARMEST_C:
        return ""
    return f"Icing dries between {COLDEST_C:.0f} and {WARMEST_C:.0f} °C. Is that from the weather report?"


__all__ = ["Outage", "OutageForm", "ReadingForm", "tool_choices", "tool_name"]

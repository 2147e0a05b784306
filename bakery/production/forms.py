"""The few things she types in the kitchen. Every field has a usual value; errors are sentences beside the
field.
"""

from datetime import datetime, time, timedelta

from django import forms
from django.utils import timezone

from bakery.studio.forms.tools import cold_or_hot

from .words import tool_name

MOST_DAYS_OUT = 60


class FinishForm(forms.Form):
    """ "We finished at": one clock time, may stay empty."""

    finished = forms.TimeField(
        label="We finished at",
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text="One number teaches me your pace. Leave it empty if you like.",
        error_messages={"invalid": "Give a clock time such as 22:30."},
    )

    def moment(self, day) -> datetime | None:
        """The clock time as a moment of that evening; small hours belong to the night after it."""
        clock = self.cleaned_data.get("finished")
        if clock is None:
            return None
        later = day + timedelta(days=1) if clock < time(4) else day
        return timezone.make_aware(datetime.combine(later, clock))


class CountForm(forms.Form):
    """How many of a run got done."""

    count = forms.IntegerField(min_value=0, max_value=5000, required=False)


class RoomForm(forms.Form):
    """What the room is like."""

    temperature_c = forms.DecimalField(
        label="Degrees Celsius", min_value=-30, max_value=50, decimal_places=1, max_digits=4,
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "0.1"}),
        error_messages={"required": "Give the temperature, for example 18.5.",
                        "min_value": "That is colder than any kitchen.",
                        "max_value": "That is hotter than any kitchen."},
    )  # fmt: skip
    humidity_percent = forms.DecimalField(
        label="Humidity, %", min_value=1, max_value=100, decimal_places=1, max_digits=4,
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "1"}),
        error_messages={"required": "Give the humidity, for example 61.",
                        "min_value": "Air is never that dry.",
                        "max_value": "Humidity ends at 100 %%."},
    )  # fmt: skip
    where = forms.ChoiceField(
        label="Read", choices=[("trays", "at the trays"), ("weather", "from the weather report")]
    )
    fan = forms.BooleanField(label="A fan moves the air", required=False)

    def clean(self):
        data = super().clean()
        if wrong := cold_or_hot(data):
            self.add_error("temperature_c", wrong)
        return data


class ToolForm(forms.Form):
    """Which tool is out, and until when."""

    resource = forms.ChoiceField(
        label="Which tool", error_messages={"invalid_choice": "Pick one of the tools."}
    )
    until = forms.DateTimeField(
        label="Back by",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"],
        error_messages={
            "required": "Say when it is back; a guess will do.",
            "invalid": "Give a day and a time.",
        },
    )

    def __init__(self, *args, resources=(), now=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.now = now
        self.fields["resource"].choices = [(name, tool_name(name)) for name in resources]

    def clean_until(self):
        until = self.cleaned_data["until"]
        if until <= self.now:
            raise forms.ValidationError("That has passed already.")
        if until > self.now + timedelta(days=MOST_DAYS_OUT):
            raise forms.ValidationError(f"More than {MOST_DAYS_OUT} days ahead: give a nearer day.")
        return until


class UntilForm(forms.Form):
    """When it is back, dry or there."""

    until = ToolForm.base_fields["until"]

    def __init__(self, *args, now=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.now = now

    clean_until = ToolForm.clean_until


class HalfForm(forms.Form):
    """Until when she bakes this evening."""

    until = forms.TimeField(
        label="Only until",
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={"required": "Give a clock time such as 20:30.",
                        "invalid": "Give a clock time such as 20:30."},
    )  # fmt: skip

    def __init__(self, *args, session, now, **kwargs):
        super().__init__(*args, **kwargs)
        self.opens, self.closes = (timezone.localtime(edge) for edge in (session.start, session.end))
        self.now = timezone.localtime(now)
        middle = self.opens + (self.closes - self.opens) / 2
        self.fields["until"].initial = middle.replace(minute=middle.minute // 15 * 15, second=0).time()

    @staticmethod
    def session_of(day):
        """The last baking hours of a day as they usually are: a day off has those it would have had."""
        from bakery.studio import adapters as studio
        from bakery.studio.hours import sessions_of, stretches_of
        from bakery.studio.queries import changed_dates, ordinary_week

        changes = [row for row in changed_dates(day, day).get(day, []) if row.kind != row.Kind.OFF]
        found = sessions_of(stretches_of(day, ordinary_week(), changes, studio.the_zone()))
        return found[-1] if found else None

    def clean_until(self):
        until = self.cleaned_data["until"]
        if not self.opens.time() < until < self.closes.time():
            raise forms.ValidationError(
                f"That evening goes from {self.opens:%H:%M} to {self.closes:%H:%M}: give a time between."
            )
        if self.opens.date() == self.now.date() and until <= self.now.time():
            raise forms.ValidationError("That has passed already.")
        return until


class BrokeForm(forms.Form):
    """How many broke, of which line."""

    line = forms.IntegerField(min_value=1, max_value=2**31 - 1)
    broken = forms.IntegerField(min_value=1, max_value=5000)

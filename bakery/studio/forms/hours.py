"""An ordinary week as two stretches a day, and single dates that differ."""

from datetime import timedelta

from django import forms
from django.utils import timezone

from bakery.studio.answers import Stint
from bakery.studio.models import BakingHours, HoursChange

from .plain import PlainForm

DAYS = [label for _, label in BakingHours.Weekday.choices]
STRETCHES = 2


def clock_field(label: str) -> forms.TimeField:
    return forms.TimeField(
        required=False, label=label, widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        error_messages={"invalid": "A time looks like 18:30."},
    )  # fmt: skip


class WeekForm(forms.Form):
    """For each day: from, until, again from, until; and whether two are at work."""

    def __init__(self, *args, stints: tuple[Stint, ...] = (), **kwargs):
        super().__init__(*args, **kwargs)
        for day, name in enumerate(DAYS):
            mine = [stint for stint in stints if stint.weekday == day][:STRETCHES]
            for at in range(STRETCHES):
                again = "again " if at else ""
                self.fields[f"{day}_{at}_start"] = clock_field(f"{name} {again}from")
                self.fields[f"{day}_{at}_end"] = clock_field(f"{name} {again}until")
                if at < len(mine):
                    self.initial[f"{day}_{at}_start"] = mine[at].start
                    self.initial[f"{day}_{at}_end"] = mine[at].end
            self.fields[f"{day}_two"] = forms.BooleanField(required=False, label=f"two of you on {name}")
            self.initial[f"{day}_two"] = any(stint.hands > 1 for stint in mine)

    def clean(self):
        for day in range(7):
            last = None
            for at in range(STRETCHES):
                last = self._check(day, at, last)
        if not self.errors and not self.stints():
            self.add_error(None, "Without baking hours nothing can be planned: give one stretch at least.")
        return self.cleaned_data

    def _check(self, day: int, at: int, last):
        start, end = (self.cleaned_data.get(f"{day}_{at}_{edge}") for edge in ("start", "end"))
        field = f"{day}_{at}_end"
        if self.has_error(field) or self.has_error(f"{day}_{at}_start"):
            return last
        if (start is None) != (end is None):
            self.add_error(field, "Give both times, or neither.")
        elif start and start >= end:
            self.add_error(field, "These hours end before they begin.")
        elif start and last and start < last:
            self.add_error(f"{day}_{at}_start", "This begins before the first stretch ends.")
        return end or last

    def stints(self) -> tuple[Stint, ...]:
        data = self.cleaned_data
        return tuple(
            Stint(day, data[f"{day}_{at}_start"], data[f"{day}_{at}_end"], 2 if data.get(f"{day}_two") else 1)
            for day in range(7)
            for at in range(STRETCHES)
            if data.get(f"{day}_{at}_start") and data.get(f"{day}_{at}_end")
        )

    def days(self):
        """Rows for the page: day, first and second clocks, the tick for two, whether the second is used."""
        for day, name in enumerate(DAYS):
            first, again = (
                [self[f"{day}_{at}_{edge}"] for edge in ("start", "end")] for at in range(STRETCHES)
            )
            used = any(field.value() or field.errors for field in again)
            yield name, first, again, self[f"{day}_two"], used


class DateForm(PlainForm):
    """One date that is not like its weekday."""

    day = forms.DateField(
        label="Date", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": "Which date?", "invalid": "That is not a date."},
    )  # fmt: skip
    kind = forms.ChoiceField(label="On that day", choices=HoursChange.Kind.choices)
    start = clock_field("From")
    end = clock_field("Until")
    two = forms.BooleanField(label="two of you", required=False)
    reason = forms.CharField(label="Why", max_length=120, required=False)

    def clean_day(self):
        day, today = self.cleaned_data["day"], timezone.localdate()
        if day < today:
            raise forms.ValidationError("That day is past.")
        if day > today + timedelta(days=3 * 366):
            raise forms.ValidationError("That is more than three years away.")
        return day

    def clean(self):
        data = self.cleaned_data
        unread = self.has_error("start") or self.has_error("end")
        if unread or data.get("kind") in (None, HoursChange.Kind.OFF):
            return data
        if not (data.get("start") and data.get("end")):
            self.add_error("end", "Give a start and a later end.")
        elif data["start"] >= data["end"]:
            self.add_error("end", "These hours end before they begin.")
        return data

    def values(self) -> dict:
        data = self.cleaned_data
        off = data["kind"] == HoursChange.Kind.OFF
        return {
            "day": data["day"], "kind": data["kind"], "start": None if off else data["start"],
            "end": None if off else data["end"], "hands": 2 if data["two"] else 1, "reason": data["reason"],
        }  # fmt: skip

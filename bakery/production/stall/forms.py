"""What she types about a day at the stall: counts and prices out, two numbers a design back."""

from __future__ import annotations

import uuid
from decimal import Decimal

from django import forms
from django.utils import timezone

from bakery.orders.fields import Count, Line, Money
from bakery.stock import stall

MOST = 5000


class TakeForm(forms.Form):
    """One count and one price for each packet."""

    token = forms.UUIDField(required=False, widget=forms.HiddenInput)
    on = forms.DateField(
        required=False, label="When", widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": "A date, like 2026-11-24."}, help_text="Empty is today.",
    )  # fmt: skip
    place = Line(longest=80, label="Where")

    def __init__(self, data=None, *, standing, **more):
        super().__init__(data, **more)
        self.standing = standing
        for one in standing:
            self.fields[f"take-{one.item.pk}"] = Count(
                least=0, most=MOST, what="How many", label="Take along"
            )
            self.fields[f"price-{one.item.pk}"] = Money(label="Each", initial=one.item.price_each)
        self.fields["token"].initial = uuid.uuid4()

    @property
    def rows(self):
        return [
            {"one": one, "take": self[f"take-{one.item.pk}"], "price": self[f"price-{one.item.pk}"]}
            for one in self.standing
        ]

    def clean(self):
        said = self.cleaned_data
        for one in self.standing:
            name = f"take-{one.item.pk}"
            if (said.get(name) or 0) > one.left:
                self.add_error(name, f"There are only {one.left} left.")
        if said.get("on") and abs((said["on"] - timezone.localdate()).days) > 366:
            self.add_error("on", "That is more than a year away.")
        if not self.errors and not any(said.get(f"take-{one.item.pk}") for one in self.standing):
            self.add_error(None, "How many of which do you take along?")
        return said

    def takes(self) -> list[stall.Take]:
        said = self.cleaned_data
        return [
            stall.Take(one.item.pk, said[f"take-{one.item.pk}"], said[f"price-{one.item.pk}"] or Decimal("0"))
            for one in self.standing
            if said.get(f"take-{one.item.pk}")
        ]


class BackForm(forms.Form):
    """Sold and brought back, for each line of a day; of one number alone the other is the rest."""

    def __init__(self, data=None, *, day, **more):
        super().__init__(data, auto_id=f"day-{day.pk}-%s", **more)
        self.day, self.day_lines = day, list(day.lines.all())
        counted = day.came_back_at is not None
        for line in self.day_lines:
            for name, label, value in (("sold", "Sold", line.sold), ("back", "Brought back", line.back)):
                self.fields[f"{name}-{line.pk}"] = Count(
                    least=0, most=MOST, what=label, label=label, initial=value if counted else None
                )

    @property
    def rows(self):
        return [
            {"line": line, "sold": self[f"sold-{line.pk}"], "back": self[f"back-{line.pk}"]}
            for line in self.day_lines
        ]

    def clean(self):
        said = self.cleaned_data
        for line in self.day_lines:
            sold, back = said.get(f"sold-{line.pk}"), said.get(f"back-{line.pk}")
            wrong = {f"sold-{line.pk}", f"back-{line.pk}"} & set(self.errors)
            if wrong:
                continue
            if sold is None and back is None:
                self.add_error(f"sold-{line.pk}", "How many were sold?")
                continue
            sold = max(0, line.taken - back) if sold is None else sold
            back = max(0, line.taken - sold) if back is None else back
            said[f"sold-{line.pk}"], said[f"back-{line.pk}"] = sold, back
            if sold + back > line.taken:
                self.add_error(f"back-{line.pk}", f"You took {line.taken}: {sold} and {back} are more.")
        return said

    def counts(self) -> list[stall.Counted]:
        said = self.cleaned_data
        return [
            stall.Counted(line.pk, said[f"sold-{line.pk}"], said[f"back-{line.pk}"])
            for line in self.day_lines
        ]

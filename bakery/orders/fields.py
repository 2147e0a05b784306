"""Form fields that read what a tired person types, and answer in her words."""

from __future__ import annotations

import re
from datetime import datetime, time
from decimal import Decimal

from django import forms
from django.utils import timezone

from .moments import MomentError, parse_moment, short
from .text import clean, names_of, one_line, plural

MOST_MONEY = Decimal("999999.99")
_MONEY = re.compile(r"^(\d{1,12})(?:[.,](\d{1,2}))?$", re.ASCII)
_COUNT = re.compile(r"^(\d{1,30})(\s*(?:dozen|dz|doz))?$", re.ASCII)
_KILOMETRES = re.compile(r"^(\d{1,6})(?:[.,](\d))?$", re.ASCII)
MOST_KILOMETRES = 2000
LONGEST_NAME = 60
MOST_NAMES = 5000


class Line(forms.CharField):
    """One line of text, cleaned, with a sentence when it is too long. Nothing is cut off."""

    def __init__(self, *, longest: int, **more):
        self.longest = longest
        super().__init__(required=False, strip=False, **more)
        self.validators = []  # what cannot be stored is taken out by `to_python`, not complained about

    def to_python(self, value):
        return one_line(value or "")

    def validate(self, value):
        if len(value) > self.longest:
            raise forms.ValidationError(
                f"Too long: {plural(len(value), 'sign')}, and there is room for {self.longest:,}. "
                "It is all still here; shorten it."
            )


class Words(Line):
    """Text of several lines."""

    def __init__(self, *, longest: int, rows: int = 3, **more):
        more.setdefault("widget", forms.Textarea(attrs={"rows": rows}))
        super().__init__(longest=longest, **more)

    def to_python(self, value):
        return clean(value or "").strip()


class Count(forms.Field):
    """A whole number, also as `3 dozen`; `blank` is what an empty field means."""

    def __init__(self, *, least: int, most: int, blank=None, what: str, too_many: str = "", **more):
        self.least, self.most, self.blank, self.what, self.too_many = least, most, blank, what, too_many
        widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
        super().__init__(required=False, widget=widget, **more)

    def to_python(self, value):
        text = one_line("" if value is None else value).lower().replace(",", "").replace(" ", " ")
        if not text:
            return self.blank
        found = _COUNT.match(text)
        if not found:
            raise forms.ValidationError(f"{self.what} is a whole number, for example 24.")
        number = int(found[1]) * (12 if found[2] else 1)
        if number < self.least:
            raise forms.ValidationError(f"{self.what}: at least {self.least}.")
        if number > self.most:
            raise forms.ValidationError(
                self.too_many or f"{self.what}: at most {self.most:,}. Is that figure right?"
            )
        return number


class Distance(forms.Field):
    """Kilometres one way, as people write them: `12`, `3.5`, `3,5 km`."""

    def __init__(self, **more):
        widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        super().__init__(required=False, widget=widget, **more)

    def to_python(self, value):
        text = one_line("" if value is None else value).lower().removesuffix("km").strip()
        if not text:
            return None
        found = _KILOMETRES.match(text)
        if not found:
            raise forms.ValidationError("Kilometres, for example 12 or 3.5.")
        far = Decimal(f"{found[1]}.{found[2] or 0}")
        if far > MOST_KILOMETRES:
            raise forms.ValidationError(f"Up to {MOST_KILOMETRES} km. Is that right?")
        return far

    def prepare_value(self, value):
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value


class Money(forms.Field):
    """An amount as people write it: `£190`, `190.50`, `190,50`."""

    def __init__(self, **more):
        widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        super().__init__(required=False, widget=widget, **more)

    def to_python(self, value):
        text = one_line("" if value is None else value)
        if not text:
            return None
        bare = re.sub(r"^[^\d.,\-]{1,6}|[^\d.,]{1,6}$", "", text).replace(
            " ", ""
        )  # the currency, before or after
        found = _MONEY.match(re.sub(r",(?=\d{3}(?:\D|$))", "", bare))
        if not found:
            raise forms.ValidationError("An amount, for example 190.00.")
        amount = Decimal(f"{found[1]}.{(found[2] or '').ljust(2, '0')}")
        if amount > MOST_MONEY:
            raise forms.ValidationError("That is more than this field holds. Is the amount right?")
        return amount

    def prepare_value(self, value):
        return f"{value:.2f}" if isinstance(value, Decimal) else value


class Moment(forms.Field):
    """A day with its time, as written: `Sat 12:00`. `past` allows days gone by."""

    def __init__(self, *, default: time = time(12), past: bool = False, **more):
        self.default, self.past = default, past
        widget = forms.TextInput(attrs={"autocomplete": "off"})
        super().__init__(required=False, widget=widget, **more)

    def to_python(self, value):
        text = one_line(value or "")
        if not text:
            return None
        try:
            return parse_moment(text, now=self.now(), default=self.default, past=self.past)
        except MomentError as error:
            raise forms.ValidationError(str(error)) from None

    def now(self) -> datetime:
        return timezone.localtime()

    def prepare_value(self, value):
        return short(timezone.localtime(value), now=self.now()) if isinstance(value, datetime) else value


class Names(Words):
    """A pasted list of names."""

    def to_python(self, value):
        return names_of(value or "")

    def validate(self, value):
        long = next((name for name in value if len(name) > LONGEST_NAME), None)
        if long:
            raise forms.ValidationError(
                f"“{long[:24]}…” is {len(long):,} signs long; a name has room for {LONGEST_NAME}. "
                "Put each name on a line of its own."
            )
        if len(value) > MOST_NAMES:
            raise forms.ValidationError(
                f"{len(value):,} names are more than one order holds ({MOST_NAMES:,})."
            )

    def prepare_value(self, value):
        return "\n".join(value) if isinstance(value, (tuple, list)) else value


class Choice(forms.ChoiceField):
    """One of a few; anything else that arrives counts as the usual one."""

    def __init__(self, *, usual: str = "", **more):
        self.usual = usual
        super().__init__(required=False, **more)

    def clean(self, value):
        known = {str(key) for key, _ in self.choices}
        return value if isinstance(value, str) and value in known else self.usual


class PickedRow(forms.Field):
    """A row picked from a list, by its id; None when it is not there (any more)."""

    def __init__(self, **more):
        super().__init__(required=False, widget=forms.Select, **more)
        self.known: dict[int, object] = {}

    def to_python(self, value):
        text = str(value or "").strip()
        number = int(text) if text.isascii() and text.isdigit() and len(text) < 12 else None
        return number if number in self.known else None

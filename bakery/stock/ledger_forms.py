"""What she types about packets: a delivery, a count, what was thrown away, a mixed colour."""

import re
import uuid
from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BaseFormSet, formset_factory
from django.utils import timezone

from bakery.studio.typed import Cleaned

from .ledger import ReceiveLine
from .models import Colour, Packet, StockItem
from .typed_amounts import came, measured

MOST_LINES = 60
OLD = 400  # days
NO_DAY = {"invalid": "A day, like 2026-11-24."}
REASONS = ("past its date", "dried out", "spilt", "went wrong", "clotted")


class Day(forms.DateField):
    def __init__(self, **more):
        widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
        super().__init__(**{"widget": widget, "error_messages": NO_DAY, "required": False} | more)


class Price(forms.Field):
    """4.20, 4,20, or with a currency sign before or after it; empty is None."""

    def to_python(self, value):
        text = re.sub(r"[\s£$€]", "", str(value or "")).replace(",", ".")
        if not text:
            return None
        if not re.fullmatch(r"-?\d{1,12}(\.\d{0,4})?|-?\.\d{1,4}", text):
            raise ValidationError("A price is a number, like 4.20.")
        price = Decimal(text)
        if price < 0:
            raise ValidationError("A price is never less than nothing.")
        if price > 100_000:
            raise ValidationError("That is a lot of money for one line. Is that figure right?")
        return price.quantize(Decimal("0.01"))


class Token(forms.UUIDField):
    """Makes a second press of the same form harmless."""

    widget = forms.HiddenInput

    def __init__(self, **more):
        super().__init__(required=False, initial=uuid.uuid4, **more)

    def clean(self, value):
        try:
            return super().clean(value) or uuid.uuid4()
        except ValidationError:
            return uuid.uuid4()


class DeliveryForm(Cleaned, forms.Form):
    """Whose bag it is, and when it came; the lines are a formset beside it."""

    supplier = forms.CharField(
        label="Where from?",
        max_length=80,
        required=False,
        error_messages={"max_length": "A shop's name has room for 80 letters."},
        widget=forms.TextInput(attrs={"list": "shops", "autocomplete": "off"}),
    )
    on = Day(label="Came on")
    token = Token()

    def clean_on(self):
        day, today = self.cleaned_data["on"] or timezone.localdate(), timezone.localdate()
        if day > today:
            raise ValidationError("That day is still to come. A delivery counts once it is here.")
        if (today - day).days > OLD:
            raise ValidationError("More than a year ago. Is the year right?")
        return day


class LineForm(Cleaned, forms.Form):
    """One thing of a delivery. An empty line is no line."""

    item = forms.ChoiceField(
        label="What",
        required=False,
        error_messages={"invalid_choice": "Pick one that is in the cupboard, or add it there first."},
    )
    much = forms.CharField(
        label="How much",
        required=False,
        max_length=40,
        error_messages={"max_length": "Shorter, please: 2, 3 x 400, 1.5 kg."},
    )
    cost = Price(label="Cost in all", required=False)
    best_before = Day(label="Best before")
    lot = forms.CharField(
        label="Lot on it",
        required=False,
        max_length=40,
        error_messages={"max_length": "A lot has room for 40 signs."},
    )

    def __init__(self, *args, items, **more):
        super().__init__(*args, **more)
        self.items = items
        self.fields["item"].choices = items.choices
        self.fields["much"].widget.attrs["placeholder"] = "2 or 1.5 kg"
        self.fields["cost"].widget.attrs["inputmode"] = "decimal"

    def clean_best_before(self):
        day = self.cleaned_data["best_before"]
        if day and not 2000 <= day.year <= 2100:
            raise ValidationError("Is the year right?")
        return day

    def clean(self):
        data = super().clean()
        item, much = self.items.by_key.get(data.get("item")), (data.get("much") or "").strip()
        self.line = None
        if item is None and not self.errors:
            if much or data.get("cost") is not None or data.get("best_before") or data.get("lot"):
                self.add_error("item", "What is it?")
            return data
        if item is not None and "much" in data:
            if not much:
                self.add_error("much", "How much came?")
                return data
            try:
                typed = came(much, item)
            except ValidationError as wrong:
                self.add_error("much", wrong)
                return data
            self.line = ReceiveLine(item, typed.quantity, data.get("cost"), data.get("best_before"),
                                    data.get("lot") or "", typed.packs)  # fmt: skip
        return data


class BaseLines(BaseFormSet):
    def lines(self) -> list[ReceiveLine]:
        return [form.line for form in self.forms if getattr(form, "line", None)]


Lines = formset_factory(LineForm, formset=BaseLines, extra=0, max_num=MOST_LINES, absolute_max=MOST_LINES)


class Items:
    """What a line can be picked from, read once a page."""

    def __init__(self):
        rows = list(StockItem.objects.all())
        self.by_key = {str(item.pk): item for item in rows}
        shelves: dict[str, list] = {}
        for item in rows:
            shelves.setdefault(item.get_group_display(), []).append((str(item.pk), item.name))
        self.choices = [("", "pick one"), *shelves.items()]


class HowMuchForm(Cleaned, forms.Form):
    """So much is left: of an item, or of one packet."""

    much = forms.CharField(
        label="How much is left?",
        max_length=40,
        error_messages={"required": "How much is left? Nothing is 0.", "max_length": "Shorter, please."},
    )
    token = Token()

    def __init__(self, *args, item: StockItem, **more):
        super().__init__(*args, **more)
        self.item = item
        self.fields["much"].help_text = f"In {item.get_unit_display()}, unless you say another measure."
        self.fields["much"].widget.attrs |= {"autocomplete": "off"}

    def clean_much(self):
        return measured(self.cleaned_data["much"], self.item)


class WasteForm(HowMuchForm):
    """Thrown away, all of it unless she says how much."""

    reason = forms.CharField(
        label="Why?",
        max_length=120,
        error_messages={"required": "Say why: then you see what it costs you in a year.",
                        "max_length": "In 120 letters, please."},
        widget=forms.TextInput(attrs={"list": "reasons", "autocomplete": "off"}),
    )  # fmt: skip

    field_order = ["reason", "much"]

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        self.fields["much"].required = False
        self.fields["much"].label = "How much?"
        self.fields["much"].help_text = "Empty is all that is left."

    def clean_much(self):
        return super().clean_much() if self.cleaned_data["much"].strip() else None


class OpenForm(Cleaned, forms.Form):
    on = Day(label="Opened on")

    def __init__(self, *args, packet: Packet, **more):
        super().__init__(*args, **more)
        self.packet = packet

    def clean_on(self):
        day = self.cleaned_data["on"] or timezone.localdate()
        if day > timezone.localdate():
            raise ValidationError("That day is still to come.")
        if day < self.packet.came_on:
            raise ValidationError("It had not come by then.")
        return day


class MixedForm(Cleaned, forms.Form):
    """Made 240 g of bone white: one line."""

    much = forms.CharField(
        label="How much?",
        max_length=40,
        error_messages={
            "required": "How much is it? A look is enough: 240.",
            "max_length": "Shorter, please.",
        },
    )
    colour = forms.ChoiceField(
        label="Of which colour?",
        error_messages={"required": "Pick the colour.", "invalid_choice": "Pick one of your colours."},
    )
    how = forms.ChoiceField(
        label="How did it come?",
        choices=[("left", "Left over; it is booked already"), ("new", "Mixed just now")],
        initial="left",
        error_messages={
            "invalid_choice": "Left over, or mixed just now?",
            "required": "Left over, or mixed just now?",
        },
    )
    place = forms.CharField(label="Where does it stand?", required=False, max_length=40)
    keeps = Day(label="Keeps until")
    token = Token()

    def __init__(self, *args, **more):
        super().__init__(*args, **more)
        self.colours = {str(colour.pk): colour for colour in Colour.objects.prefetch_related("parts__item")}
        options = [(key, f"{c.name}, {c.get_medium_display()}") for key, c in self.colours.items()]
        self.fields["colour"].choices = [("", "pick one"), *options]
        self.fields["much"].help_text = "Grams of icing, drops of airbrush colour."

    def clean_keeps(self):
        day = self.cleaned_data["keeps"]
        if day and (day < timezone.localdate() or day.year > 2100):
            raise ValidationError(
                "That day is past: then it is for the bin." if day.year < 2100 else "Is the year right?"
            )
        return day

    def clean(self):
        data = super().clean()
        colour = self.colours.get(data.get("colour"))
        if colour is None or "much" not in data:
            return data
        unit = "g" if colour.medium == Colour.Medium.ICING else "drop"
        kept = StockItem(name=colour.name, unit=unit)
        try:
            data["quantity"] = measured(data["much"], kept)
            if not data["quantity"]:
                raise ValidationError("Nothing of it? Then there is no tub.")
        except ValidationError as wrong:
            self.add_error("much", wrong)
        data["colour"] = colour
        return data


class OffcutForm(Cleaned, forms.Form):
    """So wide, so high: what is left of a sheet."""

    width = forms.IntegerField(
        label="Offcut, wide", min_value=1, max_value=2000, help_text="mm",
        error_messages={"required": "How wide is it?", "invalid": "Whole millimetres, please.",
                        "min_value": "At least a millimetre.", "max_value": "Is that in millimetres?"},
    )  # fmt: skip
    height = forms.IntegerField(
        label="and high", min_value=1, max_value=2000, help_text="mm",
        error_messages={"required": "How high is it?", "invalid": "Whole millimetres, please.",
                        "min_value": "At least a millimetre.", "max_value": "Is that in millimetres?"},
    )  # fmt: skip
    token = Token()

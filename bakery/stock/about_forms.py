"""What an item's packet says: how much it holds, what it costs, where it comes from, what is in it."""

from decimal import Decimal

from django import forms
from django.core.exceptions import ValidationError

from bakery.studio.typed import Cleaned

from .ledger_forms import Price
from .ledger_words import much
from .models import StockItem
from .typed_amounts import measured

TICKS = ("edible", "shake_first", "alcohol")


class Days(forms.IntegerField):
    def __init__(self, label, **more):
        wrong = f"{label}: a whole number of days, up to a year."
        errors = dict.fromkeys(("invalid", "min_value", "max_value"), wrong)
        super().__init__(
            label=label, min_value=0, max_value=365, required=False, error_messages=errors, **more
        )


class AboutForm(Cleaned, forms.Form):
    """Everything may stay empty; an empty field is as it was."""

    pack_size = forms.CharField(
        label="A packet holds",
        max_length=40,
        required=False,
        error_messages={"max_length": "Shorter, please."},
    )
    pack_price = Price(label="Price of a packet", required=False)
    supplier = forms.CharField(
        label="Bought from", max_length=80, required=False,
        error_messages={"max_length": "A shop's name has room for 80 letters."},
    )  # fmt: skip
    lead_days = Days("Days on the way")
    margin_days = Days("Days to spare", help_text="Ordered so much earlier than it has to be.")
    keeps_open_days = Days("Keeps once opened, days")
    allergens = forms.CharField(
        label="Allergens on its label", max_length=120, required=False,
        help_text="As the label says, with commas: wheat, may hold soya. They flow into your recipes.",
        error_messages={"max_length": "In 120 letters, please."},
    )  # fmt: skip
    drops_per_ml = forms.DecimalField(
        label="Drops in a millilitre",
        min_value=1, max_value=200, max_digits=4, decimal_places=1, required=False,
        help_text="Count them once into a measuring spoon; 20 is usual.",
        error_messages=dict.fromkeys(
            ("invalid", "min_value", "max_value", "max_digits", "max_decimal_places", "max_whole_digits"),
            "From 1 to 200 drops, like 22.5.",
        ),
    )  # fmt: skip
    edible = forms.BooleanField(label="Its label says edible and lists what is in it", required=False)
    shake_first = forms.BooleanField(label="Holds white: shake before and during", required=False)
    alcohol = forms.BooleanField(label="Contains alcohol", required=False)

    def __init__(self, *args, item: StockItem, **more):
        self.item = item
        first = {name: getattr(item, name) for name in self.base_fields}
        first["pack_size"] = much(item.pack_size, item.unit) if item.pack_size > 1 else ""
        super().__init__(*args, initial=first, **more)
        self.fields["pack_size"].help_text = f"In {item.get_unit_display()}, unless you say another: 1.5 kg."
        self.fields["pack_price"].widget.attrs["inputmode"] = "decimal"
        if item.unit != StockItem.Unit.DROP:
            del self.fields["drops_per_ml"]

    def clean_pack_size(self):
        text = self.cleaned_data["pack_size"].replace(",", "") if self.cleaned_data["pack_size"] else ""
        text = text.strip()
        if not text:
            return None
        size = measured(text, self.item).quantize(Decimal("0.01"))
        if size <= 0:
            raise ValidationError("A packet holds something.")
        return size

    def facts(self) -> dict:
        """What is to be written: ticks as they stand, texts also when emptied, the rest where it is said."""
        said = {name: value for name, value in self.cleaned_data.items() if value is not None}
        if self.cleaned_data.get("pack_price") is None and "pack_price" in self.changed_data:
            said["pack_price"] = None
        if self.cleaned_data.get("keeps_open_days") is None:
            said["keeps_open_days"] = None
        return said

"""What she types about the cupboard."""

from django import forms

from bakery.studio.typed import Cleaned

from .models import Level, StockItem


class ItemForm(Cleaned, forms.ModelForm):
    """A new thing on a shelf: a name and a shelf are enough."""

    group = forms.ChoiceField(
        label="Shelf",
        choices=[("", "pick one"), *StockItem.Group.choices],
        error_messages={
            "required": "Pick the shelf it stands on.",
            "invalid_choice": "Pick one of the shelves.",
        },
    )
    level = forms.ChoiceField(label="Now", choices=Level.choices, initial=Level.HAVE, required=False)
    hex = forms.RegexField(
        label="Shade",
        regex=r"^#[0-9a-fA-F]{6}\Z",
        required=False,
        help_text="For colours, like #5d708a.",
        error_messages={"invalid": "A shade looks like #5d708a. Leave it empty if you do not know it."},
    )

    class Meta:
        model = StockItem
        fields = ["name", "group", "level", "hex", "pack_price", "supplier", "lead_days", "allergens"]
        labels = {
            "name": "What is it called?",
            "pack_price": "Price of a packet",
            "supplier": "Bought from",
            "lead_days": "Days to get it",
            "allergens": "Allergens on its label",
        }
        error_messages = {
            "name": {
                "required": "Give it a name.",
                "max_length": "A name has room for 80 letters.",
            },
            "pack_price": {"invalid": "A price is a number, like 4.20."},
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["lead_days"].required = False
        self.fields["name"].widget.attrs["autocomplete"] = "off"

    def clean_level(self):
        return self.cleaned_data["level"] or Level.HAVE

    def clean_lead_days(self):
        days = self.cleaned_data["lead_days"]
        if days is not None and days > 365:
            raise forms.ValidationError("More than a year to get it? Give it in days.")
        return 3 if days is None else days

    def validate_unique(self):
        """The service decides: the same name on the same shelf is the one there is."""

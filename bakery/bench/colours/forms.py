"""What she types at the bench, in the colour book, and about a bottle."""

from decimal import Decimal

from django import forms

from bakery.stock.colour_book import Part
from bakery.stock.models import Colour, StockItem
from bakery.studio.typed import Cleaned

from .shades import ShadeField

MOST_RUN = 5000
PARTS = 5
COATS = [("1", "one coat"), ("2", "two coats"), ("3", "three coats")]
A_NUMBER = "A number, like 8."


def amount(label, high, places=1, **more):
    said = {"invalid": A_NUMBER, "min_value": "Nothing below nought.", "max_value": f"At most {high}.",
            "max_digits": A_NUMBER, "max_whole_digits": f"At most {high}.",
            "max_decimal_places": "Fewer places after the point."}  # fmt: skip
    widget = forms.NumberInput(attrs={"inputmode": "decimal", "step": "any", "min": "0"})
    return forms.DecimalField(label=label, required=False, min_value=0, max_value=high, max_digits=8,
                              decimal_places=places, error_messages=said, widget=widget, **more)  # fmt: skip


class MixForm(Cleaned, forms.Form):
    """The bench's settings, from the address; all may be missing."""

    want = ShadeField(label="Which colour?", required=False, help_text="#5d708a, teal, or one of your own.")
    ground = forms.ChoiceField(label="Sprayed on", required=False,
                               error_messages={"invalid_choice": "Pick one of your icings."})  # fmt: skip
    coats = forms.ChoiceField(label="How thick", choices=COATS, required=False, initial="1",
                              error_messages={"invalid_choice": "One to three coats."})  # fmt: skip
    much = forms.IntegerField(
        label="Drops for the run", required=False, min_value=1, max_value=MOST_RUN,
        widget=forms.NumberInput(attrs={"inputmode": "numeric", "placeholder": "one cup"}),
        error_messages={"invalid": "Whole drops, like 60.", "min_value": "At least one drop.",
                        "max_value": f"At most {MOST_RUN} drops in one go."},
    )  # fmt: skip

    def __init__(self, *args, grounds, **more):
        super().__init__(*args, **more)
        self.grounds = {key: shade for key, _, shade in grounds}
        self.fields["ground"].choices = [(key, words) for key, words, _ in grounds]
        self.fields["want"].widget.attrs["list"] = "own-colours"

    @property
    def shade_below(self) -> str:
        return self.grounds.get(self.cleaned_data.get("ground") or "", self.grounds[""])

    @property
    def how_many_coats(self) -> float:
        return float(self.cleaned_data.get("coats") or 1)


class SwatchForm(Cleaned, forms.Form):
    """It dried to."""

    hex = ShadeField(label="It dried to", help_text="In daylight, quite dry. From a photo it is surest.")
    ground = forms.ChoiceField(label="Sprayed on", required=False,
                               error_messages={"invalid_choice": "Pick one of your icings."})  # fmt: skip
    coats = forms.ChoiceField(label="How thick", choices=COATS, initial="1",
                              error_messages={"invalid_choice": "One to three coats.",
                                              "required": "One to three coats."})  # fmt: skip
    want = ShadeField(label="It was to become", required=False)

    def __init__(self, *args, grounds, **more):
        super().__init__(*args, **more)
        self.grounds = {key: shade for key, _, shade in grounds}
        self.fields["ground"].choices = [(key, words) for key, words, _ in grounds]


class BottleForm(Cleaned, forms.Form):
    """One airbrush bottle."""

    hex = ShadeField(label="Its dried shade", help_text="One usual coat on white icing, in daylight.")
    hides = forms.ChoiceField(
        label="How it covers", choices=StockItem.Hides.choices, widget=forms.RadioSelect,
        error_messages={"invalid_choice": "Pick one of the three.", "required": "Pick one of the three."},
    )  # fmt: skip
    shake_first = forms.BooleanField(label="Holds white: shake before and while spraying", required=False)
    alcohol = forms.BooleanField(label="Contains alcohol", required=False)
    shimmer = forms.BooleanField(label="Pearl, metallic or neon: its look cannot be foretold", required=False)
    drops_per_ml = forms.DecimalField(
        label="Drops in a millilitre", min_value=1, max_value=100, max_digits=4, decimal_places=1,
        help_text="20 is usual. Count them once into a measuring spoon of 5 ml and divide by 5.",
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        error_messages={"required": "About 20, if you have not counted.", "invalid": "A number, like 20.",
                        "min_value": "At least one drop.", "max_value": "More than 100 is no drop any more.",
                        "max_digits": "A number, like 20.", "max_whole_digits": "A number, like 20.",
                        "max_decimal_places": "One place after the point is enough."},
    )  # fmt: skip


class ColourForm(Cleaned, forms.Form):
    """A named colour; its parts come in rows of their own."""

    name = forms.CharField(label="What do you call it?", max_length=40, error_messages={
        "required": "Give it a name.", "max_length": "A name has room for 40 letters."})  # fmt: skip
    medium = forms.ChoiceField(label="What is it for?", widget=forms.RadioSelect,
                               choices=[("icing", "icing"), ("airbrush", "the airbrush")],
                               initial="icing",
                               error_messages={"required": "Icing, or the airbrush?",
                                               "invalid_choice": "Icing, or the airbrush?"})  # fmt: skip
    hex = ShadeField(label="Its shade when dry")
    rest_hours = forms.IntegerField(
        label="Rests for, hours", required=False, min_value=0, max_value=72,
        help_text="How long it stands, covered, until it is as deep as it gets.",
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={"invalid": "Whole hours, like 12.", "min_value": "Nothing below nought.",
                        "max_value": "Icing does not keep longer than 72 h."},
    )  # fmt: skip
    note = forms.CharField(label="Remember", required=False, max_length=200,
                           error_messages={"max_length": "Up to 200 letters, please."})  # fmt: skip

    def __init__(self, *args, colour: Colour | None = None, **more):
        super().__init__(*args, **more)
        self.fields["name"].widget.attrs["autocomplete"] = "off"
        if colour:
            del self.fields["medium"]

    def clean_rest_hours(self):
        return self.cleaned_data["rest_hours"] or 0


class PartForm(Cleaned, forms.Form):
    """One bottle of a recipe."""

    item = forms.ChoiceField(label="Bottle", required=False,
                             error_messages={"invalid_choice": "Pick one of your bottles."})  # fmt: skip
    drops = amount("Drops", 999)
    grams = amount("or grams", 200, 2)

    def __init__(self, *args, items, **more):
        super().__init__(*args, **more)
        self.items = items
        self.fields["item"].choices = [("", "none"), *((key, item.name) for key, item in items.items())]

    def clean(self):
        data = super().clean()
        item, much = data.get("item"), data.get("drops") or data.get("grams")
        if item and not much and not self.errors:
            self.add_error("drops", "How much of it?")
        if much and not item and "item" not in self.errors:
            self.add_error("item", "Of which bottle?")
        return data

    def made(self) -> Part | None:
        data = self.cleaned_data
        if not data.get("item"):
            return None
        return Part(self.items[data["item"]], data.get("drops") or Decimal(0), data.get("grams") or None)


def bottles_for_parts() -> dict[str, StockItem]:
    shelves = (StockItem.Group.GEL, StockItem.Group.AIRBRUSH, StockItem.Group.DUST)
    return {str(item.pk): item for item in StockItem.objects.filter(group__in=shelves)}


class UploadForm(Cleaned, forms.Form):
    """One photo."""

    photo = forms.FileField(
        label="A photo",
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        error_messages={"required": "Take or choose a photo first.",
                        "empty": "There is no picture in that file.",
                        "invalid": "Take or choose a photo first."},
    )  # fmt: skip


def drops_typed(data, pks) -> dict[int, int]:
    """Whole drops by item from fields d12=3; what is no small whole number counts as none."""
    found = {}
    for pk in pks:
        text = str(data.get(f"d{pk}", "")).strip()
        if text.isascii() and text.isdigit() and 0 < int(text[:6]) <= 500 and len(text) <= 3:
            found[pk] = int(text)
    return found

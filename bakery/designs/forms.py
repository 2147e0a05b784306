"""What she says about a design, a layer, a base colour. Every field but a name can stay empty."""

from django import forms

from bakery.stock.models import Colour
from bakery.studio.typed import Cleaned

from .models import Design, Kind, Layer
from .services import LayerData
from .stencils import written

NUMBER = {"invalid": "A number, like 1.5."}
PIECE = {
    "invalid": "A whole number of millimetres, please.",
    "min_value": "At least 3 mm: smaller cannot be cut.",
    "max_value": "Up to 300 mm.",
}


class DesignForm(Cleaned, forms.ModelForm):
    """A new design: a name, a kind and a shape are enough."""

    kind = forms.ModelChoiceField(Kind.objects.all(), label="How much work is it?", empty_label=None,
                                  error_messages={"invalid_choice": "Pick one of the kinds."})  # fmt: skip

    class Meta:
        model = Design
        fields = ["name", "kind", "shape", "motif", "text", "width_mm", "height_mm", "picture_from"]
        labels = {
            "name": "What is it called?",
            "shape": "Shape",
            "motif": "Drawn as",
            "text": "Lettered on every cookie",
            "width_mm": "Width, mm",
            "height_mm": "Height, mm",
            "picture_from": "Where the idea came from",
        }
        error_messages = {
            "name": {"required": "Give it a name.", "max_length": "A name has room for 80 letters."},
            "width_mm": NUMBER,
            "height_mm": NUMBER,
        }

    def __init__(self, *args, **kwargs):
        from bakery.drawing.motifs import MOTIFS

        super().__init__(*args, **kwargs)
        drawn = sorted({*MOTIFS, "boat", "waves", "monogram"})
        self.fields["motif"] = forms.ChoiceField(
            label="Drawn as", required=False, choices=[("", "nothing"), *((name, name) for name in drawn)]
        )
        for name in ("width_mm", "height_mm"):
            self.fields[name].required = False

    def clean(self):
        cleaned = super().clean()
        for name in ("width_mm", "height_mm"):
            if cleaned.get(name) is None and name not in self.errors:
                cleaned[name] = 75
        return cleaned

    def validate_unique(self):
        """The service decides: the same design again is the one there is."""


class LayerForm(Cleaned, forms.Form):
    """One layer. Only what it is must be said."""

    kind = forms.ChoiceField(label="What", choices=Layer.Kind.choices)
    title = forms.CharField(label="Called", max_length=60, required=False)
    colours = forms.ModelMultipleChoiceField(
        Colour.objects.all(), label="Colours", required=False, widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": "One of these colours is not in the cupboard any more."},
    )  # fmt: skip
    stencil = forms.CharField(
        label="Stencil and its pieces", max_length=300, required=False,
        help_text="Named at first use, like Fern, or Fern: background, mask",
    )  # fmt: skip
    dots = forms.IntegerField(
        label="Dots a cookie", required=False, min_value=0, max_value=500,
        error_messages={"min_value": "Not fewer than none.", "max_value": "Up to 500 dots a cookie."},
    )  # fmt: skip
    minutes_per_cookie = forms.DecimalField(
        label="Minutes a cookie", required=False, min_value=0, max_value=120, decimal_places=2,
        help_text="Empty: the usual.", error_messages=NUMBER,
    )  # fmt: skip
    wait = forms.ChoiceField(
        label="What is below must be", required=False, choices=[("", "the usual"), *Layer.Wait.choices]
    )
    another_way = forms.ChoiceField(
        label="Another way, should a tool be out", required=False, choices=Layer.AnotherWay.choices
    )
    another_way_minutes = forms.DecimalField(
        label="Minutes a cookie that way", required=False, min_value=0, max_value=120, decimal_places=2,
        error_messages=NUMBER,
    )  # fmt: skip
    grams_per_cookie = forms.DecimalField(
        label="Icing a cookie, g",
        required=False,
        min_value=0,
        max_value=500,
        decimal_places=2,
        error_messages=NUMBER,
    )
    thickness_mm = forms.DecimalField(
        label="Thickness, mm",
        required=False,
        min_value=0,
        max_value=30,
        decimal_places=1,
        error_messages=NUMBER,
    )
    placings = forms.IntegerField(
        label="Placings",
        required=False,
        min_value=1,
        max_value=50,
        help_text="How often the stencil is laid down.",
    )
    pieces = forms.IntegerField(
        label="Wafer pieces a cookie", required=False, min_value=1, max_value=50,
        error_messages={"invalid": "A whole number, please.", "min_value": "At least one.",
                        "max_value": "Up to 50 pieces a cookie."},
    )  # fmt: skip
    piece_width_mm = forms.IntegerField(
        label="A piece is wide, mm", required=False, min_value=3, max_value=300, error_messages=PIECE
    )
    piece_height_mm = forms.IntegerField(
        label="and high, mm", required=False, min_value=3, max_value=300, error_messages=PIECE
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["title"].widget.attrs["autocomplete"] = "off"
        self.fields["stencil"].widget.attrs |= {"list": "stencils", "autocomplete": "off"}

    def clean(self):
        said = super().clean()
        wide, high = said.get("piece_width_mm"), said.get("piece_height_mm")
        if wide and high is None and "piece_height_mm" not in self.errors:
            self.add_error("piece_height_mm", "And how high?")
        if high and wide is None and "piece_width_mm" not in self.errors:
            self.add_error("piece_width_mm", "And how wide?")
        return said

    @classmethod
    def of(cls, layer: Layer, **kwargs) -> "LayerForm":
        """The form of a layer there is."""
        same = ("kind", "title", "dots", "minutes_per_cookie", "wait", "another_way", "another_way_minutes",
                "grams_per_cookie", "thickness_mm", "placings", "pieces", "piece_width_mm",
                "piece_height_mm")  # fmt: skip
        initial = {name: getattr(layer, name) for name in same}
        initial["colours"] = [row.colour_id for row in layer.layer_colours.all()]
        initial["stencil"] = written(layer.stencils.all())
        return cls(initial=initial, auto_id=f"layer-{layer.pk}-%s", **kwargs)

    def data_for_service(self) -> LayerData:
        said = dict(self.cleaned_data)
        said["colours"] = tuple(said["colours"])
        said["placings"] = said["placings"] or 1
        said["pieces"] = said["pieces"] or 1
        return LayerData(**said)


class VariationForm(forms.Form):
    base = forms.ModelChoiceField(
        Colour.objects.filter(medium=Colour.Medium.ICING), label="Base colour", empty_label="pick one",
        error_messages={"required": "Pick the colour to flood with.",
                        "invalid_choice": "That colour is not in the cupboard any more."},
    )  # fmt: skip
    motif = forms.ModelChoiceField(
        Colour.objects.all(), label="Stencil in", required=False, empty_label="as it is"
    )
    detail = forms.ModelChoiceField(
        Colour.objects.filter(medium=Colour.Medium.ICING),
        label="Details in",
        required=False,
        empty_label="as they are",
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["motif"].label_from_instance = lambda colour: (
            f"{colour.name}, {colour.get_medium_display()}"
        )

"""What she says about a stencil set, a piece, a picture of one."""

from django import forms

from bakery.studio.typed import Cleaned

from .models import StencilPiece

MM = {
    "invalid": "A whole number of millimetres, please.",
    "min_value": "At least 15 mm.",
    "max_value": "Up to 300 mm.",
}
EDGES = (
    ("look", "Look for it"),
    ("line", "The line or sheet in the picture"),
    ("all", "The edge of the picture"),
)
CUTS = (("dark", "Dark, as in a drawing"), ("light", "Light, a sheet on a bright ground"))


class SetForm(Cleaned, forms.Form):
    name = forms.CharField(
        label="What is it called?",
        max_length=60,
        error_messages={"required": "Give it a name.", "max_length": "A name has room for 60 letters."},
    )
    fits_width_mm = forms.IntegerField(
        label="Fits a cookie, mm wide", required=False, min_value=15, max_value=300, error_messages=MM
    )
    fits_height_mm = forms.IntegerField(
        label="mm high", required=False, min_value=15, max_value=300, error_messages=MM
    )
    note = forms.CharField(
        label="Note",
        required=False,
        max_length=200,
        error_messages={"max_length": "A note has room for 200 letters."},
    )


class PieceForm(Cleaned, forms.Form):
    name = forms.CharField(
        label="Piece",
        max_length=60,
        error_messages={
            "required": "Which piece? For example background.",
            "max_length": "A name has room for 60 letters.",
        },
    )
    role = forms.ChoiceField(
        label="What it does",
        choices=StencilPiece.Role.choices,
        error_messages={"invalid_choice": "Pick one of these.", "required": "Pick one of these."},
    )
    copies = forms.IntegerField(
        label="Copies you own",
        min_value=1,
        max_value=999,
        error_messages={
            "invalid": "A whole number, like 2.",
            "required": "How many? At least 1.",
            "min_value": "At least 1.",
            "max_value": "Up to 999. Is that right?",
        },
    )
    cut_out_percent = forms.IntegerField(
        label="Cut out, %",
        min_value=0,
        max_value=100,
        error_messages={
            "invalid": "A whole number from 0 to 100.",
            "required": "About how much? 25 is a usual share.",
            "min_value": "At least 0.",
            "max_value": "At most 100: that is all of it.",
        },
    )


class LookForm(forms.Form):
    """How the picture is read: what counts as dark, which part is open, where the face ends."""

    level = forms.IntegerField(
        label="Dark begins at",
        required=False,
        min_value=1,
        max_value=255,
        widget=forms.NumberInput(attrs={"type": "range", "min": 1, "max": 255, "step": 2}),
        error_messages={"invalid": "Slide it to one side or the other."},
    )
    cut = forms.ChoiceField(label="What is cut out is", choices=CUTS, required=False)
    edge = forms.ChoiceField(label="The cookie’s edge is", choices=EDGES, required=False)

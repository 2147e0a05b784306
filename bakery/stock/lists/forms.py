"""A list to be brought in: a file or pasted lines, and what it is a list of."""

from django import forms
from django.core.exceptions import ValidationError

from ..ledger_forms import DeliveryForm
from .decoding import MOST_BYTES, Unreadable, text_of

MOST_TEXT = MOST_BYTES


class ListForm(DeliveryForm):
    """A file counts before what stands in the field: it is what she has just picked."""

    DELIVERY, CUPBOARD = "delivery", "cupboard"

    what = forms.ChoiceField(
        label="What is it?",
        choices=[(DELIVERY, "What came from a shop"), (CUPBOARD, "What is in the cupboard")],
        initial=DELIVERY,
        widget=forms.RadioSelect,
        error_messages={
            "required": "What came, or what there is?",
            "invalid_choice": "What came, or what there is?",
        },
    )
    file = forms.FileField(
        label="A file",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,text/csv,text/plain"}),
        allow_empty_file=True,
        max_length=200,
        error_messages={"max_length": "That file's name is too long."},
    )
    text = forms.CharField(
        label="Or the lines themselves", required=False, strip=False, widget=forms.Textarea
    )

    guess = ""

    def clean_file(self):
        file = self.cleaned_data["file"]
        if not file:
            return ""
        if file.size > MOST_BYTES:
            raise ValidationError(
                f"That file is larger than {MOST_BYTES // 1_000_000} MB. Bring it in in parts."
            )
        try:
            text, self.guess = text_of(file.read())
        except Unreadable as wrong:
            raise ValidationError(str(wrong)) from None
        if not text.strip():
            raise ValidationError("That file is empty.")
        return text

    def clean_text(self):
        text = self.cleaned_data["text"] or ""
        if len(text) > MOST_TEXT:
            raise ValidationError(f"More than {MOST_TEXT:,} signs at once. Bring it in in parts.")
        return text

    def clean(self):
        said = super().clean()
        if not self.errors and not said.get("file") and not (said.get("text") or "").strip():
            self.add_error("file", "Pick a file, or put the lines below.")
        return said

    @property
    def lines(self) -> str:
        """What is to be read."""
        return self.cleaned_data.get("file") or self.cleaned_data.get("text") or ""

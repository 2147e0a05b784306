"""Errors in plain words, by the kind of field."""

from django import forms

from bakery.studio.typed import Cleaned

ANY = {"required": "This cannot stay empty."}
NUMBER = {
    "required": "Give a number.",
    "invalid": "Give a number, in figures.",
    "min_value": "At least %(limit_value)s.",
    "max_value": "At most %(limit_value)s.",
    "max_digits": "That is too long a number.",
    "max_whole_digits": "That is too long a number.",
    "max_decimal_places": "Two figures after the point are enough.",
}
CHOICE = {"required": "Pick one.", "invalid_choice": "Pick one of these."}
TIME = {"required": "Give a time.", "invalid": "A time looks like 18:30."}
TEXT = {"required": "This cannot stay empty.", "max_length": "At most %(limit_value)d characters, please."}
EMAIL = {"invalid": "An address looks like name@example.org."}
BY_KIND = (
    (forms.EmailField, TEXT | EMAIL),
    (forms.IntegerField, NUMBER),
    (forms.DecimalField, NUMBER),
    (forms.ChoiceField, CHOICE),
    (forms.TimeField, TIME),
    (forms.CharField, TEXT),
)


def speak_plainly(form: forms.BaseForm) -> None:
    """Put plain words in place of the usual ones; a field's own words stay."""
    for field in form.fields.values():
        words = next((words for kind, words in BY_KIND if isinstance(field, kind)), ANY)
        usual = type(field)().error_messages if not isinstance(field, forms.ModelChoiceField) else {}
        for code, sentence in words.items():
            if field.error_messages.get(code) in (None, usual.get(code)):
                field.error_messages[code] = sentence


class PlainForm(Cleaned, forms.Form):
    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        speak_plainly(self)


class PlainModelForm(Cleaned, forms.ModelForm):
    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        speak_plainly(self)

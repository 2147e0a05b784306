"""A shade as she writes it: #5d708a, teal, or the name of one of her own colours."""

import re

from django import forms
from django.core.exceptions import ValidationError
from django.utils.html import format_html

from bakery.stock.models import Colour
from bakery.studio.typed import clean

HEX = re.compile(r"#[0-9a-f]{6}\Z")
LONGEST = 40
SENTENCE = "Write a shade like #5d708a, or a name like teal. Or pick one."


def shade_of(text: str) -> str | None:
    """ "#rrggbb" of what was written; None for what is no colour. Her own colours' names come first."""
    text = clean(text or "").strip().lower()
    if not text or len(text) > LONGEST:
        return None
    if HEX.match(text):
        return text
    own = Colour.objects.filter(name__iexact=text).order_by("-medium").values_list("hex", flat=True).first()
    return own.lower() if own else _by_library(text)


def _by_library(text: str) -> str | None:
    from coloraide import Color  # pages without a typed colour do without it

    tries = [text, f"#{text}"] if re.fullmatch(r"[0-9a-f]{3}|[0-9a-f]{6}", text) else [text]
    for one in tries:
        try:
            found = Color(one)
            if found.alpha() < 1:
                return None  # icing is not see-through: it would be read as black
            found = found.convert("srgb").fit("srgb")
        except (ValueError, OverflowError, ZeroDivisionError):
            continue
        levels = [0 if value != value else value for value in found.coords()]
        return "#" + "".join(f"{round(min(max(value, 0), 1) * 255):02x}" for value in levels)
    return None


class ShadeWidget(forms.TextInput):
    """Words and a picker beside them. Of the two that counts which she changed: the picker's old value is
    sent along, so that it works without JavaScript.
    """

    def value_from_datadict(self, data, files, name):
        said, picked, before = (data.get(f"{name}{end}", "") or "" for end in ("", "_pick", "_was"))
        unchanged = said.strip().lower() == before.lower()
        return picked if picked and picked.lower() != before.lower() and unchanged else said

    def render(self, name, value, attrs=None, renderer=None):
        shade = shade_of(value) or "" if value else ""
        field = self.build_attrs(self.attrs, attrs)
        return format_html(
            '<span class="shade">{}<input type="color" name="{}_pick" value="{}" aria-label="Pick a shade" '
            'data-shade-of="{}"><input type="hidden" name="{}_was" value="{}"></span>',
            super().render(name, value, attrs, renderer),
            name,
            shade or "#ffffff",
            field.get("id", ""),
            name,
            shade or "#ffffff" if not value else shade,
        )


class ShadeField(forms.CharField):
    """Cleans to "#rrggbb", or to nothing where it may stay empty."""

    widget = ShadeWidget

    def __init__(self, **more):
        said = {"required": SENTENCE, "max_length": SENTENCE}
        super().__init__(max_length=LONGEST, error_messages=said, **more)
        self.widget.attrs |= {"autocomplete": "off", "spellcheck": "false", "autocapitalize": "none"}

    def clean(self, value):
        said = super().clean(value)
        if not said:
            return ""
        shade = shade_of(said)
        if shade is None:
            raise ValidationError(SENTENCE)
        return shade

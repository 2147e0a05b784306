"""Cleaning what was typed or pasted, before anything reads it: what cannot be seen cannot do harm."""

import re
import unicodedata

from django.http import QueryDict

# Control signs, lone surrogates, and marks that turn the direction of everything after them.
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff]")


def clean(text) -> str:
    """`text` without signs that a database or a page cannot bear; line breaks become plain ones."""
    text = str(text).replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n").replace("\u2029", "\n")
    return unicodedata.normalize("NFC", _UNSEEN.sub("", text))


def cleaned(data):
    """All that a form was sent, cleaned; None stays None."""
    if not data:
        return data
    if not hasattr(data, "lists"):
        return {name: clean(value) if isinstance(value, str) else value for name, value in data.items()}
    fresh = QueryDict(mutable=True)
    for name, values in data.lists():
        fresh.setlist(name, [clean(value) for value in values])
    return fresh


class Cleaned:
    """A form that reads cleaned text; stands before the form class it is mixed into."""

    def __init__(self, data=None, *args, **kwargs):
        super().__init__(cleaned(data), *args, **kwargs)

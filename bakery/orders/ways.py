"""Ways that make a line simpler, as rows and forms keep them: codes, checked before anything reads them."""

from __future__ import annotations

import re

from django.core.exceptions import ValidationError

MOST_WAYS = 20
MOST_CHANGED = 20
MOST = 5000
_CODE = re.compile(
    r"(?:(?:without|other|colour|dots)\.[a-z_]{1,12}\.[1-9]\d{0,2}|colours|design|bases|plain)", re.ASCII
)


def is_way(code) -> bool:
    """Whether it reads as a way at all; whether a line has it is for `made_simpler` to say."""
    return isinstance(code, str) and bool(_CODE.fullmatch(code))


def known_ways(value) -> tuple[str, ...]:
    """The codes in a row's or a form's value; whatever else stands there is left out."""
    if isinstance(value, str):
        value = value.split(",")
    if not isinstance(value, list | tuple):
        return ()
    return tuple(code for code in value[:MOST_WAYS] if is_way(code))


def check_ways(value) -> None:
    if not isinstance(value, list) or len(value) > MOST_WAYS or not all(map(is_way, value)):
        raise ValidationError("That is no way to make a cookie simpler.")


def check_changes(value) -> None:
    """What an option changes: lines by their place, each with a quantity, ways, or both."""
    fine = isinstance(value, dict) and 0 < len(value) <= MOST_CHANGED and all(map(_is_change, value.items()))
    if not fine:
        raise ValidationError("An option says how many, or how a line is made simpler.")


def _is_change(entry) -> bool:
    place, change = entry
    if not (isinstance(place, str) and place.isascii() and place.isdigit() and len(place) <= 5):
        return False
    if not isinstance(change, dict) or not change or set(change) - {"quantity", "ways"}:
        return False
    quantity, ways = change.get("quantity", 1), change.get("ways", [])
    if type(quantity) is not int or not 1 <= quantity <= MOST:
        return False
    return isinstance(ways, list) and len(ways) <= MOST_WAYS and all(map(is_way, ways))


def tag_of(*, kind: str, design, ways) -> str:
    """Ways with what they were said about, so that a form forgets them with another kind or design."""
    return f"{f'd{design}' if design else f'k{kind}'}:{','.join(ways)}" if ways else ""


def read_tag(text: str, *, kind: str, design) -> tuple[str, ...]:
    """The ways in a tag, where it is about this kind or design; else none."""
    about, _, codes = str(text).partition(":")
    return known_ways(codes) if about == (f"d{design}" if design else f"k{kind}") else ()

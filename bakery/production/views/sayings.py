"""Small words that several pages of the kitchen share."""

from .. import words


def note(now) -> str:
    """Tue 24 Nov, 18:05: beside the mark on a phone."""
    return f"{words.day_month(now)}, {words.clock(now)}"

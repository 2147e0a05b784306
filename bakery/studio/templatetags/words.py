"""Times and amounts as the baker says them."""

from datetime import time

from django import template

register = template.Library()


@register.filter
def hours(minutes):
    """95 is "1 h 35", 1320 is "22 h", 40 is "40 min"; it never breaks over two lines."""
    whole, rest = divmod(round(minutes or 0), 60)
    if not whole:
        said = f"{rest} min"
    else:
        said = f"{whole} h {rest:02d}" if rest else f"{whole} h"
    return said.replace(" ", "\u00a0")


@register.filter
def clock(value):
    """A clock time as 18:30, on the hour as 9; text is left as typed."""
    if not isinstance(value, time):
        return value or ""
    return f"{value:%H:%M}" if value.minute else f"{value.hour}"

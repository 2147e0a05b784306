"""Moments as papers write them."""

from datetime import datetime, timedelta

from bakery.production import words


def when(moment: datetime) -> str:
    """Thu 15:45; up to the next five minutes, so that nobody touches it too soon."""
    late = moment + timedelta(minutes=-moment.minute % 5)
    return f"{words.short_day(late)} {words.clock(late)}"

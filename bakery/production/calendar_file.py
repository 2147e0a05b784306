"""Entries as an iCalendar stream (RFC 5545). Moments are written in UTC, so that no reader needs to know when
our clocks change.
"""

import hashlib
from datetime import UTC, datetime, timedelta

PRODUCT = "-//Dryby//Baking and hand-overs//EN"


def fingerprint(entries, name: str) -> str:
    """A sign of everything the stream says; equal when nothing has changed."""
    told = [(e.uid, e.start.timestamp(), e.end.timestamp(), e.title, e.text, e.sure) for e in entries]
    return hashlib.sha256(repr((PRODUCT, name, told)).encode("utf-8", "replace")).hexdigest()


def calendar_file(entries, *, name: str, house: str, changed: datetime) -> bytes:
    """The stream. `house` makes the uids ours alone; `changed` is when the content last changed."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", timedelta(hours=1), parameters={"VALUE": "DURATION"})
    for entry in entries:
        calendar.add_component(_event(entry, house, changed.astimezone(UTC).replace(microsecond=0)))
    return calendar.to_ical()


def _event(entry, house: str, changed: datetime):
    from icalendar import Event

    event = Event()
    event.add("uid", f"{entry.uid}@{house}")
    event.add("dtstamp", changed)
    event.add("last-modified", changed)
    event.add("dtstart", entry.start.astimezone(UTC))
    event.add("dtend", entry.end.astimezone(UTC))
    event.add("summary", entry.title)
    event.add("description", entry.text)
    event.add("status", "CONFIRMED" if entry.sure else "TENTATIVE")
    return event

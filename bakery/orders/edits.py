"""What the small buttons of the form do to it: a line more or less, another kind, words read, a change taken.

Each takes the fields as typed and gives them back changed; nothing is saved and nothing typed is lost.
"""

from __future__ import annotations

import re
from datetime import datetime

from django.utils import timezone

from bakery.designs.models import Design

from .forms import GUESSED_KIND, MOST_LINES, LineForm, OrderForm, colours_of
from .models import Order
from .moments import short
from .rows import line_data
from .text import clean, names_of, one_line

_LINE_KEY = re.compile(r"^line-(\d{1,3})-([a-z_]+)\Z", re.ASCII)


def typed(post) -> dict[str, str]:
    """The fields of a request, cleaned; the last of a name counts."""
    return {clean(key)[:80]: clean(post.get(key, "")) for key in post if key != "csrfmiddlewaretoken"}


def lines_of(fields: dict) -> dict[int, dict[str, str]]:
    """The line fields by line number."""
    found: dict[int, dict[str, str]] = {}
    for key, value in fields.items():
        if match := _LINE_KEY.match(key):
            found.setdefault(int(match[1]), {})[match[2]] = value
    return dict(sorted(found.items())[:MOST_LINES])


def with_lines(fields: dict, lines: list[dict]) -> dict:
    """The same fields with these lines."""
    plain = {key: value for key, value in fields.items() if not _LINE_KEY.match(key)}
    return plain | {f"line-{n}-{name}": value for n, line in enumerate(lines) for name, value in line.items()}


def unbound(fields: dict, order: Order | None = None) -> OrderForm:
    """A form that shows the fields as typed, without complaining yet."""
    return OrderForm(initial=fields | {"lines": list(lines_of(fields).values()) or [{}]}, order=order)


def add_line(fields: dict) -> dict:
    lines = list(lines_of(fields).values()) or [{}]
    return with_lines(fields, [*lines, {}][:MOST_LINES])


def drop_line(fields: dict, at: int) -> dict:
    """Without that line; one empty line always stays."""
    lines = lines_of(fields)
    lines.pop(at, None)
    return with_lines(fields, list(lines.values()) or [{}])


def press_kind(fields: dict, key: str) -> dict:
    """A tile pressed: it gives its kind to the first line without one, else to a new line; pressed again it goes.

    A line that goes hands its number of cookies to a line without one; where there is none it stays.
    """
    lines = list(lines_of(fields).values()) or [{}]
    mine = [line for line in lines if line.get("kind") == key and not line.get("design")]
    if mine:
        return with_lines(fields, _without_kind(lines, mine[-1]))
    free = next((line for line in lines if not line.get("kind") and not line.get("design")), None)
    if free is None and len(lines) < MOST_LINES:
        free = {}
        lines.append(free)
    if free is not None:
        free["kind"] = key
    return with_lines(fields, lines)


def _without_kind(lines: list[dict], line: dict) -> list[dict]:
    if len(lines) == 1:
        return [line | {"kind": ""}]
    others = [other for other in lines if other is not line]
    quantity = one_line(line.get("quantity", ""))
    if quantity:
        waiting = next((other for other in others if not one_line(other.get("quantity", ""))), None)
        if waiting is None:
            return lines
        waiting["quantity"] = quantity
    return others


def like_design(fields: dict, design: Design) -> dict:
    """That design on the first line without one, else on a new line."""
    lines = list(lines_of(fields).values()) or [{}]
    line = next((line for line in lines if not line.get("design")), None)
    if line is None:
        line = {}
        lines.append(line)
    line |= {"design": str(design.pk), "kind": design.kind.key, "designs": "1", "variation": ""}
    line["colours"] = str(colours_of(design) or "")
    return with_lines(fields, lines)


def like_order(fields: dict, order: Order) -> dict:
    """Its lines as they were, and whatever of who, what for and how is still empty."""
    lines = []
    for row in order.lines.all():
        data = line_data(row)
        names = ("kind", "quantity", "designs", "colours", "design", "variation", "spares", "packaging")
        lines.append({name: str(value) for name in names if (value := getattr(data, name)) is not None})
    known = {"who": order.customer.name if order.customer else "", "title": order.title, "place": order.place}
    fields = fields | {name: fields.get(name) or value for name, value in known.items()}
    if not one_line(fields.get("names", "")):
        fields["names"] = "\n".join(name.text for name in order.names.all())
    return with_lines(fields, lines or [{}])


def read_words(fields: dict, *, now: datetime) -> tuple[dict, list[str]]:
    """What the customer wrote, put into the fields that she has not filled herself; and what was found, in words."""
    found = _reading(fields.get("their_words", ""), now)
    before = _reading(fields.get("words_read", ""), now)
    lines = list(lines_of(fields).values()) or [{}]
    fields = dict(fields)
    for name, value in found["order"].items():
        if not one_line(fields.get(name, "")) or fields[name] == before["order"].get(name):
            fields[name] = value
    first = lines[0]
    for name, value in found["line"].items():
        if not one_line(first.get(name, "")) or first[name] == before["line"].get(name):
            first[name] = value
    fields["words_read"] = fields.get("their_words", "")[:8000]
    return with_lines(fields, lines), found["said"]


def _reading(text: str, now: datetime) -> dict:
    """The reading of a text as form fields, and in words."""
    empty = {"order": {}, "line": {}, "said": []}
    if not text.strip():
        return empty
    from bakery.craft.words import read

    reading = read(text[:8000], timezone.localtime(now).date())
    line = {
        name: str(value)
        for name in ("quantity", "kind", "designs", "colours")
        if (value := getattr(reading, name, None))
    }
    order = {"names": "\n".join(reading.names or ()), "title": (reading.event or "")[:120]}
    if reading.day:
        at = reading.time or datetime.min.time().replace(hour=12)
        order["hand_over"] = short(datetime.combine(reading.day, at))
    if reading.way:
        order["way"] = reading.way
    if reading.allergies:
        none = one_line(reading.allergies).lower() in ("none", "no")
        order |= {"allergy_state": "none"} if none else {
            "allergy_state": "told", "allergies": one_line(reading.allergies)[:200]}  # fmt: skip
    order = {name: value for name, value in order.items() if value}
    return {"order": order, "line": line, "said": said(reading)}


def said(reading) -> list[str]:
    """What was understood, bit by bit, so that she sees what was not."""
    bits = []
    if reading.quantity:
        bits.append(f"{reading.quantity} cookies")
    if reading.kind:
        bits.append(reading.kind.replace("_", " "))
    if reading.designs:
        bits.append(f"{reading.designs} designs" if reading.designs > 1 else "one design")
    if reading.colours:
        bits.append(f"{reading.colours} colours" if reading.colours > 1 else "one colour")
    if reading.day:
        bits.append(f"{reading.day:%A} {reading.day.day} {reading.day:%B}")
    if reading.time:
        bits.append(f"{reading.time.hour}:{reading.time:%M}")
    if reading.event:
        bits.append(reading.event)
    if reading.names:
        bits.append(f"{len(reading.names)} names" if len(reading.names) > 1 else f"the name {reading.names[0]}")
    if reading.allergies:
        bits.append(f"allergies: {reading.allergies}")
    return bits


def take_change(fields: dict, change: str) -> dict:
    """A change that makes it fit, as `what=value` or `what:line=value`."""
    what, _, value = change.partition("=")
    name, _, at = what.partition(":")
    lines = lines_of(fields) or {0: {}}
    if name == "hand_over":
        return fields | {"hand_over": value, "hand_over_shown": value, "hand_over_day": "", "hand_over_time": ""}
    if name in LineForm.base_fields and at.isascii() and at.isdigit() and int(at) in lines:
        lines[int(at)][name] = value
        if name == "kind":
            lines[int(at)] |= {"design": "", "variation": ""}
        return with_lines(fields, list(lines.values()))
    return fields


__all__ = ["GUESSED_KIND", "add_line", "drop_line", "like_design", "like_order", "names_of", "press_kind",
           "read_words", "take_change", "typed", "unbound"]  # fmt: skip

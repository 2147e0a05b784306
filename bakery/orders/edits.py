"""What the small buttons of the form do to it: a line more or less, another kind, words read, a change taken.

Each takes the fields as typed and gives them back changed; nothing is saved and nothing typed is lost.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, time

from django.utils import timezone

from bakery.craft.words import read
from bakery.craft.work import KIND_TITLES
from bakery.designs.models import Design
from bakery.designs.queries import with_layers

from .forms import MOST_LINES, LineForm, OrderForm, colours_of
from .kinds import kind_rows
from .models import Order
from .moments import short
from .rows import line_data
from .simpler import taken
from .text import capital, clean, one_line, plural
from .ways import tag_of

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
    """The same fields with these lines; an empty line still is one."""
    plain = {key: value for key, value in fields.items() if not _LINE_KEY.match(key)}
    whole = [{"quantity": ""} | line for line in lines]
    return plain | {f"line-{n}-{name}": value for n, line in enumerate(whole) for name, value in line.items()}


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
    """A tile pressed gives its kind to the first line without one, else to a new line; pressed again it goes.

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


_SAID_LINE = re.compile(r"^(?:d(\d{1,9})(?:v(\d{1,9}))?|k([a-z_]{1,20}))x(\d{1,4})\Z", re.ASCII)


def said_lines(text: str, packaging: str = "") -> list[dict]:
    """Lines that another page asks for, `d12v3x24,kplainx10`: a design on a base, or a kind, and how many.

    Anything that reads otherwise, or is not there (any more), is left out.
    """
    codes = [match.groups() for code in text.split(",")[:MOST_LINES] if (match := _SAID_LINE.match(code))]
    if not codes:
        return []
    wanted = [int(design) for design, *_ in codes if design]
    designs = {design.pk: design for design in with_layers(Design.objects.filter(pk__in=wanted))}
    kinds = kind_rows()
    found = []
    for pk, variation, kind, quantity in codes:
        design = designs.get(int(pk)) if pk else None
        if design is not None:
            named = {"design": pk, "variation": variation or "", "kind": design.kind.key}
            named["colours"] = str(colours_of(design) or "")
        elif kind in kinds:
            named = {"kind": kind}
        else:
            continue
        found.append(named | {"quantity": quantity, "designs": "1", "packaging": packaging})
    return found


def like_order(fields: dict, order: Order) -> dict:
    """Its lines as they were, and whatever of who, what for and how is still empty."""
    lines = []
    for row in order.lines.all():
        data = line_data(row)
        names = ("kind", "quantity", "designs", "colours", "design", "variation", "spares", "packaging")
        named = {name: str(value) for name in names if (value := getattr(data, name)) is not None}
        lines.append(named | {"ways": tag_of(kind=data.kind, design=data.design, ways=data.ways)})
    said = [one_line(line.get("quantity", "")) for line in lines_of(fields).values()]
    if len(lines) == len(said) == 1 and said[0]:
        lines[0]["quantity"] = said[0]  # how many she said stays said
    known = {"who": order.customer.name if order.customer else "", "title": order.title, "place": order.place}
    fields = fields | {name: fields.get(name) or value for name, value in known.items()}
    if not one_line(fields.get("names", "")):
        fields["names"] = "\n".join(name.text for name in order.names.all())
    return with_lines(fields, lines or [{}])


@dataclass(frozen=True)
class Understood:
    """What was read from a customer's words: bits to show, doubts to ask, words that may name a design."""

    bits: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    design_words: str = ""


def read_words(fields: dict, *, now: datetime) -> tuple[dict, Understood]:
    """What the customer wrote, put into the fields that she has not filled herself."""
    found, before = _reading(fields.get("their_words", ""), now), _reading(fields.get("words_read", ""), now)
    lines = list(lines_of(fields).values()) or [{}]
    fields = dict(fields)
    _fill(fields, found["order"], before["order"])
    _fill(lines[0], found["line"], before["line"])
    fields["words_read"] = fields.get("their_words", "")[:8000]
    return with_lines(fields, lines), found["said"]


def _fill(fields: dict, values: dict, before: dict) -> None:
    """Put values where nothing stands, or where an earlier reading put what stands there."""
    for name, value in values.items():
        now = one_line(fields.get(name, ""))
        usual = {"allergy_state": "not_asked", "way": "collected"}.get(name, "")
        if now in ("", usual, one_line(before.get(name, ""))):
            fields[name] = value


def _reading(text: str, now: datetime) -> dict:
    """The reading of a text as form fields, and in words."""
    if not text.strip():
        return {"order": {}, "line": {}, "said": Understood()}
    reading = read(text, timezone.localtime(now).date())
    line = {
        name: str(value)
        for name in ("quantity", "kind", "designs", "colours")
        if (value := getattr(reading, name))
    }
    order = {"names": "\n".join(reading.names), "title": capital(reading.event[:120]),
             "way": reading.way or "", "budget": str(reading.budget or "")}  # fmt: skip
    if reading.day:
        order["hand_over"] = short(datetime.combine(reading.day, reading.time or time(12)))
    order |= _allergies(reading)
    return {
        "order": {name: value for name, value in order.items() if value},
        "line": line,
        "said": said(reading),
    }


def _allergies(reading) -> dict:
    if not reading.allergies:
        return {}
    if reading.allergies == ("none",):
        return {"allergy_state": "none"}
    return {"allergy_state": "told", "allergies": ", ".join(reading.allergies)[:200]}


def said(reading) -> Understood:
    """What was understood, bit by bit, so that she sees what was not."""
    day = f"{reading.day:%A} {reading.day.day} {reading.day:%B}" if reading.day else ""
    bits = (
        plural(reading.quantity, "cookie") if reading.quantity else "",
        KIND_TITLES[reading.kind].lower() if reading.kind else "",
        plural(reading.designs, "design") if reading.designs else "",
        plural(reading.colours, "colour") if reading.colours else "",
        day,
        f"{reading.time.hour}:{reading.time:%M}" if reading.time else "",
        reading.event,
        plural(reading.name_count, "name") if reading.name_count else "",
        f"allergies: {', '.join(reading.allergies)}" if reading.allergies else "",
    )
    found = tuple(bit for bit in bits if bit)
    if found and reading.design_words:  # words left over count for something only beside others
        found = (*found, f"“{reading.design_words}”")
    return Understood(found, reading.doubts, reading.design_words)


def take_change(fields: dict, change: str) -> dict:
    """A change that makes it fit, as `what=value` or `what:line=value`."""
    what, _, value = change.partition("=")
    name, _, at = what.partition(":")
    lines = lines_of(fields) or {0: {}}
    if name == "simpler":
        return _take_simpler(fields, lines, at.split(".")[:MOST_LINES], value)
    if name == "hand_over":
        return fields | {
            "hand_over": value,
            "hand_over_shown": value,
            "hand_over_day": "",
            "hand_over_time": "",
        }
    if name == "bake_ahead":
        return fields | {"bake_ahead": "yes" if value == "yes" else ""}
    if name == "also":  # what the answer counts on besides the order: a line of items, read by the answer
        items = [item.strip() for item in fields.get("also", "").split(";") if item.strip()]
        return fields | {"also": "; ".join(dict.fromkeys([*items, value.strip()]))[:600]}
    known = at.isascii() and at.isdigit() and len(at) < 4 and int(at) in lines
    if name != "ways" and name in LineForm.base_fields and known:
        lines[int(at)][name] = value
        if name == "kind":
            lines[int(at)] |= {"design": "", "variation": ""}
        return with_lines(fields, list(lines.values()))
    return fields


def _take_simpler(fields: dict, lines: dict, numbers: list[str], code: str) -> dict:
    """A way taken on the lines of these numbers; without a code they are as they were asked for again."""
    form = OrderForm(fields)
    form.full_clean()
    for line in form.filled_lines:
        data, number = line.line_data(), line.number
        if number not in numbers or data is None or int(number) not in lines:
            continue
        now = taken(data, code, named=bool(one_line(fields.get("names", ""))))
        lines[int(number)]["ways"] = tag_of(kind=now.kind, design=now.design, ways=now.ways)
        if now.designs != data.designs:
            lines[int(number)]["designs"] = str(now.designs)
        if now.kind != data.kind:
            lines[int(number)] |= {"kind": now.kind, "colours": str(now.colours)}
    return with_lines(fields, list(lines.values()))

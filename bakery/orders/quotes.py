"""Quotes: numbered snapshots that never change, with all the paper shows and, apart, what she sees.

{"format": "quote/1", "number", "version", "made_at", "valid_until"           moments in ISO form
 "studio":     {"name", "strapline", "address", "phone", "email"}
 "for", "title", "about"                                            who; "36 fern plaques"; a sentence
 "hand_over":  {"at", "way", "way_words", "place"}, "event_at"
 "pictures":   [{"drawing": for bakery.drawing.cookie, "caption": "Bone, 12"}]
 "lines":      [{"what", "how_many", "each", "amount"}]                       each and how_many "" where none
 "sign", "currency", "total", "deposit", "balance", "balance_by", "changes_until"
 "names":      [...]
 "allergens":  {"contains", "handles", "theirs"}
 "to_say_yes": [sentences], "terms": text
 "hers":       {"rows": [[words, amount]], "minutes", "pays", "rough",       never on a customer's paper
                "parts": {key: amount}, "weights": {"l1": share}}}            for Money, to be held against what was
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from bakery.craft.costing import each_price, wage_of
from bakery.craft.costing.parts import pence
from bakery.designs.adapters import drawing_of, drawing_of_kind
from bakery.studio.adapters import prices
from bakery.studio.queries import the_studio

from .adapters import order_spec
from .models import OPEN_STATES, Order, OrderLine, Quote, State
from .pricing import deposit_of, panel
from .queries import with_lines
from .replies import clock, day
from .services import ask_first, set_state
from .text import plural

MOST_PICTURES = 6


def make_quote(*, order: Order, now: datetime | None = None) -> Quote:
    """A snapshot of the order as it stands, priced; the same again gives the quote there is.

    Raises AllergyNotAsked. An enquiry becomes quoted; other states stay.
    """
    now = now or timezone.now()
    order = with_lines(Order.objects.filter(pk=order.pk)).get()
    ask_first(order=order, state=State.QUOTED)
    snapshot = snapshot_of(order, now)  # priced before the transaction begins
    with transaction.atomic():
        Order.objects.select_for_update().get(pk=order.pk)
        last = order.quotes.order_by("-version").first()
        if last and last.valid_until > now and _content(last.snapshot) == _content(snapshot):
            quote = last
        else:
            quote = _numbered(order, snapshot, (last.version if last else 0) + 1, now)
        if order.state in (State.ENQUIRY, State.LAPSED, State.DECLINED):
            set_state(order=order, state=State.QUOTED, note=f"version {quote.version}", at=now)
    return quote


def _numbered(order: Order, snapshot: dict, version: int, now: datetime) -> Quote:
    until = datetime.fromisoformat(snapshot["valid_until"])
    quote = Quote(
        order=order,
        version=version,
        made_at=now,
        valid_until=until,
        total=Decimal(snapshot["total"]),
        deposit=Decimal(snapshot["deposit"]),
        snapshot=snapshot | {"version": version},
    )
    quote.full_clean(exclude=["order"])
    quote.save()
    return quote


def _content(snapshot: dict) -> dict:
    passing = ("version", "made_at", "valid_until", "to_say_yes")
    return {key: value for key, value in snapshot.items() if key not in passing}


def snapshot_of(order: Order, now: datetime) -> dict:
    """All that a quote of this order says, as plain data."""
    studio = the_studio()
    spec = order_spec(order)
    own = panel(spec, own=order.own_price, savings=False)
    lines, total = _lines(order, spec, own.price, studio)
    until = open_until(now, studio)
    hand_over = timezone.localtime(order.hand_over_at)
    deposit = deposit_of(total, studio)
    balance_by = hand_over - timedelta(days=studio.balance_days)
    changes_until = hand_over - timedelta(days=studio.change_days)
    return {
        "format": "quote/1",
        "number": order.number,
        "made_at": timezone.localtime(now).isoformat(),
        "valid_until": until.isoformat(),
        "studio": {n: getattr(studio, n) for n in ("name", "strapline", "address", "phone", "email")},
        "for": order.customer.name if order.customer else "",
        "title": quote_title(order),
        "about": _about(order),
        "hand_over": {"at": hand_over.isoformat(), "way": order.way, "way_words": order.get_way_display(),
                      "place": order.place},
        "event_at": timezone.localtime(order.event_at).isoformat() if order.event_at else None,
        "pictures": pictures_of(order),
        "lines": lines,
        "sign": studio.currency_sign,
        "currency": studio.currency,
        "total": f"{total:.2f}",
        "deposit": f"{deposit:.2f}",
        "balance": f"{total - deposit:.2f}",
        "balance_by": balance_by.date().isoformat() if balance_by > now else None,
        "changes_until": changes_until.date().isoformat() if changes_until > now else None,
        "names": [name.text for name in order.names.all()],
        "allergens": {"contains": studio.contains, "handles": studio.handles, "theirs": theirs(order)},
        "to_say_yes": _to_say_yes(until, changes_until if changes_until > now else None),
        "terms": studio.terms,
        "hers": {"rows": [list(row) for row in own.rows], "minutes": own.price.minutes, "rough": own.rough,
                 "pays": f"{wage_of(own.price, total):.2f}",
                 "parts": {part.key: f"{part.amount:.2f}" for part in own.price.parts},
                 "weights": {line: round(float(share), 6) for line, share in own.price.weights}},
    }  # fmt: skip


def open_until(now: datetime, studio=None) -> datetime:
    """Until when a quote made now stays open: the usual hours on, at six in the evening."""
    studio = studio or the_studio()
    end = timezone.localtime(now) + timedelta(hours=studio.quote_hours)
    evening = end.replace(hour=18, minute=0, second=0, microsecond=0)
    return evening if evening > timezone.localtime(now) else end


def balance_day(order: Order, quote: Quote | None, days: int) -> date:
    """When the balance is due: `days` before the hand-over; at it, where the quote was made after that."""
    day = timezone.localdate(order.hand_over_at - timedelta(days=days))
    late = quote is not None and day <= timezone.localdate(quote.made_at)
    return timezone.localdate(order.hand_over_at) if late else day


def theirs(order: Order) -> str:
    return order.allergies if order.allergy_state == Order.Allergy.TOLD else ""


def _lines(order: Order, spec, price, studio) -> tuple[list[dict], Decimal]:
    """Lines by design, variations merged; packing apart; a last line where the sum has to come out round."""
    total = price.total if order.own_price is None else order.own_price
    packing = _packing(order, prices(studio))
    rest = max(Decimal("0.00"), total - sum((row["sum"] for row in packing), Decimal("0.00")))
    priced, summed = each_price(price, spec, total=rest)
    each_of = {line.line: line for line in priced}
    rows = []
    for group in merged(order):
        found = [each_of[f"l{line.position}"] for line in group]
        count, amount = sum(f.quantity for f in found), sum((f.amount for f in found), Decimal("0.00"))
        same = len({f.each for f in found}) == 1
        rows.append(_row(what_of(group), count, found[0].each if same else None, amount))
    rows += [_row(row["what"], row["count"], row["each"], row["sum"]) for row in packing]
    summed += sum((row["sum"] for row in packing), Decimal("0.00"))
    if total != summed:
        rows.append(_row("To a round figure", None, None, total - summed))
    return rows, total


def _row(what, count, each, amount) -> dict:
    return {"what": what, "how_many": "" if count is None else count,
            "each": "" if each is None else f"{each:.2f}", "amount": f"{amount:.2f}"}  # fmt: skip


def _packing(order: Order, costs) -> list[dict]:
    """Bags are worth a line of their own; boxes and platters are part of the cookie's price."""
    bagged = sum(line.quantity for line in order.lines.all() if line.packaging == OrderLine.Packaging.BAG)
    each = pence(costs.rate("bag").cost(1))
    if not bagged or not each:
        return []
    return [{"what": "Each in a sealed bag", "count": bagged, "each": each, "sum": each * bagged}]


def merged(order: Order) -> list[list[OrderLine]]:
    """Lines of one design (or kind) together, whatever their base colour."""
    groups: dict = {}
    for line in order.lines.all():
        key = ("design", line.design_id) if line.design_id else ("kind", line.kind_id)
        groups.setdefault(key, []).append(line)
    return list(groups.values())


def what_of(lines: list[OrderLine]) -> str:
    """`Fern plaque, three base colours`."""
    first = lines[0]
    name = first.design.name if first.design else first.kind.name
    bases = [line.variation.base.name for line in lines if line.variation]
    if len(bases) > 1:
        return f"{name}, {_number(len(bases))} base colours"
    if bases:
        return f"{name}, {bases[0]}"
    designs = sum(line.designs for line in lines)
    return f"{name}, {_number(designs)} designs" if designs > 1 else name


def quote_title(order: Order) -> str:
    """`36 fern plaques`: how many of what."""
    groups = merged(order)
    quantity = sum(line.quantity for line in order.lines.all())
    if len(groups) == 1 and groups[0][0].design:
        name = groups[0][0].design.name
        return f"{quantity} {name[0].lower()}{name[1:]}{'' if quantity == 1 or name.endswith('s') else 's'}"
    return plural(quantity, "cookie")


def _about(order: Order) -> str:
    """A sentence about how they are made, from their layers."""
    words = {"flood": "a base coat of royal icing", "spray": "colour sprayed through a stencil",
             "icing_pass": "icing spread through a stencil", "piped": "details piped by hand",
             "lettering": "lettering by hand", "transfer": "small icing pieces made ahead",
             "wafer": "pieces of wafer paper", "brush": "painting by hand"}  # fmt: skip
    found, sizes = [], []
    for line in order.lines.all():
        if line.design:
            found += [words[layer.kind] for layer in line.design.layers.all()]
            sizes.append(f"{line.design.width_mm} by {line.design.height_mm} mm")
    found = list(dict.fromkeys(found))
    if not found:
        return "Colours may dry a shade deeper than this page."
    made = f"{', '.join(found[:-1])} and {found[-1]}" if len(found) > 1 else found[0]
    size = f"{', '.join(dict.fromkeys(sizes))}. " if len(set(sizes)) <= 2 else ""
    return f"{size}{made[0].upper()}{made[1:]}. Colours may dry a shade deeper than this page."


def pictures_of(order: Order) -> list[dict]:
    """The cookies drawn, each with its base colour's name and how many."""
    found = []
    names = [name.text for name in order.names.all()]
    for line in list(order.lines.all())[:MOST_PICTURES]:
        text = names[0][:14] if names else ""
        drawing = drawing_of(line.design, line.variation, text=text) if line.design else drawing_of_kind(
            line.kind.key, text=text if line.kind.key == "lettered" else "")  # fmt: skip
        name = (
            line.variation.base.name
            if line.variation
            else (line.design.name if line.design else line.kind.name)
        )
        found.append({"drawing": plain_drawing(drawing), "caption": f"{name}, {line.quantity}"})
    return found


def plain_drawing(drawing: dict) -> dict:
    """A drawing as data that JSON gives back unchanged."""
    return {key: value for key, value in drawing.items() if isinstance(value, str | bool)}


def _to_say_yes(until: datetime, changes_until: datetime | None) -> list[str]:
    steps = [
        "Say yes in writing, or sign below.",
        f"Pay the deposit by {until.day} {until:%B}, {clock(until)}. Until then we keep the date for you.",
    ]
    if changes_until:
        steps.append(f"Change what you like until {day(changes_until)}.")
    return steps


def _number(count: int) -> str:
    words = (
        "no",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
    )
    return words[count] if count < len(words) else str(count)


__all__ = ["OPEN_STATES", "make_quote", "open_until", "pictures_of", "quote_title", "snapshot_of"]

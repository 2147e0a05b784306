"""Quotes: numbered snapshots that never change, with all the paper shows and, apart, what she sees.

{"format": "quote/1", "number", "version", "made_at", "valid_until"           moments in ISO form
 "studio":     {"name", "strapline", "address", "phone", "email"}
 "for", "title", "about"                                            who; "36 fern plaques"; a sentence
 "hand_over":  {"at", "way", "way_words", "place"}, "event_at"
 "pictures":   [{"drawing": for bakery.drawing.cookie, "caption": "Bone, 12"}]
 "lines":      [{"what", "how_many", "each", "amount"}]    each and how_many "" where none; tax on top is one
 "tax":        {"words", "amount"}                          where it is part of the total; else {}
 "sign", "currency", "total", "deposit", "balance", "balance_by", "changes_until"
 "names":      [...]
 "allergens":  {"contains", "handles", "theirs"}
 "to_say_yes": [sentences], "terms": text
 "changed":    [sentences]                                  against the version before; [] in the first
 "asked":      what was asked for, to see whether it still is
 "options":    [{"letter", "option", "title", "says", "heading", "about", "pictures", "lines", "tax", "total",
                 "deposit", "balance"}]                     where there is a choice; the first is as asked
 "hers":       {"rows": [[words, amount]], "minutes", "pays", "rough",       never on a customer's paper
                "parts": {key: amount}, "weights": {"l1": share}, "floor",   for Money
                "options": {letter: the same}}}
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from bakery.craft.costing import floor_price, quote_lines, wage_of
from bakery.craft.costing.parts import pence
from bakery.studio.queries import the_studio

from . import quote_words
from .models import OPEN_STATES, Order, OrderLine, Quote, State
from .pricing import deposit_of, money, price_rows
from .queries import with_lines
from .quote_changes import changed_since
from .replies import clock, day
from .services import ask_first, set_state
from .versions import Version, says_of, versions_of

PASSING = ("version", "made_at", "valid_until", "to_say_yes", "changed")


def make_quote(*, order: Order, now: datetime | None = None) -> Quote:
    """A snapshot of the order as it stands, priced; the same again gives the quote there is.

    Raises AllergyNotAsked. An enquiry becomes quoted; other states stay.
    """
    now = now or timezone.now()
    order = with_lines(Order.objects.filter(pk=order.pk)).prefetch_related("options").get()
    ask_first(order=order, state=State.QUOTED)
    snapshot = snapshot_of(order, now)  # priced before the transaction begins
    with transaction.atomic():
        Order.objects.select_for_update().get(pk=order.pk)
        last = order.quotes.order_by("-version").first()
        if last and last.valid_until > now and _content(last.snapshot) == _content(snapshot):
            quote = last
        else:
            quote = _numbered(order, snapshot, last, now)
        if order.state in (State.ENQUIRY, State.LAPSED, State.DECLINED):
            set_state(order=order, state=State.QUOTED, note=f"version {quote.version}", at=now)
    return quote


def quote_to_book(*, order: Order, now: datetime | None = None) -> Quote:
    """The quote that a yes is to: the last one while it is open and what was asked is the same, whatever has
    become dearer since; else a new one. Raises AllergyNotAsked.
    """
    now = now or timezone.now()
    ask_first(order=order, state=State.QUOTED)
    order = with_lines(Order.objects.filter(pk=order.pk)).get()
    last = order.quotes.order_by("-version").first()
    if last and last.valid_until > now and last.snapshot.get("asked") == asked_of(order):
        return last
    return make_quote(order=order, now=now)


def quote_chosen(*, order: Order, option: int | None, now: datetime) -> Quote | None:
    """The next version of an open quote that offered a choice: the chosen one alone, at what was offered.

    None where no open quote offers it: then it is priced anew when a quote is made.
    """
    last = order.quotes.order_by("-version").first()
    if last is None or last.valid_until <= now:
        return None
    said = last.snapshot
    offered = next((one for one in said.get("options", ()) if one["option"] == option), None)
    if offered is None:
        return None
    kept = ("pictures", "lines", "tax", "total", "deposit", "balance", "about")
    hers = said["hers"].get("options", {}).get(offered["letter"], said["hers"])
    snapshot = {key: value for key, value in said.items() if key != "options"}
    snapshot |= {key: offered[key] for key in kept}
    snapshot |= {"title": offered["heading"], "asked": asked_of(order), "made_at": _iso(now), "options": []}
    snapshot["hers"] = {key: value for key, value in hers.items() if key != "options"}
    until, change = datetime.fromisoformat(said["valid_until"]), said.get("changes_until")
    snapshot["to_say_yes"] = _to_say_yes(until, date.fromisoformat(change) if change else None, [offered])
    words = f"You chose {offered['letter']}: {_small(offered['title'])}."
    return _numbered(order, snapshot, last, now, first=words)


def _numbered(order: Order, snapshot: dict, last: Quote | None, now: datetime, first: str = "") -> Quote:
    until = datetime.fromisoformat(snapshot["valid_until"])
    version = last.version + 1 if last else 1
    changed = changed_since(last.snapshot, snapshot) if last else []
    snapshot |= {"version": version, "changed": [first, *changed] if first else changed}
    quote = Quote(
        order=order,
        version=version,
        made_at=now,
        valid_until=until,
        total=Decimal(snapshot["total"]),
        deposit=Decimal(snapshot["deposit"]),
        snapshot=snapshot,
    )
    quote.full_clean(exclude=["order"])
    quote.save()
    return quote


def _content(snapshot: dict) -> dict:
    return {key: value for key, value in snapshot.items() if key not in PASSING}


def asked_of(order: Order) -> dict:
    """What the customer asks for, as plain data: all that a price and a promise hang on."""
    lines = [
        [line.kind.key, line.design_id, line.variation_id, line.quantity, line.designs, line.colours,
         line.spares, line.packaging, list(line.ways)] for line in order.lines.all()
    ]  # fmt: skip
    return {
        "hand_over": _iso(order.hand_over_at),
        "way": order.way,
        "place": order.place,
        "distance": str(order.distance_km or ""),
        "names": [name.text for name in order.names.all()],
        "own": "" if order.own_price is None else f"{order.own_price:.2f}",
        "lines": lines,
    } | ({"platter_holds": order.platter_holds} if order.platter_holds else {})


def snapshot_of(order: Order, now: datetime) -> dict:
    """All that a quote of this order says, as plain data."""
    studio = the_studio()
    versions = versions_of(order, studio)
    each = [_version(order, version, versions[0], studio) for version in versions]
    first = each[0]
    until = open_until(now, studio)
    hand_over = timezone.localtime(order.hand_over_at)
    balance_by = hand_over - timedelta(days=studio.balance_days)
    changes_until = hand_over - timedelta(days=studio.change_days)
    hers = [one.pop("hers") for one in each]
    return {
        "format": "quote/1",
        "number": order.number,
        "made_at": _iso(now),
        "valid_until": until.isoformat(),
        "studio": {n: getattr(studio, n) for n in ("name", "strapline", "address", "phone", "email")},
        "for": order.customer.name if order.customer else "",
        "title": first["heading"],
        "hand_over": {"at": hand_over.isoformat(), "way": order.way, "way_words": order.get_way_display(),
                      "place": order.place},
        "event_at": _iso(order.event_at) if order.event_at else None,
        **{key: first[key] for key in ("about", "pictures", "lines", "tax", "total", "deposit", "balance")},
        "sign": studio.currency_sign,
        "currency": studio.currency,
        "balance_by": balance_by.date().isoformat() if balance_by > now else None,
        "changes_until": changes_until.date().isoformat() if changes_until > now else None,
        "names": [name.text for name in order.names.all()],
        "allergens": {"contains": studio.contains, "handles": studio.handles, "theirs": theirs(order)},
        "to_say_yes": _to_say_yes(until, changes_until if changes_until > now else None, each),
        "terms": studio.terms,
        "changed": [],
        "asked": asked_of(order),
        "options": each if len(each) > 1 else [],
        "hers": hers[0] | ({"options": dict(zip((o["letter"] for o in each), hers, strict=True))}
                           if len(each) > 1 else {}),
    }  # fmt: skip


def _version(order: Order, version: Version, first: Version, studio) -> dict:
    """One version as the customer sees it, and hers apart."""
    names = [name.text for name in order.names.all()]
    rows = quote_words.rows_of(order, version.data.lines)
    groups = [
        (quote_words.what_of(group), [f"l{row.position}" for row, _ in group])
        for group in quote_words.merged(rows)
    ]
    quoted = quote_lines(version.price, version.spec, groups, total=version.own, bags=_bags(version))
    deposit = deposit_of(quoted.total, studio)
    price = version.price
    return {
        "letter": version.letter,
        "option": version.option.pk if version.option else None,
        "title": version.title,
        "says": says_of(order, version, first),
        "heading": quote_words.title_of(rows),
        "about": quote_words.about_of(rows),
        "pictures": quote_words.pictures_of(rows, names),
        "lines": [_row(row) for row in quoted.rows],
        "tax": {"words": quoted.tax_words, "amount": f"{quoted.tax:.2f}"} if quoted.tax_words else {},
        "total": f"{quoted.total:.2f}",
        "deposit": f"{deposit:.2f}",
        "balance": f"{quoted.total - deposit:.2f}",
        "hers": {
            "rows": [list(row) for row in price_rows(price, studio.currency_sign)],
            "minutes": price.minutes,
            "rough": money(price.total, studio.currency_sign),
            "pays": f"{wage_of(price, quoted.total):.2f}",
            "floor": f"{floor_price(price).wage:.2f}",
            "parts": {part.key: f"{part.amount:.2f}" for part in price.parts},
            "weights": {line: round(float(share), 6) for line, share in price.weights},
        },
    }


def _row(row) -> dict:
    return {"what": row.what, "how_many": "" if row.count is None else row.count,
            "each": "" if row.each is None else f"{row.each:.2f}", "amount": f"{row.amount:.2f}"}  # fmt: skip


def _bags(version: Version) -> tuple[int, Decimal]:
    """Bags are worth a line of their own; boxes and platters are part of the cookie's price."""
    bagged = (line.quantity for line in version.data.lines if line.packaging == OrderLine.Packaging.BAG)
    return sum(bagged), pence(version.price.prices.rate("bag").cost(1))


def _iso(moment: datetime) -> str:
    return timezone.localtime(moment).isoformat()


def _small(title: str) -> str:
    return title[:1].lower() + title[1:]


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


def _to_say_yes(until: datetime, changes_until: datetime | None, each: list[dict]) -> list[str]:
    letters = [one["letter"] for one in each]
    which = f"{', '.join(letters[:-1])} or {letters[-1]}"
    steps = [
        f"Tell us which: {which}. In writing, or mark it and sign below." if len(each) > 1 else
        "Say yes in writing, or sign below.",
        f"Pay the deposit by {until.day} {until:%B}, {clock(until)}. Until then we keep the date for you.",
    ]  # fmt: skip
    if changes_until:
        steps.append(f"Change what you like until {day(changes_until)}.")
    return steps


__all__ = ["OPEN_STATES", "make_quote", "open_until", "quote_chosen", "quote_to_book", "snapshot_of"]

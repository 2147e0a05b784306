"""A quote as its paper shows it, from the numbered snapshot alone: what she earns on it never gets here."""

import re
from datetime import date, datetime

from bakery.orders.models import Quote

VERSIONS = ("", "", "second version", "third version", "fourth version", "fifth version")
NUMBERS = ("", "", "Two", "Three")
WIDTHS = {1: 132, 2: 126}  # px for a picture, by how many there are; else NARROW
NARROW = 112
NARROW_CHOICE = 84
AGREED = ("booked", "approved", "kitchen", "ready", "handed_over")
DRAWN_AT = 95  # mm that `size` pixels stand for in a drawing
READY = {"collected": "Ready to collect on", "delivered": "Delivered on", "posted": "Posted on",
         "stall": "On the stall on"}  # fmt: skip


def quote_paper(quote: Quote) -> dict:
    """The content of the paper, ready for its template."""
    said = quote.snapshot
    studio, allergens, hand_over = said["studio"], said["allergens"], said["hand_over"]
    number, version = said["number"], quote.version
    sign = said.get("sign", "")
    choices = [_choice(one, said) for one in said.get("options", [])]
    return {
        "label": f"Quote {number}" + (f", {_version(version)}" if version > 1 else ""),
        "number": number,
        "version": version,
        "studio": studio["name"] or "My studio",
        "strapline": _strapline(studio),
        "address": ", ".join(part for part in (studio["address"], studio["phone"], studio["email"]) if part),
        "made": long_day(_moment(said["made_at"])),
        "until": f"{day_and_month(_moment(said['valid_until']))}, {_moment(said['valid_until']):%H:%M}",
        "title": f"{NUMBERS[len(choices)]} to choose from" if choices else said["title"],
        "whom": f"For {said['for']}." if said.get("for") else "",
        "how": _how(hand_over),
        "when": f"{long_day(_moment(hand_over['at']))} at {_moment(hand_over['at']):%H:%M}",
        "pictures": pictures(said.get("pictures", [])),
        "about": said.get("about", ""),
        "rows": [_row(row) for row in said["lines"]],
        "tax": said.get("tax") or {},
        "changed": said.get("changed", []),
        "against": _version(version - 1) if version > 2 else "first version",
        "choices": choices,
        "sign": sign,
        "total": said["total"],
        "deposit": said["deposit"] if float(said["deposit"]) else "",
        "deposit_words": "Deposit, books the date",
        "balance": said["balance"] if float(said["balance"]) and float(said["deposit"]) else "",
        "balance_words": _balance_words(said),
        "steps": said.get("to_say_yes", []),
        "contains": allergens["contains"],
        "beware": beware(allergens["contains"], allergens.get("theirs", "")),
        "care": _care(allergens),
        "names": said.get("names", []),
        "terms": [line.strip() for line in said.get("terms", "").splitlines() if line.strip()],
        "foot": ", ".join(part for part in (studio["name"], studio["address"]) if part) or "Dryby",
    }


def status_of(quote: Quote, newest: int, now: datetime) -> str:
    """What a reader of an old quote must know: it ran out, or another took its place; else nothing."""
    if newest > quote.version:
        return f"A later version took its place: the {_version(newest)}."
    if quote.valid_until <= now and quote.order.state not in AGREED:
        until = _moment(quote.snapshot["valid_until"])
        return f"This quote ran out on {day_and_month(until)}, {until:%H:%M}. Ask us for a fresh one."
    return ""


def _choice(one: dict, said: dict) -> dict:
    """One of the versions that the customer chooses from."""
    return {
        "letter": one["letter"],
        "title": one["title"],
        "says": one.get("says", []),
        "heading": one["heading"],
        "pictures": pictures(one.get("pictures", [])[:3], room=NARROW_CHOICE),
        "rows": [_row(row) for row in one["lines"]],
        "tax": one.get("tax") or {},
        "total": one["total"],
        "money": _money_words(one, said),
    }


def _money_words(one: dict, said: dict) -> str:
    """`Deposit 48.00, balance 48.00 by Sunday 6 December`; "" where no deposit is asked."""
    if not float(one["deposit"]):
        return ""
    by = said.get("balance_by")
    until = f" by {day_and_month(date.fromisoformat(by))}" if by else ""
    rest = f", balance {one['balance']}{until}" if float(one["balance"]) else ""
    return f"Deposit {one['deposit']}{rest}"


def _version(version: int) -> str:
    return VERSIONS[version] if version < len(VERSIONS) else f"version {version}"


def _strapline(studio) -> str:
    return studio["strapline"]


def _how(hand_over) -> str:
    said = READY.get(hand_over["way"], "Ready on")
    if hand_over["way"] == "delivered" and hand_over.get("place"):
        return f"Delivered to {hand_over['place']} on"
    return said


def _row(row) -> dict:
    return {
        "what": row["what"],
        "count": row["how_many"],
        "each": row["each"],
        "amount": row["amount"].replace("-", "−"),
    }


def _balance_words(said) -> str:
    by = said.get("balance_by")
    return f"Balance, by {day_and_month(date.fromisoformat(by))}" if by else "Balance"


def _care(allergens) -> str:
    """What the kitchen handles, what they told her, and how to keep the cookies; never a promise."""
    said = []
    if allergens.get("handles"):
        said.append(f"Made in a kitchen that also handles {_and(allergens['handles'])}.")
    if allergens.get("theirs"):
        said.append(
            f"You told us: {allergens['theirs'].rstrip('.')}. We cannot promise that no trace gets in."
        )
    said.append("Ingredients on request. Keep closed, dry and dark. Please tell us of any allergy.")
    return " ".join(said)


def beware(contains: str, theirs: str) -> str:
    """The sentence that has to be seen: what they must not have is in every cookie."""
    told = set(re.findall(r"[a-zà-ÿ]+", theirs.lower()))
    told |= {word.removesuffix("s") for word in told}
    inside = [part.strip() for part in contains.split(",") if part.strip()]
    hit = [part for part in inside if part.lower() in told or part.lower().removesuffix("s") in told]
    return f"These cookies contain {_and(', '.join(hit))}." if hit else ""


def _and(words: str) -> str:
    parts = [part.strip() for part in words.split(",") if part.strip()]
    return words if len(parts) < 2 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def pictures(rows, room: int | None = None) -> list[dict]:
    """Drawings with the size at which each fits its place, whatever its shape."""
    from bakery.drawing.shapes import shape

    room = room or WIDTHS.get(len(rows), NARROW)
    found = []
    for row in rows:
        cut = shape(str(row["drawing"].get("shape", "round")))
        size = min(room * DRAWN_AT / cut.width, 1.35 * room * DRAWN_AT / cut.height)
        found.append({"drawing": row["drawing"], "caption": row["caption"], "size": round(size)})
    return found


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def long_day(day: date) -> str:
    """Friday 27 November 2026"""
    return f"{day:%A} {day.day} {day:%B} {day.year}"


def day_and_month(day: date) -> str:
    """Friday 20 November"""
    return f"{day:%A} {day.day} {day:%B}"

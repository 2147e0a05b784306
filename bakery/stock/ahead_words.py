"""What lies made ahead, in her words: "Freezer: 92 ovals, for the wedding", "till February"."""

from datetime import datetime

from django.utils import timezone

from .models import MadeAhead

MANY = {"leaf": "leaves", "round": "rounds"}


def rows(lying, titles: dict[str, str], now: datetime) -> list[dict]:
    """One row for each thing, soonest to be used first."""
    return [
        {
            "item": one.item,
            "words": f"{capital(one.item.get_place_display())}: {thing(one.item, one.left)}",
            "for": _for(one, titles),
            "until": until(one.item, now),
            "old": bool(one.item.keeps_until and one.item.keeps_until < timezone.localdate(now)),
        }
        for one in lying
    ]


def thing(item: MadeAhead, count: int | None = None) -> str:
    """92 ovals, 2 batches of dough, 24 transfers for the fern plaque."""
    count = item.quantity if count is None else count
    if item.what == MadeAhead.What.DOUGH:
        return f"{count} {'batch' if count == 1 else 'batches'} of dough"
    if item.what == MadeAhead.What.TRANSFER:
        what = f"{count} transfer{'' if count == 1 else 's'}"
        return f"{what}, {item.shape}" if item.shape else what
    if item.what == MadeAhead.What.FINISHED:
        return f"{count} {item.shape}, ready"
    shape = item.shape.split(" ", 1)[0] if item.shape else "blank"
    return f"{count} {shape if count == 1 else MANY.get(shape, shape + 's')}"


def until(item: MadeAhead, now: datetime) -> str:
    """Until when it keeps in its place."""
    return until_day(item.keeps_until, now)


def until_day(end, now: datetime) -> str:
    """till Saturday, till 12 December, till February; or that it is past."""
    if end is None:
        return ""
    today = timezone.localdate(now)
    days = (end - today).days
    if days < 0:
        return "past its day"
    if days == 0:
        return "till tonight"
    if days < 7:
        return f"till {end:%A}"
    return f"till {end:%B}" if days > 45 else f"till {end.day} {end:%B}"


def _for(one, titles) -> str:
    """Whom it is for, or who has spoken for how many."""
    if one.item.for_order:
        return titles.get(one.item.for_order, "")
    named = [f"{count} for {titles[key]}" for key, count in one.spoken if key in titles]
    return ", ".join(named)


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]

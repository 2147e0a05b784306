"""The cupboard's sentences: what runs out, by when and for whom."""

from datetime import datetime

from django.utils import timezone

from .models import Level, StockItem
from .queries import Short

SMALL = ("nothing", "one thing", "two things", "three things", "four things", "five things", "six things")


def day(at: datetime, now: datetime) -> str:
    """A day in her words: today, tomorrow, Wednesday, or Wednesday 2 December from a week away."""
    local, today = timezone.localtime(at), timezone.localdate(now)
    ahead = (local.date() - today).days
    if ahead == 0:
        return "today"
    if ahead == 1:
        return "tomorrow"
    return f"{local:%A}" if 0 < ahead < 7 else f"{local:%A} {local.day} {local:%B}"


def moment(at: datetime, now: datetime) -> str:
    return f"{day(at, now)} {timezone.localtime(at):%H:%M}"


def item_words(item: StockItem) -> str:
    """The name as a headline wants it, with the shelf where a shade alone says too little."""
    shelves = {StockItem.Group.AIRBRUSH: ", airbrush", StockItem.Group.GEL: ", gel"}
    shelf = shelves.get(item.group, "")
    return item.name if shelf.strip(", ") in item.name.lower() else item.name + shelf


def headline(shorts: tuple[Short, ...], items, now: datetime) -> tuple[str, str]:
    """The answer and what it means for her."""
    gone = [item for item in items if item.level == Level.OUT]
    low = [item for item in items if item.level == Level.LOW]
    if shorts:
        first = shorts[0]
        verb = "is out" if first.item.level == Level.OUT else "runs low"
        answer = f"{first.item.name} {verb}, wanted {day(first.at, now)}."
        return answer, _shopping(shorts, now)
    if not items:
        return "The cupboard is not filled in yet.", "Add what you bake with; have, low or out is enough."
    if gone or low:
        return "Open orders have all they need.", _elsewhere(gone, low)
    return "Nothing runs out.", "Everything on these shelves is there."


def _shopping(shorts, now) -> str:
    count = len(shorts)
    first = day(shorts[0].at, now)
    rest = "Everything else that is wanted is there."
    if count == 1:
        return f"Buy it for {first}. {rest}"
    things = SMALL[count] if count < len(SMALL) else f"{count} things"
    return f"Buy {things}, the first for {first}. {rest}"


def _elsewhere(gone, low) -> str:
    said = []
    if gone:
        said.append(f"{len(gone)} out")
    if low:
        said.append(f"{len(low)} low")
    them = "it" if len(gone) + len(low) == 1 else "them"
    asks = f"needs more of {them}" if low else f"asks for {them}"
    return f"{' and '.join(said)}, but no open order {asks}."

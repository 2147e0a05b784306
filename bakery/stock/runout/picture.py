"""One item's line as a picture, and the same in words."""

from datetime import datetime, timedelta
from decimal import Decimal

from django.utils import timezone

from bakery.craft.stocktaking import reorder_point
from bakery.drawing.runout import RunDown, Step

from ..ledger_queries import titles_of
from ..models import StockItem
from . import words
from .outlook import Outlook, outlooks
from .words import much

LEAST_DAYS, MOST_STEPS = 7, 60


def line_of(item: StockItem, now: datetime) -> dict | None:
    """What an item's page shows of the days to come; None where no open order takes any of it."""
    outlook = outlooks(now, [item])[0]
    if not outlook.takes:
        return None
    titles = titles_of({take.order for take in outlook.takes})
    again = again_at(outlook)
    return {
        "picture": picture(outlook, titles, again) if outlook.left is not None else None,
        "answer": answer(outlook, titles),
        "rows": rows(outlook, titles)[:MOST_STEPS],
        "more": f"And {len(outlook.takes) - MOST_STEPS} more after that."
        if len(outlook.takes) > MOST_STEPS
        else "",
        "again": f"Buy again at {much(Decimal(str(round(again, 1))), item.unit)} left: {_why_again(outlook)}"
        if again
        else "",
    }


def again_at(outlook: Outlook) -> float:
    """At how much left to buy again, by her own pace; 0 while she has none."""
    item = outlook.item
    return reorder_point(float(outlook.pace), item.lead_days, margin_days=item.margin_days)


def _why_again(outlook: Outlook) -> str:
    item = outlook.item
    each = much(outlook.pace * 7, item.unit)
    return f"about {each} go in a week, {item.lead_days} days on the way and {item.margin_days} to spare."


def answer(outlook: Outlook, titles: dict) -> str:
    """Whether it lasts, and what to do."""
    item, now = outlook.item, outlook.now
    if outlook.is_short:
        at = outlook.firm.short_at
        return f"{words.short_line(outlook, titles)} {words.order_by(item, at, now)}"
    if outlook.left is None:
        return "How much there is, nobody has counted; so only what is wanted is known."
    if outlook.soft.short_by:
        missing = much(outlook.soft.short_by, item.unit)
        return f"Enough for all that is booked. If every open quote says yes, {missing} more are wanted."
    return f"Enough for all that is booked: {much(outlook.firm.lowest, item.unit)} stay over."


def rows(outlook: Outlook, titles: dict) -> list[dict]:
    """Each taking in words, with what it leaves; what is not booked yet leaves the line as it is."""
    left, found = outlook.left, []
    for take in outlook.takes:
        if take.firm and left is not None:
            left -= take.quantity
        whom = words.names_of([take.order], titles)
        said = words.taking(take.at, take.quantity, left if take.firm else None, outlook.item.unit, whom,
                            outlook.now)  # fmt: skip
        found.append({
            "words": said[:1].upper() + said[1:] + ("" if take.firm else ", if it is booked"),
            "short": take.firm and left is not None and left < 0,
            "url": titles.get(take.order, ("", ""))[1],
        })  # fmt: skip
    return found


def picture(outlook: Outlook, titles: dict, again: float) -> RunDown:
    now = timezone.localtime(outlook.now)
    last = max(timezone.localtime(take.at) for take in outlook.takes)
    item = outlook.item
    return RunDown(
        start=now,
        end=max(last + timedelta(days=1), now + timedelta(days=LEAST_DAYS)),
        left=float(outlook.left),
        steps=_steps(outlook, titles, soft=False),
        soft=_steps(outlook, titles, soft=True) if any(not take.firm for take in outlook.takes) else (),
        again=again,
        title=f"{item.name}: {answer(outlook, titles)}",
        again_words=f"buy again, {much(Decimal(str(round(again, 1))), item.unit)}" if again else "",
    )


def _steps(outlook: Outlook, titles, soft: bool) -> tuple[Step, ...]:
    left, steps = outlook.left, []
    for take in outlook.takes:
        if not (take.firm or soft):
            continue
        left -= take.quantity
        whom = words.names_of([take.order], titles)
        label = words.taking(take.at, take.quantity, left, outlook.item.unit, whom, outlook.now)
        steps.append(Step(timezone.localtime(take.at), float(left), label))
    return tuple(steps[:MOST_STEPS])

"""The week on a phone: a session a row, with its bar, its night's mist and the day's hand-overs."""

from dataclasses import dataclass
from datetime import timedelta

from bakery.drawing.evenings import Bar, BarBlock

from .. import words
from .runs import Run
from .week_orders import order_picture


@dataclass(frozen=True)
class EveningRow:
    title: str
    used: str
    bar: Bar
    dry: str
    reach: float
    runs: tuple[Run, ...]
    hand_overs: tuple[tuple[str, dict | None], ...]
    open: bool = False


def evening_rows(now, sessions, runs, orders, own, picked):
    told_days = set()
    for i, session in enumerate(sessions):
        mine = [run for run in runs if session.start <= run.start < session.end]
        day = words.local(session.start).date()
        hands = []
        if day not in told_days:
            told_days.add(day)
            hands = [
                (
                    f"{words.clock(o.hand_over_at)} {o.title}, {cookies_of(o)}",
                    order_picture(o),
                )
                for o in orders
                if words.local(o.hand_over_at).date() == day
            ]
        minutes = sum(run.minutes for run in mine)
        whole = (session.end - session.start).total_seconds() / 60 * session.hands
        blocks = [_block(run, picked) for run in mine]
        if own.wash_up_minutes and mine:
            wash = words.local(session.end) - timedelta(minutes=own.wash_up_minutes)
            blocks.append(BarBlock(wash, words.local(session.end), "", "bare", "Wash up"))
        dry, reach = _dry(mine, session, sessions[i + 1] if i + 1 < len(sessions) else None, now)
        title = words.capital(words.near_day(session.start, now))
        if title not in ("Tonight", "Today", "Tomorrow"):
            title = words.day_month(session.start)
        yield EveningRow(
            title=title,
            used=f"{words.length(minutes)} of {words.length(whole)}",
            bar=Bar(words.local(session.start), words.local(session.end), tuple(blocks)),
            dry=dry,
            reach=reach,
            runs=tuple(mine),
            hand_overs=tuple(hands),
            open=i == 0,
        )


def cookies_of(order) -> int:
    return sum(line.quantity for line in order.lines.all())


def _block(run, picked) -> BarBlock:
    ours = any(job.order.number == picked for job in run.jobs)
    return BarBlock(words.local(run.start), words.local(run.end), run.label, "must" if ours else "work",
                    f"{run.time} {run.title}")  # fmt: skip


def _dry(runs, session, following, now):
    """How many trays dry until when, and how far across the night that is."""
    wet = [run for run in runs if run.dry_slow]
    if not wet:
        return "", 0.0
    last = max(run.dry_slow for run in wet)
    trays = sum(max(1, run.trays) for run in wet)
    night = (following.start if following else session.end + timedelta(hours=20)) - session.end
    reach = (last - session.end) / night if night else 1.0
    return f"{words.counted(trays, 'tray')} dry by {words.day_and_time(last, now)}", float(
        min(1.0, max(0.1, reach))
    )

"""What a proposal would change, beside the plan on the wall."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from bakery.drawing.evenings import Bar, BarBlock

from .. import words
from ..models import Job, Plan
from ..old_work import old_words
from . import days
from .runs import picture_of

MOST_EVENINGS = 2


@dataclass(frozen=True)
class Move:
    title: str
    why: str
    picture: dict | None = None
    colour: str = ""
    when: str = ""

    @property
    def text(self) -> str:
        """Where it goes, and why."""
        to = f"To {self.when}." if self.when else ""
        return " ".join(part for part in (to, self.why) if part)


@dataclass(frozen=True)
class Pair:
    """One session as it hangs on the wall and as proposed."""

    day: str
    old: Bar
    new: Bar
    old_words: str
    new_words: str


@dataclass(frozen=True)
class ProposalView:
    plan: Plan
    headline: str
    reason: str
    summary: str
    moves: tuple[Move, ...]
    evenings: tuple[Pair, ...]
    if_left: str
    old: tuple[str, ...] = ()


def proposal_view(plan: Plan, wall: Plan | None, now: datetime) -> ProposalView:
    rows = {row.key: row for row in days.with_pictures(Job.objects.filter(key__in=plan.plan["starts"]))}
    shades = days.shades()
    moved = [key for move in plan.moves for key in move.get("keys", ())]
    titles = {row.order.key: row.order.title for row in rows.values()}
    return ProposalView(
        plan=plan,
        headline=_headline(plan, all(key in rows and _is_new(rows[key]) for key in moved)),
        reason=plan.reason,
        summary=_summary(plan, wall, titles),
        moves=tuple(_move(move, rows, shades) for move in plan.moves),
        evenings=tuple(_evenings(plan, rows, moved, now)),
        if_left=_if_left(plan, rows, moved, titles, now),
        old=old_words((plan.tonight or {}).get("old"), titles, now),
    )


def moves_of(plan: Plan) -> tuple[Move, ...]:
    """What a proposal moves, with pictures."""
    keys = [key for move in plan.moves for key in move.get("keys", ())[:1]]
    rows = {row.key: row for row in days.with_pictures(Job.objects.filter(key__in=keys))}
    shades = days.shades()
    return tuple(_move(move, rows, shades) for move in plan.moves)


def _is_new(row: Job) -> bool:
    """Work that never had a place, and of which she has said nothing."""
    return row.planned_start is None and row.state == Job.State.PLANNED and not row.said


def _headline(plan, added: bool) -> str:
    runs = len(plan.moves) + sum(move.get("more", 1) - 1 for move in plan.moves)
    if not runs:
        return "The times would change."
    what = f"{words.capital(words.number_word(runs))} {'run' if runs == 1 else 'runs'}"
    return f"{what} would be added." if added else f"{what} would move."


def _summary(plan, wall, titles) -> str:
    late = plan.plan.get("late", {})
    if not late:
        return "Every hand-over still holds."
    before = wall.plan.get("late", {}) if wall else {}
    named = [f"{titles.get(key, 'an order')} by {words.length(minutes)}" for key, minutes in late.items()]
    still = "Still late" if set(late) <= set(before) else "Late, and no better plan was found"
    return f"{still}: {words.listed(named[:3])}."


def _move(move, rows, shades) -> Move:
    row = next((rows[key] for key in move.get("keys", ()) if key in rows), None)
    if move.get("more"):
        return Move(move["title"], move["why"])
    told = Move(move["title"], move["why"], when=move["when"])
    if row is None or row.kind == "dough":
        return told
    if row.kind == "mix":
        return replace(told, colour=shades.of(row.colours[0]) if row.colours else "#f1e8d3")
    return replace(told, picture=picture_of(row, shades))


def _sessions(plan):
    origin = datetime.fromisoformat(plan.problem["origin"])
    for window in plan.problem["windows"]:
        if window["longest"] is None:
            yield origin + timedelta(minutes=window["start"]), origin + timedelta(minutes=window["end"])


def _evenings(plan, rows, moved, now):
    """The first sessions in which something comes, goes or gets another place."""
    origin = datetime.fromisoformat(plan.problem["origin"])
    lengths = {task["id"]: task["minutes"] for task in plan.problem["tasks"]}
    new = {key: origin + timedelta(minutes=start) for key, start in plan.plan["starts"].items()}
    found = 0
    for start, end in _sessions(plan):
        old_keys = [k for k, row in rows.items() if row.planned_start and start <= row.planned_start < end
                    and row.state == Job.State.PLANNED]  # fmt: skip
        new_keys = [key for key in new if start <= new[key] < end]
        if not (set(old_keys) ^ set(new_keys)):
            continue
        found += 1
        if found > MOST_EVENINGS:
            return
        old = [
            _block(rows[k], rows[k].planned_start, lengths.get(k), "was" if k in moved else "plain")
            for k in old_keys
        ]
        fresh = [
            _block(rows.get(k), new[k], lengths[k], "moved" if k in moved else "plain") for k in new_keys
        ]
        day = words.near_day(start, now)
        yield Pair(
            words.capital(day),
            _bar(start, end, old),
            _bar(start, end, fresh),
            _done(old),
            _done(fresh),
        )


def _block(row, start, minutes, look) -> BarBlock:
    start = words.local(start)
    label = words.SHORT.get(row.kind, "") if row else ""
    return BarBlock(start, start + timedelta(minutes=minutes or (row.minutes if row else 5)), label, look,
                    row.title if row else "")  # fmt: skip


def _bar(start, end, blocks) -> Bar:
    return Bar(words.local(start), words.local(end), tuple(sorted(blocks, key=lambda b: b.start)), "night")


def _done(blocks) -> str:
    return f"done {max(block.end for block in blocks):%H:%M}" if blocks else "nothing planned"


def _if_left(plan, rows, moved, titles, now) -> str:
    """What is true when she leaves it: work without a place, and the first hand-over that it keeps
    waiting.
    """
    homeless = [rows[key] for key in plan.plan["starts"] if key in rows and not rows[key].planned_start
                and rows[key].state == Job.State.PLANNED]  # fmt: skip
    stays = "The plan on the wall stays until you take this one."
    if not homeless:
        return stays
    first = min(homeless, key=lambda row: row.order.hand_over_at)
    what = words.small(words.strip_part(first.title))
    due = words.day_and_time(first.order.hand_over_at, now)
    return f"{stays} If you leave it, “{what}” has no session, and {first.order.title} misses {due}."

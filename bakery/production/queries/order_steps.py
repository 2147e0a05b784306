"""One order from blank to hand-over: runs of its own and shared work, the drying between, the hand-over."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils import timezone

from bakery.orders.adapters import order_spec
from bakery.orders.models import CLOSED_STATES, Order, State
from bakery.studio.adapters import shop as the_shop

from .. import words
from ..models import Job
from ..scene import base_of, works_for
from ..touching import hard_after, works_hard
from .days import began, ended
from .runs import busy_minutes

LONG_WAIT = 90
"""Minutes from which a wait is drawn as mist."""
RANK = {"dough": 0, "bake": 1, "mix": 2, "pack": 9}
WAITS = ("outline_set", "crusted", "firm", "base_dry", "wafer_dry", "dry_through", "transfer_dry")
NO_PLACE = "No place yet"


@dataclass(frozen=True)
class Step:
    """A row from blank to hand-over: work, a wait (drawn as mist), or the hand-over itself."""

    when: str
    title: str
    text: str = ""
    note: str = ""
    sign: str = ""
    mist: bool = False
    seed: int = 1


@dataclass(frozen=True)
class _Drying:
    """From when to when something dries, usually and on a slow night."""

    title: str
    begins: datetime
    usual: datetime
    slow: datetime
    done: bool = False

    def joined(self, other: _Drying) -> _Drying:
        return replace(self, usual=max(self.usual, other.usual), slow=max(self.slow, other.slow),
                       done=self.done and other.done)  # fmt: skip


def steps_of(order: Order, rows, now: datetime, paid_note: str = "", *, shop=None) -> list[Step]:
    """Work, waits and the hand-over in the order of time; without a plan in their natural order.

    `rows` are the jobs that work for this order, alone or with others, with `shares__order` prefetched.
    """
    works = works_for([order_spec(order)], shop or the_shop(), rows, now)
    work = works_hard(works, hard_after(now))[order.key]
    placed = [row for row in rows if row.started_at or row.planned_start]
    if not placed:
        return [*_untimed(work), _hand_over(order, now, paid_note)]
    mine = {job.id: job for job in work.jobs}
    found = [(began(run[0]), 0, _run(run, order, now, mine)) for run in _runs(placed)]
    found += [(one.slow, 1, _wait(one, now, at + 3)) for at, one in enumerate(_dryings(placed, work))]
    found.append((order.hand_over_at, 2, _hand_over(order, now, paid_note)))
    found.sort(key=lambda one: one[:2])
    waiting = [row for row in rows if not (row.started_at or row.planned_start)]
    for run in _alike(waiting):
        found.insert(len(found) - 1, (None, 0, replace(_run(run, order, now, mine), when=NO_PLACE)))
    return [step for _, _, step in found]


def _base(job) -> str:
    """A job's title without its colours: what makes jobs of several colours one step."""
    return job.title.removesuffix(" and ".join(job.colours)).strip()


def _step(job):
    return (job.kind, "" if job.kind in ("dough", "bake", "mix", "pack") else (job.layer, _base(job)))


def _runs(rows) -> list[list[Job]]:
    """Jobs of one step that follow each other on one day."""
    runs: list[list[Job]] = []
    for row in sorted(rows, key=lambda row: (began(row), row.key)):
        sign = (_step(row), timezone.localdate(began(row)))
        if runs and sign == (_step(runs[-1][0]), timezone.localdate(began(runs[-1][0]))):
            runs[-1].append(row)
        else:
            runs.append([row])
    return runs


def _alike(jobs) -> list[list]:
    """Jobs of one step together, in the order in which they are done."""
    groups: dict = {}
    for job in sorted(jobs, key=lambda job: (RANK.get(job.kind, 3), job.layer or 0)):
        groups.setdefault(_step(job), []).append(job)
    return list(groups.values())


def _run(jobs, order: Order, now: datetime, mine) -> Step:
    others = dict.fromkeys(one.title for row in jobs for one in row.served if one != order)
    together = f"together with {words.listed(list(others)[:2])}" if others else ""
    minutes = busy_minutes((began(row), ended(row)) for row in jobs if row.started_at or row.planned_start)
    note, sign = _how_far(jobs, now)
    when = words.capital(_when(began(jobs[0]), now)) if began(jobs[0]) else ""
    parts = [part for row in jobs for part in _own_parts(row, mine)]
    return Step(when, _title(parts, sum(_cookies(part) for part in parts)),
                _text(parts, minutes or sum(row.minutes for row in jobs), together), note, sign)  # fmt: skip


def _own_parts(row: Job, mine) -> list:
    """Of shared work what belongs to this order; of its own the row itself."""
    return [mine[name] for name in row.stands_for if name in mine] or [row]


def _cookies(job) -> int:
    done = getattr(job, "done_count", None)
    return job.cookies if done is None else done


def _title(jobs, cookies: int) -> str:
    colours = words.colours_of(jobs)
    if jobs[0].kind in ("mix", "dough") or len(colours) < 2:
        return words.run_title(jobs, cookies)
    counted = words.counted(cookies, "cookie")
    if jobs[0].kind == "flood" and not jobs[0].layer:
        return f"Flood {words.listed(colours).lower()}: {counted}"
    base = _base(jobs[0])
    return f"{words.with_verb(jobs[0].kind, base)}, {words.listed(colours).lower()}: {counted}"


def _text(jobs, minutes: float, together: str = "") -> str:
    trays = len({(job.line_id if isinstance(job, Job) else job.line, job.tray) for job in jobs if job.tray})
    grams = sum(job.grams for job in jobs)
    bits = (f"{trays} trays" if trays > 1 else "", together, words.grams(grams) if grams else "",
            words.length(minutes))  # fmt: skip
    return ", ".join(bit for bit in bits if bit)


def _how_far(rows, now: datetime) -> tuple[str, str]:
    """The word for how far a step is, and its sign."""
    if all(row.state == Job.State.DONE for row in rows):
        return "Done", "tick"
    if all(row.planned_end and row.planned_end <= now for row in rows):
        return "assumed", "tick-dashed"
    return ("Started", "half") if any(row.state != Job.State.PLANNED for row in rows) else ("", "")


def _waits(work) -> dict:
    """For each job the longest wait that follows it, where one is long enough to draw."""
    known, found = {job.id for job in work.jobs}, {}
    for wait in work.waits:
        if wait.kind in WAITS and wait.slow_minutes >= LONG_WAIT and wait.after in known:
            before = found.get(wait.before)
            if before is None or before.slow_minutes < wait.slow_minutes:
                found[wait.before] = wait
    return found


def _dryings(rows, work) -> list[_Drying]:
    """What dries, and until when; what begins while the like still dries is one with it."""
    waits, spans = _waits(work), []
    for row in rows:
        names = {base_of(row.key), *row.stands_for}
        wait = max((waits[name] for name in names if name in waits), default=None,
                   key=lambda wait: wait.slow_minutes)  # fmt: skip
        if wait is not None:
            end = ended(row)
            spans.append(_Drying(words.AFTER.get(wait.kind, "Dries"), end,
                                 words.on_five(end + timedelta(minutes=wait.usual_minutes)),
                                 words.on_five(end + timedelta(minutes=wait.slow_minutes)),
                                 row.state == Job.State.DONE))  # fmt: skip
    found: list[_Drying] = []
    for span in sorted(spans, key=lambda span: (span.title, span.begins)):
        if found and found[-1].title == span.title and span.begins < found[-1].slow:
            found[-1] = found[-1].joined(span)
        else:
            found.append(span)
    return found


def _wait(one: _Drying, now: datetime, seed: int) -> Step:
    when = words.capital(_when(one.slow, now))
    if one.done and one.slow <= now:
        return Step(when, one.title, "", "Dry", "tick")
    usual, slow = _when(one.usual, now), _when(one.slow, now)
    same = usual.rpartition(" ")[0] == slow.rpartition(" ")[0]
    text = f"usually {words.clock(one.usual) if same else usual}, on a slow night {words.clock(one.slow)}"
    return Step(when, one.title, text, mist=True, seed=seed)


def _untimed(work) -> list[Step]:
    """The work of an order that has no place yet; each wait stands before the step that it holds up."""
    groups = _alike(job for job in work.jobs if job.planned)
    group_of = {job.id: at for at, jobs in enumerate(groups) for job in jobs}
    steps, said = [], set()
    for at, jobs in enumerate(groups):
        into = [w for w in work.waits if group_of.get(w.after) == at and group_of.get(w.before, at) != at]
        for wait in sorted(into, key=lambda wait: -wait.slow_minutes):
            sign = (group_of[wait.before], wait.kind)
            if wait.kind not in WAITS or wait.slow_minutes < LONG_WAIT or sign in said:
                continue
            said.add(sign)
            if not steps or steps[-1].title != words.AFTER[wait.kind]:
                steps.append(_length_of(wait, at))
        cookies = sum(job.cookies for job in jobs)
        steps.append(Step("", _title(jobs, cookies), _text(jobs, sum(job.minutes for job in jobs))))
    return steps


def _length_of(wait, at: int) -> Step:
    usual, slow = words.length(wait.usual_minutes), words.length(wait.slow_minutes)
    text = f"usually {usual}, on a slow night {slow}"
    return Step("", words.AFTER[wait.kind], text, mist=True, seed=at + 3)


def _when(moment: datetime, now: datetime) -> str:
    """Short enough for a column: `tonight 19:35`, `Thu 16:40`, `Fri 4 Dec, 09:10`."""
    days = (timezone.localdate(moment) - timezone.localdate(now)).days
    if days == 0:
        return words.day_and_time(moment, now)
    if 0 < days < 7:
        return f"{words.short_day(moment)} {words.clock(moment)}"
    return f"{words.day_month(moment)}, {words.clock(moment)}"


def _hand_over(order: Order, now: datetime, paid_note: str) -> Step:
    how, when = order.get_way_display(), words.capital(_when(order.hand_over_at, now))
    if order.place and order.place.lower() not in how.lower():
        how = f"{how}, {order.place}"
    if order.state == State.HANDED_OVER:
        return Step(when, "Hand-over", how, "Done", "pennant")
    note = "" if order.state in CLOSED_STATES or order.for_stock else paid_note
    return Step(when, "Hand-over", how, note, "pennant" if note else "")

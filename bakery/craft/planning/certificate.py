"""Reasons for a no that a person can check: a chain of waits that is too long, or hours that are too few."""

from __future__ import annotations

from . import limits
from .problem import HANDS


def reason_for_no(grid, lo, hi) -> dict | None:
    """Return a certificate that no plan keeps the bounds, or None when neither kind of reason is found.

    Parameters
    ----------
    lo, hi : lists of int
        Bounds on start slots, for example `limits.on_time`, not yet tightened.
    """
    tight_lo, tight_hi, empty = limits.tighten(grid, lo, hi)
    if empty is not None:
        return chain(grid, lo, hi, empty)
    return energy(grid, tight_lo, tight_hi)


def chain(grid, lo, hi, empty) -> dict:
    """Why task `empty` has no start: too long for every window, or it can only begin after it must have."""
    task = grid.tasks[empty]
    longest = max((one.end - one.start for one in grid.problem.windows if one.longest is None), default=0)
    if not grid.dom[empty]:
        return {
            "kind": "task",
            "task": task.id,
            "minutes": task.minutes,
            "longest_window": longest,
            "orders": list(task.orders),
            "sentence": f"{task.id} takes {task.minutes} min: no free time is long enough for it "
            f"(the longest is {longest} min).",
        }
    first, _, stuck = limits.tighten(grid, grid.lo, grid.hi)
    if stuck is not None:
        return {
            "kind": "waits",
            "task": grid.ids[stuck],
            "orders": list(grid.tasks[stuck].orders),
            "sentence": f"{grid.ids[stuck]} has no time left at all between what comes before and after it.",
        }
    late = []
    for order in grid.problem.orders:
        finish = grid.index.get(order.finish)
        if finish is None or order.soft:
            continue
        ready = (first[finish] + grid.dur[finish]) * grid.step
        over = ready - grid.due(order) * grid.step
        if over > 0:
            late.append((over, order, ready))
    if late:
        _, order, ready = max(late, key=lambda one: (one[0], one[1].id))
        path = _longest_path(grid, first, grid.index[order.finish])
        return {
            "kind": "waits",
            "order": order.id,
            "orders": [order.id],
            "earliest": ready,
            "pickup": grid.due(order) * grid.step,
            "chain": path,
            "sentence": f"{order.id} can be ready at {ready} at the earliest, by its waits and the working "
            f"time alone; it is due at {grid.due(order) * grid.step}.",
        }
    return {
        "kind": "waits",
        "task": task.id,
        "orders": list(task.orders),
        "sentence": f"{task.id}: baked late enough to be fresh, there is no time left for it.",
    }


def _longest_path(grid, first, i):
    """The tasks that push task i to its earliest start, first to last, each with its earliest start."""
    path = [i]
    while True:
        before = [(first[p] + gap, p) for p, _, gap, _ in grid.pred[path[-1]]]
        if not before:
            break
        path.append(max(before)[1])
    return [{"task": grid.ids[k], "earliest_start": first[k] * grid.step} for k in reversed(path)]


def energy(grid, lo, hi) -> dict | None:
    """The span in which some resource is asked for more than there is of it, or None.

    Counts the tasks whose whole possible time lies in the span, by the tightened bounds `lo` and `hi`.
    Of several such spans it takes the one with the least work, which is the easiest to check. A certificate
    with `longest` counts only windows without that limit, and only work that is longer.
    """
    best = None
    for name, room, needs, more in _asked(grid, lo, hi):
        found = _overfull(grid, name, room, needs)
        if found is not None and (best is None or found["needed"] < best["needed"]):
            best = found | more
    return best


def _asked(grid, lo, hi):
    """(resource, room by slot, needs, what to say besides) of everything that may be overfull.

    Work too long for the short windows between sessions is asked about first, and of the sessions alone.
    """
    yield long_work(grid, lo, hi)
    for name in (HANDS, *grid.problem.resources):
        yield name, grid.base[name], _needs(grid, name, lo, hi), {}


def long_work(grid, lo, hi):
    """Hands in the windows that hold long work, and the work that only those can hold (as for `_asked`)."""
    longest = max((one.longest for one in grid.problem.windows if one.longest is not None), default=0)
    needs = [need for need in _needs(grid, HANDS, lo, hi) if grid.tasks[need[3]].minutes > longest]
    room = grid.base[HANDS].copy()
    for start, end, window in grid.windows:
        if window.longest is not None and start < end:
            room[start:end] = 0
    return HANDS, room, needs, {"longest": longest} if longest else {}


def _needs(grid, name, lo, hi):
    """(earliest start, latest end, slots x amount, task number) of everything that needs the resource."""
    needs = []
    for i in range(grid.n):
        if name == HANDS:
            if grid.hands[i]:
                needs.append((lo[i], hi[i] + grid.att[i], grid.att[i] * grid.hands[i], i))
            continue
        for used, amount in grid.uses[i]:
            if used == name:
                needs.append((lo[i], hi[i] + grid.dur[i], grid.dur[i] * amount, i))
    if name != HANDS:
        for keep in grid.keeps:
            if keep.resource == name and keep.after is not None and keep.end is None:
                length = keep.length
                if keep.until is not None:
                    gap = grid.why.get((keep.after, keep.until), (0,))[0] - grid.dur[keep.after]
                    length = max(0, gap) if length is None else min(max(0, gap), length)
                begin, final = (side[keep.after] + grid.dur[keep.after] for side in (lo, hi))
                if length:
                    needs.append((begin, final + length, length * keep.amount, keep.after))
    return needs


def _overfull(grid, name, room, needs):
    """The overfull span with the least work, as a certificate, or None."""
    table = _table(grid, room, needs)
    if table is None:
        return None
    starts, ends, work, there = table
    over = (work > there).nonzero()
    if not len(over[0]):
        return None
    _, r, c = min((int(work[r, c]), r, c) for r, c in zip(*(side.tolist() for side in over), strict=True))
    found = _span(grid, needs, starts[r], ends[c], int(work[r, c]), int(there[r, c]))
    found["sentence"] = (
        f"From {found['from']} to {found['to']} there are {found['available']} minutes of {name}; "
        f"{found['needed']} are needed ({', '.join(found['orders'])})."
    )
    return {"kind": "energy", "resource": name, **found}


def tightest(grid, lo, hi) -> dict | None:
    """The span of hours fullest of work that cannot lie elsewhere: from, to, needed, available, tasks."""
    _, room, needs, _ = long_work(grid, lo, hi)
    table = _table(grid, room, needs)
    if table is None:
        return None
    starts, ends, work, there = table
    share = work / (there + 1.0)
    r, c = divmod(int(share.argmax()), len(ends))
    return _span(grid, needs, starts[r], ends[c], int(work[r, c]), int(there[r, c]))


def _table(grid, free, needs):
    """(starts, ends, work, room): slots of work that must lie between each start and end, and room there."""
    import numpy as np

    if not needs:
        return None
    starts, ends = sorted({need[0] for need in needs}), sorted({need[1] for need in needs})
    row, column = {a: k for k, a in enumerate(starts)}, {b: k for k, b in enumerate(ends)}
    work = np.zeros((len(starts), len(ends)), dtype=np.int64)
    for a, b, amount, _ in needs:
        work[row[a], column[b]] += amount
    work = work[::-1].cumsum(axis=0)[::-1].cumsum(axis=1)
    room = np.concatenate(([0], np.cumsum(free)))
    there = room[[min(b, grid.slots) for b in ends]][None, :] - room[starts][:, None]
    there = np.maximum(there, 0)
    # A span that reaches past the last known slot is not judged.
    there[:, [k for k, b in enumerate(ends) if b > grid.slots]] = np.iinfo(np.int64).max // 2
    return starts, ends, work, there


def _span(grid, needs, a, b, work, there):
    inside = sorted({i for first, last, _, i in needs if first >= a and last <= b})
    return {
        "from": a * grid.step,
        "to": b * grid.step,
        "needed": work * grid.step,
        "available": there * grid.step,
        "tasks": [grid.ids[i] for i in inside],
        "orders": sorted({order for i in inside for order in grid.tasks[i].orders}),
    }

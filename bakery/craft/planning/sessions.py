"""Fewest working sessions that any plan can have: a bound by energy, without search."""

from __future__ import annotations

from bisect import bisect_right, insort

from .goals import pinned_windows
from .problem import HANDS


def least_sessions(grid, lo, hi) -> int:
    """Return a lower bound on the windows without `longest` in which work must start.

    Meeting the needs of all spans, from the left to the right and each time as late as possible, is the
    least number of windows in all.

    Parameters
    ----------
    lo, hi : lists of int
        Tightened bounds on start slots.
    """
    fixed = pinned_windows(grid)
    used = set(fixed)
    for windows, count in spans_needed(grid, lo, hi, every=True):
        missing = count - sum(w in used for w in windows)
        for w in reversed(windows):
            if missing <= 0:
                break
            if w not in used:
                used.add(w)
                missing -= 1
    return len(used)


def spans_needed(grid, lo, hi, *, every=False):
    """Return (windows of a span, how many of them are needed), by the right end of the span.

    For every span, the attended minutes of the tasks whose bounds keep them inside it must fit into the
    windows used there, the largest first. Without `every`, spans that a shorter one implies are left out.
    """
    windows = [w for w, (start, end, one) in enumerate(grid.windows) if one.longest is None and start < end]
    room = [int(grid.base[HANDS][grid.windows[w][0] : grid.windows[w][1]].sum()) for w in windows]
    need, many = _inside(grid, lo, hi, windows)
    counts = {}
    for b in range(len(windows)):
        rooms = []  # of windows a..b, the largest last
        for a in range(b, -1, -1):
            insort(rooms, room[a])
            if many[a][b]:
                counts[a, b] = _fewest(rooms, need[a][b])
    return [
        (windows[a : b + 1], count)
        for (a, b), count in counts.items()
        if every or (counts.get((a + 1, b), 0) < count and counts.get((a, b - 1), 0) < count)
    ]


def _fewest(rooms, work):
    """How many of the rooms (sorted) hold the work, the largest first; at least one."""
    count = 0
    for size in reversed(rooms):
        count += 1
        work -= size
        if work <= 0:
            break
    return count


def _inside(grid, lo, hi, windows):
    """Hand slots and number of tasks whose bounds keep them inside windows a..b, as matrices [a][b]."""
    import numpy as np

    size = len(windows)
    need, many = (
        np.zeros((size + 1, size + 1), dtype=np.int64),
        np.zeros((size + 1, size + 1), dtype=np.int64),
    )
    opens = [grid.windows[w][0] for w in windows]
    closes = [grid.windows[w][1] for w in windows]
    longest = max((one.longest for _, _, one in grid.windows if one.longest is not None), default=0)
    for i in range(grid.n):
        a, b = bisect_right(closes, lo[i]), bisect_right(opens, hi[i]) - 1
        if grid.dur[i] * grid.step > longest and a <= b:
            need[a, b] += grid.att[i] * grid.hands[i]
            many[a, b] += 1
    # A task inside a..b is also inside every wider span.
    need = need[::-1].cumsum(axis=0)[::-1].cumsum(axis=1)
    many = many[::-1].cumsum(axis=0)[::-1].cumsum(axis=1)
    return need.tolist(), many.tolist()

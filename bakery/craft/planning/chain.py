"""Why a task cannot start later: the chain of what pushes what, up to a hand-over."""

from __future__ import annotations

from .problem import HANDS

MOST_LINKS = 12


def reasons(grid, slots, i, hard) -> tuple[str, ...]:
    """Walk from task i of a plan over everything without play until a hand-over, in short sentences.

    Parameters
    ----------
    slots : list of int
        A plan in which task i starts as late as it can.
    hard : Hard
        The problem whose bounds name the hand-overs.
    """
    chain, seen = [], set()
    while i is not None and i not in seen and len(chain) < MOST_LINKS:
        seen.add(i)
        sentence, i = _next(grid, slots, i, hard)
        chain.append(sentence)
    return tuple(chain)


def _next(grid, slots, i, hard):
    """The tightest thing after task i: (sentence, next task or None)."""
    end = slots[i] + grid.dur[i]
    wait = _tight_wait(grid, slots, i)
    if wait is not None:
        return wait
    for order in grid.problem.orders:
        if grid.index.get(order.finish) == i and slots[i] == hard.hi[i]:
            return f"pickup {order.id}", None
    user = _next_user(grid, slots, i, end)
    if user is not None:
        return user
    window = next((one for start, stop, one in grid.windows if start <= slots[i] < stop), None)
    close = None if window is None else grid.down(min(window.end, grid.problem.horizon))
    following = _loosest_follower(grid, slots, i)
    if close == end and following is not None:
        j, sentence = following
        return f"end of the working time at {close * grid.step}; {sentence}", j
    if following is not None:
        return following[1], following[0]
    finish = [order for order in grid.problem.orders if grid.index.get(order.finish) == i]
    if finish:
        return f"pickup {finish[0].id}", None
    return ("end of the working time" if close == end else "nothing later fits"), None


def _tight_wait(grid, slots, i):
    for _, j, gap, _ in grid.succ[i]:
        if slots[j] == slots[i] + gap:
            return f"{_wait_words(grid, i, j)} before {grid.ids[j]}", j
    for k, _, _, most in grid.pred[i]:
        if most is not None and slots[i] == slots[k] + most:
            return f"no longer than {_span((most - grid.dur[k]) * grid.step)} after {grid.ids[k]}", k
    return None


def _next_user(grid, slots, i, end):
    """A task that starts just when i lets go of the hands or a resource both need."""
    mine = dict(grid.uses[i])
    for j in range(grid.n):
        if j == i:
            continue
        if grid.hands[i] and grid.hands[j] and slots[j] == slots[i] + grid.att[i]:
            return f"then {HANDS} for {grid.ids[j]}", j
        if slots[j] == end:
            for name, _ in grid.uses[j]:
                if name in mine:
                    return f"then {name} for {grid.ids[j]}", j
    return None


def _loosest_follower(grid, slots, i):
    """The follower with the least play, where no wait is tight."""
    best = min(((slots[j] - slots[i] - gap, j) for _, j, gap, _ in grid.succ[i]), default=None)
    if best is None:
        return None
    j = best[1]
    return j, f"{_wait_words(grid, i, j)} before {grid.ids[j]}"


def _wait_words(grid, i, j):
    lag = grid.why[i, j][1]
    if not lag.min:
        return "done"
    return f"lag {_span(lag.min)}: {lag.why or lag.before}"


def _span(minutes):
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h" if not rest else f"{hours} h {rest} min"

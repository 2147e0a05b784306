"""The least cleaning where the designs' orders cross, so that some colour has to be filled twice.

A state is the set of passes done and the colour in the cup. With a colour in the cup every pass that it
can do is done at once, which never costs and never bars anything. The cheapest way through the states is
found by A* (Hart, Nilsson & Raphael, IEEE Trans. Systems Science and Cybernetics 4 (1968) 100-107); what is
still to be entered, each at its cheapest change, bounds the rest from below.
"""

from heapq import heappop, heappush
from itertools import count

__all__ = ["MOST_STATES", "least_cleaning"]

MOST_STATES = 60_000
"""States looked at before the best way so far is taken, with its bound."""


def least_cleaning(need: list[int], colour: list[int], costs, start: int | None = None):
    """(fillings, cost, bound): fillings are (colour, passes) in order; cost equals bound when proved.

    `need[i]` are the passes before pass i as bits, `colour[i]` its colour, `costs` whole, by pair of colours.
    """
    every = (1 << len(need)) - 1
    of = {c: sum(1 << i for i in range(len(need)) if colour[i] == c) for c in dict.fromkeys(colour)}
    cheapest = {c: min((int(costs[a][c]) for a in range(len(costs)) if a != c), default=0) for c in of}

    def rest(done: int) -> int:
        return sum(cheapest[c] for c, mine in of.items() if mine & ~done)

    def fill(done: int, c: int) -> int:
        while True:
            ready = [
                i for i in range(len(need)) if of[c] >> i & 1 and not done >> i & 1 and need[i] & ~done == 0
            ]
            if not ready:
                return done
            for i in ready:
                done |= 1 << i

    order = count()
    heap, best, came = [], {}, {}
    if start is None:
        for c in of:
            done = fill(0, c)
            if done:
                best[done, c] = 0
                heappush(heap, (rest(done), next(order), 0, done, c))
    else:
        done = fill(0, start) if start in of else 0
        best[done, start] = 0
        heappush(heap, (rest(done), next(order), 0, done, start))
    looked, bound = 0, 0
    while heap:
        promised, _, cost, done, c = heappop(heap)
        if cost > best[done, c]:
            continue
        bound = max(bound, promised)
        if done == every:
            return _way(came, done, c, need, colour), cost, cost
        looked += 1
        if looked > MOST_STATES:
            fillings, price = _straight_on(came, done, c, cost, every, of, costs, fill, need, colour)
            return fillings, price, min(price, bound)
        for new in of:
            after = fill(done, new)
            if new == c or after == done:
                continue
            price = cost + int(costs[c][new])
            if price < best.get((after, new), 1 << 60):
                best[after, new] = price
                came[after, new] = (done, c)
                heappush(heap, (price + rest(after), next(order), price, after, new))
    raise ValueError("These passes run in a circle.")


def _way(came, done: int, c: int, need, colour):
    states = [(done, c)]
    while states[-1] in came:
        states.append(came[states[-1]])
    fillings, before = [], 0
    for after, used in reversed(states):
        mine = [i for i in range(len(need)) if (after & ~before) >> i & 1]
        if mine:
            fillings.append((used, mine))
        before = after
    return fillings


def _straight_on(came, done, c, cost, every, of, costs, fill, need, colour):
    """From here on always the cheapest next colour that can do something."""
    while done != every:
        new = min((n for n in of if n != c and fill(done, n) != done), key=lambda n: (int(costs[c][n]), n))
        after = fill(done, new)
        came[after, new] = (done, c)
        cost, done, c = cost + int(costs[c][new]), after, new
    return _way(came, done, c, need, colour), cost

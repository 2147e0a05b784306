"""The least cleaning where the designs' orders cross, so that some colour has to be filled twice.

A state is the set of passes done and the colour in the cup. With a colour in the cup every pass that it
can do is done at once, which never costs and never bars anything. The cheapest way through the states is
found by A* (Hart, Nilsson & Raphael, IEEE Trans. Systems Science and Cybernetics 4 (1968) 100-107). What a
state still costs is bounded from below by the shortest way from its colour through all colours that still
have passes, in any order: a table over all sets of colours, once for the whole search (Held & Karp, as in
`order`, on the shortest ways between colours).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np

__all__ = ["MOST_STATES", "TABLED", "least_cleaning"]

MOST_STATES = 20_000
"""States looked at before a good way is taken instead, with its bound."""
WIDE = 250
"""States kept after each filling where a good way is looked for (a beam)."""
TABLED = 14
"""Most colours for which all sets are tabled; above that each is bounded by its cheapest entry."""
FAR = 1 << 28


def least_cleaning(need: Sequence[int], colour: Sequence[int], costs, start: int | None = None):
    """(fillings, cost, bound): fillings are (colour, passes) in order; cost equals bound when proved.

    `need[i]` are the passes before pass i as bits, `colour[i]` its colour, `costs` whole and not negative, by
    pair of colours; `start` is the colour in the cup. Raises ValueError for passes that run in a circle.
    """
    costs = [[int(cost) for cost in row] for row in costs]
    every = (1 << len(need)) - 1
    fills = _fillings(need, colour)
    rest = _rest(costs, fills)
    heap, best, came = [], {}, {}
    for c in fills if start is None else [start]:
        done = fills[c].after(0) if c in fills else 0
        if done or start is not None:
            best[done, c] = 0
            heappush(heap, (rest(done, c), 0, done, c))
    looked, bound, begun = 0, 0, list(best)
    while heap:
        promised, paid, done, c = heappop(heap)
        cost = -paid  # of two that promise the same, the one further on
        if cost > best[done, c]:
            continue
        bound = max(bound, promised)
        if done == every:
            return _fillings_of(_way(came, (done, c)), len(need)), cost, cost
        looked += 1
        if looked > MOST_STATES:
            states, cost = _beam(begun, every, costs, fills, rest)
            return _fillings_of(states, len(need)), cost, min(cost, bound)
        changes = costs[c]
        for new, filling in fills.items():
            if new == c or not filling.mine & ~done:
                continue
            after = filling.after(done)
            price = cost + changes[new]
            if after != done and price < best.get((after, new), FAR):
                best[after, new] = price
                came[after, new] = (done, c)
                heappush(heap, (price + rest(after, new), -price, after, new))
    raise ValueError("These passes run in a circle.")


@dataclass(frozen=True)
class _Filling:
    """The passes of one colour as bits, and each with those before it, none before one it needs."""

    mine: int
    passes: tuple[tuple[int, int], ...]

    def after(self, done: int) -> int:
        """What is done once this colour has done all it can."""
        for bit, needed in self.passes:
            if not done & bit and not needed & ~done:
                done |= bit
        return done


def _fillings(need: Sequence[int], colour: Sequence[int]) -> dict[int, _Filling]:
    done, order = 0, []
    while True:
        ready = [i for i in range(len(need)) if not done >> i & 1 and not need[i] & ~done]
        if not ready:
            break
        order += ready
        done |= sum(1 << i for i in ready)
    return {
        c: _Filling(
            sum(1 << i for i in range(len(need)) if colour[i] == c),
            tuple((1 << i, need[i]) for i in order if colour[i] == c),
        )
        for c in dict.fromkeys(colour)
    }


def _rest(costs: list[list[int]], fills: dict[int, _Filling]) -> Callable[[int, int], int]:
    """A bound on what a state still costs; it never shrinks by more than a change costs (so A* is exact)."""
    places = {c: i for i, c in enumerate(sorted(fills))}
    if len(places) > TABLED:
        return _by_entries(costs, fills)
    known = sorted({*range(len(costs))} - set(places))
    names = [*places, *known]  # those with passes first: only they are ever still to do
    table = _ways_through(_shortest(np.array(costs, dtype=np.int64))[np.ix_(names, names)], len(places))
    column = {c: i for i, c in enumerate(names)}
    bits = [(fills[c].mine, 1 << i) for c, i in places.items()]

    ways: dict[int, list[int]] = {}

    def rest(done: int, c: int) -> int:
        row = ways.get(done)
        if row is None:
            left = 0
            for mine, bit in bits:
                if mine & ~done:
                    left |= bit
            row = ways[done] = table[left]
        return row[column[c]]

    return rest


def _by_entries(costs, fills):
    cheapest = {c: min((row[c] for a, row in enumerate(costs) if a != c), default=0) for c in fills}
    return lambda done, c: sum(cheapest[n] for n, filling in fills.items() if filling.mine & ~done)


def _shortest(costs: np.ndarray) -> np.ndarray:
    """Cheapest change from each colour to each, by way of others where that is less (Floyd & Warshall)."""
    ways = costs.copy()
    np.fill_diagonal(ways, 0)
    for k in range(len(ways)):
        ways = np.minimum(ways, ways[:, k : k + 1] + ways[k : k + 1, :])
    return ways


def _ways_through(ways: np.ndarray, count: int) -> list[list[int]]:
    """Least cost of a way from each colour through all of a set, for every set of the first `count` colours.

    A colour of the set does not count as visited by standing in it: what it still has needs another filling.
    """
    sets = np.arange(1 << count, dtype=np.int64)
    sizes = np.bitwise_count(sets.astype(np.uint64))
    table = np.zeros((1 << count, len(ways)), dtype=np.int64)
    for size in range(1, count + 1):
        layer = sets[sizes == size]
        best = np.full((len(layer), len(ways)), FAR, dtype=np.int64)
        for to in range(count):
            has = layer >> to & 1 == 1
            through = table[layer[has] ^ (1 << to), to][:, None] + ways[:, to]
            through[:, to] = FAR  # the last of a set left over in its own cup: it gets there from elsewhere
            best[has] = np.minimum(best[has], through)
        best[best >= FAR] = 0
        table[layer] = best
    return table.tolist()


def _way(came, last) -> list[tuple[int, int]]:
    states = [last]
    while states[-1] in came:
        states.append(came[states[-1]])
    return states[::-1]


def _fillings_of(states, count: int) -> list[tuple[int, list[int]]]:
    fillings, before = [], 0
    for after, used in states:
        mine = [i for i in range(count) if (after & ~before) >> i & 1]
        if mine:
            fillings.append((used, mine))
        before = after
    return fillings


def _beam(begun, every: int, costs, fills, rest):
    """(states, cost) of a good way where the best is too far to look for: after each filling the most
    promising states go on.
    """
    layer, found, cheapest = dict.fromkeys(begun, (0, None)), None, FAR
    while layer:
        following: dict[tuple[int, int], tuple] = {}
        for (done, c), way in layer.items():
            for new, filling in fills.items():
                after = filling.after(done) if new != c else done
                price = way[0] + costs[c][new]
                if after == done or price >= cheapest:
                    continue
                if after == every:
                    found, cheapest = (price, ((done, c), way), (after, new)), price
                elif price < following.get((after, new), (FAR,))[0]:
                    following[after, new] = (price, ((done, c), way))
        kept = sorted(following, key=lambda state: (following[state][0] + rest(*state), state))[:WIDE]
        layer = {state: following[state] for state in kept}
    price, before, last = found
    states = [last]
    while before is not None:
        state, way = before
        states.append(state)
        before = way[1]
    return states[::-1], price

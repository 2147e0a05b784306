"""The order of colours with the least cleaning: exact up to fifteen, above that with a bound said beside it.

Held & Karp, J. SIAM 10 (1962) 196-210: the cheapest way to have done a set of colours and to have ended with
one of them, over ever larger sets; a colour joins only a set that holds all that must come before it. Costs
are whole tenths of a minute, so that the answer does not depend on rounding.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

__all__ = ["EXACT", "Order", "best_order", "cost_of"]

EXACT = 15
"""Most colours for which the order is proved best."""
FAR = np.int32(2**30)


@dataclass(frozen=True)
class Order:
    """Positions in the order in which they are taken, what the changes cost, and what none can undercut."""

    places: tuple[int, ...]
    cost: int
    bound: int

    @property
    def proved(self) -> bool:
        """True when no order costs less."""
        return self.cost == self.bound


def cost_of(costs, places: Sequence[int]) -> int:
    """Sum of the changes along an order."""
    return int(sum(costs[a][b] for a, b in pairwise(places)))


def best_order(costs, before: Iterable[tuple[int, int]] = (), *, start: int | None = None) -> Order:
    """The cheapest order of n things with asymmetric whole costs, shape (n, n).

    `before` are pairs (i, j): i comes before j. `start` is what is in the cup already and so comes first.
    Raises ValueError for costs that are no square or negative, unknown positions, or rules in a circle.
    """
    costs = np.asarray(costs)
    size = costs.shape[0] if costs.ndim == 2 else -1
    if costs.shape != (size, size) or (size and (costs < 0).any()):
        raise ValueError("Costs are a square of whole numbers from nothing upwards.")
    need = _needs(size, before, start)
    if size == 0:
        return Order((), 0, 0)
    if size <= EXACT:
        places = _held_karp(costs.astype(np.int32), need)
        cost = cost_of(costs, places)
        return Order(places, cost, cost)
    return _near(costs, need)


def _needs(size: int, before, start: int | None) -> list[int]:
    """For each position, the set (as bits) of all that must come before it, directly or not."""
    need = [0] * size
    for i, j in before:
        if not (0 <= i < size and 0 <= j < size):
            raise ValueError("A rule names a colour that is not there.")
        need[j] |= 1 << i
    if start is not None:
        if not 0 <= start < size:
            raise ValueError("What comes first is not there.")
        for j in range(size):
            if j != start:
                need[j] |= 1 << start
    for _ in range(size):
        grown = [bits | _union(need, bits) for bits in need]
        if grown == need:
            break
        need = grown
    if any(bits >> j & 1 for j, bits in enumerate(need)):
        raise ValueError("These rules run in a circle.")
    return need


def _union(need: list[int], bits: int) -> int:
    found = 0
    while bits:
        low = bits & -bits
        found |= need[low.bit_length() - 1]
        bits ^= low
    return found


def _held_karp(costs: np.ndarray, need: list[int]) -> tuple[int, ...]:
    """Sets by size, all of one size at once."""
    size = len(need)
    sets = np.arange(1 << size, dtype=np.int32)
    counts = np.bitwise_count(sets.astype(np.uint32))
    best = np.full((1 << size, size), FAR, dtype=np.int32)
    for j in range(size):
        if need[j] == 0:
            best[1 << j, j] = 0
    for count in range(2, size + 1):
        layer = sets[counts == count]
        for j in range(size):
            mine = layer[(layer >> j & 1 == 1) & (layer & need[j] == need[j])]
            if mine.size:
                best[mine, j] = (best[mine ^ (1 << j)] + costs[:, j]).min(axis=1)
        np.minimum(best, FAR, out=best)
    bits = (1 << size) - 1
    last = int(best[bits].argmin())
    places = [last]
    while bits != 1 << last:
        bits ^= 1 << last
        last = int((best[bits] + costs[:, last]).argmin())
        places.append(last)
    return tuple(reversed(places))


def _near(costs: np.ndarray, need: list[int]) -> Order:
    """Nearest next from every start, then pieces moved and turned while that helps; with a bound."""
    size = len(need)
    starts = [j for j in range(size) if need[j] == 0]
    found = min(
        (_better(costs, need, _greedy(costs, need, j)) for j in starts), key=lambda p: cost_of(costs, p)
    )
    cost = cost_of(costs, found)
    return Order(tuple(found), cost, min(cost, _bound(costs, need)))


def _greedy(costs, need, first: int) -> list[int]:
    places, done = [first], 1 << first
    while len(places) < len(need):
        free = [j for j in range(len(need)) if not done >> j & 1 and need[j] & ~done == 0]
        places.append(min(free, key=lambda j: (costs[places[-1]][j], j)))
        done |= 1 << places[-1]
    return places


def _better(costs, need, places: list[int]) -> list[int]:
    """Move any piece of up to four elsewhere, forwards or turned round, for as long as it saves."""
    cost, size = cost_of(costs, places), len(places)
    for _ in range(200):
        best = None
        for length in (1, 2, 3, 4):
            for at in range(size - length + 1):
                piece, rest = places[at : at + length], places[:at] + places[at + length :]
                for to in range(len(rest) + 1):
                    for part in (piece, piece[::-1]):
                        new = rest[:to] + part + rest[to:]
                        price = cost_of(costs, new)
                        if price < cost and (best is None or price < best[0]) and _allowed(need, new):
                            best = (price, new)
        if best is None:
            return places
        cost, places = best
    return places


def _allowed(need, places) -> bool:
    done = 0
    for j in places:
        if need[j] & ~done:
            return False
        done |= 1 << j
    return True


def _bound(costs: np.ndarray, need: list[int]) -> int:
    """What no order undercuts: each thing but one enters once and is left once (an assignment's optimum).

    The assignment is solved by the Hungarian method (Kuhn, Naval Research Logistics Quarterly 2 (1955) 83-97)
    on the changes that the rules allow, with one free entry and one free exit.
    """
    size = len(need)
    square = np.zeros((size + 1, size + 1), dtype=np.int64)
    for i in range(size):
        for j in range(size):
            barred = i == j or need[i] >> j & 1 or _between(need, i, j)
            square[i, j] = FAR if barred else costs[i, j]
        square[i, size] = FAR if any(need[j] >> i & 1 for j in range(size)) else 0
        square[size, i] = FAR if need[i] else 0
    square[size, size] = FAR
    return int(_assign(square))


def _between(need, i: int, j: int) -> bool:
    """True when something must lie between i and j, so that j never comes right after i."""
    return any(need[j] >> k & 1 and need[k] >> i & 1 for k in range(len(need)))


def _assign(costs: np.ndarray) -> int:
    """Cost of the cheapest one-to-one choice (shortest augmenting paths with potentials)."""
    size = len(costs)
    rows, columns = np.zeros(size + 1, dtype=np.int64), np.zeros(size + 1, dtype=np.int64)
    taken = np.zeros(size + 1, dtype=np.int64)
    for row in range(1, size + 1):
        taken[0], column = row, 0
        least, came = np.full(size + 1, 2**60), np.zeros(size + 1, dtype=np.int64)
        used = np.zeros(size + 1, dtype=bool)
        while True:
            used[column] = True
            reduced = costs[taken[column] - 1] - rows[taken[column]] - columns[1:]
            closer = ~used[1:] & (reduced < least[1:])
            least[1:][closer], came[1:][closer] = reduced[closer], column
            free = np.where(used[1:], 2**61, least[1:])
            following = int(free.argmin()) + 1
            step = least[following]
            rows[taken[used]] += step
            columns[used] -= step
            least[~used] -= step
            column = following
            if taken[column] == 0:
                break
        while column:
            taken[column] = taken[came[column]]
            column = int(came[column])
    return int(sum(costs[taken[c] - 1, c - 1] for c in range(1, size + 1)))

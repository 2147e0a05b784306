"""Whole drops for a wanted colour: the best recipes from the bottles on the shelf.

Every choice of up to four bottles is solved for shares at once (Gauss-Newton on Lab, begun from the nearest
of a coarse grid); around each solution the whole-drop recipes are ranked by its linear part, the best are
reckoned in full, and single drops are moved while that helps. Tests hold the answer against all recipes of
the same space; only for a colour far out of reach (15 or more) may one a little better be missed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, product
from math import ceil

import numpy as np

from .layer import ICING, Bottle, absorption, inside, layer, outside
from .spaces import ciede2000, lab_of_hex, lab_of_xyz, srgb_of_xyz, to_hex
from .spectra import WEIGHTS, spectrum_of_hex

__all__ = ["MOST_BOTTLES", "MOST_DROPS", "Match", "Recipe", "match"]

MOST_BOTTLES, MOST_DROPS = 4, 24
PER_BOTTLE, PER_DROP = 0.15, 0.02
"""What another bottle and another drop have to gain in colour difference to be worth the trouble."""
ALIKE = 0.5
"""Recipes this close in colour difference are alike: the shortest of them is offered first."""
OUT_OF_REACH = 3.0
"""Colour difference from which a colour is said to be out of reach of these bottles."""
STEPS, KEPT, CLIMBED = 5, 700, 60
FINE = {2: 18, 3: 10, 4: 8}
"""Drops in all of the coarse grid, by number of bottles."""
COARSE = (WEIGHTS[::2] * (WEIGHTS.sum(axis=0) / WEIGHTS[::2].sum(axis=0))).astype(np.float32)


@dataclass(frozen=True)
class Recipe:
    """Drops by bottle id, the colour they are predicted to dry to, and how far from the wanted one."""

    drops: tuple[tuple[str, int], ...]
    hex: str
    difference: float

    @property
    def total(self) -> int:
        """Drops in all."""
        return sum(count for _, count in self.drops)

    @property
    def score(self) -> float:
        """What recipes are ranked by: difference, with a little for every bottle and drop."""
        return self.difference + PER_BOTTLE * len(self.drops) + PER_DROP * self.total

    def scaled(self, drops: float) -> tuple[tuple[str, int], ...]:
        """The recipe so many times over that there are at least `drops`."""
        times = max(1, ceil(drops / self.total - 1e-9))
        return tuple((bottle, count * times) for bottle, count in self.drops)


@dataclass(frozen=True)
class Match:
    """Recipes for a wanted colour, best first; `easy` is the shortest that looks alike."""

    wanted: str
    recipes: tuple[Recipe, ...]
    easy: Recipe

    @property
    def best(self) -> Recipe:
        """The best recipe by score."""
        return self.recipes[0]

    @property
    def in_reach(self) -> bool:
        """False where the nearest these bottles come is plainly another colour."""
        return min(recipe.difference for recipe in self.recipes) < OUT_OF_REACH


def match(
    wanted: str,
    bottles: Sequence[Bottle],
    *,
    ground: str = ICING,
    coats: float = 1.0,
    most_bottles: int = MOST_BOTTLES,
    most_drops: int = MOST_DROPS,
    count: int = 5,
) -> Match:
    """The best whole-drop recipes for "#rrggbb" sprayed over `ground`.

    Bottles that the model does not know (pearl, metallic, neon) are left out. Raises ValueError for no usable
    bottle, no colour, or limits below one.
    """
    shelf = [bottle for bottle in bottles if bottle.usable]
    if not shelf:
        raise ValueError("There is no bottle to mix from.")
    if most_bottles < 1 or most_drops < 1 or count < 1 or not 0 < coats <= 10:
        raise ValueError("A recipe takes at least one bottle and one drop.")
    bench = _Bench(shelf, ground, coats, lab_of_hex(wanted), most_drops)
    groups = _groups(len(shelf), min(most_bottles, most_drops))
    found = bench.climb(bench.rounded(groups), most_bottles)
    found.sort(key=lambda row: (row[0], row[2]))
    recipes = tuple(bench.recipe(drops, difference) for _, difference, drops in found[:count])
    alike = min(row[1] for row in found) + ALIKE
    easy = min(
        (row for row in found if row[1] <= alike),
        key=lambda row: (sum(1 for n in row[2] if n), sum(row[2]), row[0]),
    )
    return Match(wanted, recipes, bench.recipe(easy[2], easy[1]))


@lru_cache(maxsize=64)
def _groups(number: int, most: int) -> tuple[np.ndarray, ...]:
    """All choices of one, two ... bottles, each size an array (choices, size)."""
    return tuple(
        np.array(list(combinations(range(number), size))) for size in range(1, min(number, most) + 1)
    )


@lru_cache(maxsize=8)
def _grid(size: int, most_drops: int) -> np.ndarray:
    """Small whole recipes of so many bottles, each at least one drop, all of one total."""
    total = max(size, min(FINE[size] if size in FINE else 2 * size, most_drops))
    rows = [row for row in product(range(1, total + 2 - size), repeat=size) if sum(row) == total]
    return np.array(rows)


class _Bench:
    """The bottles as arrays, over one ground, with one wanted colour."""

    def __init__(
        self, shelf: Sequence[Bottle], ground: str, coats: float, wanted: np.ndarray, most_drops: int
    ):
        known = [absorption(bottle) for bottle in shelf]
        self.shelf, self.wanted, self.coats, self.most_drops = shelf, wanted, coats, most_drops
        self.k = np.array([k for k, _ in known])
        self.s = np.array([s for _, s in known])
        self.ground = inside(spectrum_of_hex(ground))
        self.coarse: list = []

    def xyz(self, k, s) -> np.ndarray:
        return outside(layer(k, s[..., None], self.ground, self.coats)) @ WEIGHTS

    def lab(self, drops: np.ndarray) -> np.ndarray:
        share = drops / drops.sum(axis=-1, keepdims=True)
        return lab_of_xyz(self.xyz(share @ self.k, share @ self.s))

    def recipe(self, drops: tuple[int, ...], difference: float) -> Recipe:
        share = np.array(drops) / sum(drops)
        shade = to_hex(srgb_of_xyz(self.xyz(share @ self.k, share @ self.s)))
        used = sorted(
            ((self.shelf[i].id, n) for i, n in enumerate(drops) if n), key=lambda row: (-row[1], row[0])
        )
        return Recipe(tuple(used), shade, float(difference))

    def rounded(self, groups) -> set[tuple[int, ...]]:
        """Whole-drop recipes near the best shares of every group, the most promising of them."""
        rows, scores = [], []
        for chosen in groups:
            share, lab, slope = self._shares(chosen)
            for total in range(chosen.shape[1], self.most_drops + 1):
                drops, which = _whole(share, total)
                if not len(drops):
                    continue
                moved = drops[:, :-1] / total - share[which][:, :-1]
                near = lab[which] + np.einsum("gij,gj->gi", slope[which], moved)
                guess = ciede2000(near, self.wanted)
                scores.append(guess + PER_BOTTLE * chosen.shape[1] + PER_DROP * total)
                full = np.zeros((len(drops), len(self.shelf)), dtype=np.int64)
                np.put_along_axis(full, chosen[which], drops, axis=1)
                rows.append(full)
        score, drops = np.concatenate(scores), np.concatenate(rows)
        best = np.argsort(score, kind="stable")[:KEPT]
        return {tuple(int(n) for n in drops[i]) for i in best} | self._from_grid()

    def _from_grid(self) -> set[tuple[int, ...]]:
        """The nearest of the coarse grid itself: where nothing comes near, slopes lead astray."""
        found = set()
        for chosen, drops, far in self.coarse:
            for at in np.argsort(far, axis=None, kind="stable")[:CLIMBED]:
                group, row = divmod(int(at), len(drops))
                full = np.zeros(len(self.shelf), dtype=np.int64)
                full[chosen[group]] = drops[row]
                found.add(tuple(int(n) for n in full))
        return found

    def _shares(self, chosen: np.ndarray):
        """Shares of each group that come nearest, the Lab there, its slope in all but the last share."""
        groups, size = chosen.shape
        k, s = self.k[chosen], self.s[chosen]
        if size == 1:
            share = np.ones((groups, 1))
            lab = lab_of_xyz(self.xyz(k[:, 0], s[:, 0]))
            return share, lab, np.zeros((groups, 3, 0))

        def lab_at(at):
            return lab_of_xyz(self.xyz(np.einsum("gi,gib->gb", at, k), np.einsum("gi,gi->g", at, s)))

        def slope_at(at, here):
            columns = []
            for i in range(size - 1):
                moved = at.copy()
                moved[:, i] += 1e-4
                moved[:, -1] -= 1e-4
                columns.append((lab_at(moved) - here) / 1e-4)
            return np.stack(columns, axis=-1)

        share = self._starts(chosen)
        best, least = share, np.full(groups, np.inf)
        damp = 1e-3
        for _ in range(STEPS):
            lab = lab_at(share)
            miss = self.wanted - lab
            far = ciede2000(lab, self.wanted)
            better = far < least
            least, best = np.where(better, far, least), np.where(better[:, None], share, best)
            slope = slope_at(share, lab)
            square = np.einsum("gij,gik->gjk", slope, slope)
            square += damp * np.eye(size - 1) * (1 + np.einsum("gjj->g", square))[:, None, None]
            step = np.linalg.solve(square, np.einsum("gij,gi->gj", slope, miss)[..., None])[..., 0]
            moved = share[:, :-1] + np.clip(step, -0.4, 0.4)
            share = np.concatenate([moved, 1 - moved.sum(axis=1, keepdims=True)], axis=1)
            share = np.maximum(share, 1e-3)
            share /= share.sum(axis=1, keepdims=True)
        lab = lab_at(best)
        return best, lab, slope_at(best, lab)

    def _starts(self, chosen: np.ndarray) -> np.ndarray:
        """For each group the nearest of a coarse grid of shares: light adds up far from straight.

        Every second band in single precision is enough to choose by.
        """
        size = chosen.shape[1]
        drops = _grid(size, self.most_drops)
        grid = (drops / drops.sum(axis=1, keepdims=True)).astype(np.float32)
        k = np.einsum("pi,gib->gpb", grid, self.k[chosen][..., ::2].astype(np.float32))
        s = np.einsum("pi,gi->gp", grid, self.s[chosen].astype(np.float32))
        xyz = outside(layer(k, s[..., None], self.ground[::2].astype(np.float32), self.coats)) @ COARSE
        far = ciede2000(lab_of_xyz(xyz), self.wanted)
        self.coarse += [(chosen, drops, far)]
        return grid[far.argmin(axis=1)].astype(float)

    def climb(self, start, most_bottles: int):
        """(score, difference, drops) of what is reached by moving, adding and taking single drops."""
        known: dict[tuple[int, ...], tuple[float, float]] = {}

        def reckon(recipes) -> None:
            new = [drops for drops in recipes if drops not in known]
            if not new:
                return
            table = np.array(new, dtype=float)
            far = ciede2000(self.lab(table), self.wanted)
            score = far + PER_BOTTLE * (table > 0).sum(axis=1) + PER_DROP * table.sum(axis=1)
            known.update(zip(new, zip(score.tolist(), far.tolist(), strict=True), strict=True))

        reckon(start)
        looked: set[tuple[int, ...]] = set()
        for _ in range(4):
            best = sorted(known, key=lambda drops: (known[drops][0], drops))[:CLIMBED]
            fresh = [drops for drops in best if drops not in looked]
            if not fresh:
                break
            looked.update(fresh)
            reckon({near for drops in fresh for near in _moves(drops, most_bottles, self.most_drops)})
        return [(score, far, drops) for drops, (score, far) in known.items()]


def _whole(share: np.ndarray, total: int) -> tuple[np.ndarray, np.ndarray]:
    """Whole drops of a total around shares, at least one each: (drops, index of the group)."""
    size = share.shape[1]
    low = np.floor(share * total).astype(np.int64)
    found, which = [], []
    for up in range(1 << size):
        drops = low + np.array([up >> i & 1 for i in range(size)])
        good = (drops.sum(axis=1) == total) & (drops >= 1).all(axis=1)
        if good.any():
            found.append(drops[good])
            which.append(np.flatnonzero(good))
    if not found:
        return np.zeros((0, size), dtype=np.int64), np.zeros(0, dtype=np.int64)
    return np.concatenate(found), np.concatenate(which)


def _moves(drops: tuple[int, ...], most_bottles: int, most_drops: int):
    """Recipes one drop more, one less, or one drop moved away."""
    size, total, used = len(drops), sum(drops), sum(1 for n in drops if n)
    for i in range(size):
        more = list(drops)
        more[i] += 1
        if total < most_drops and (drops[i] or used < most_bottles):
            yield tuple(more)
        if drops[i]:
            less = list(drops)
            less[i] -= 1
            if total > 1:
                yield tuple(less)
            for j in range(size):
                left = used - (drops[i] == 1)
                if j != i and (drops[j] or left < most_bottles):
                    moved = list(less)
                    moved[j] += 1
                    yield tuple(moved)

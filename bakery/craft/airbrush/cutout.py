"""How much of a cookie's face a stencil leaves open, counted in a picture of it.

Plain counting of dots: a threshold parts light from dark (Otsu, IEEE Trans. Systems, Man and Cybernetics 9
(1979) 62-66, when none is given), and what can be reached from the picture's edge lies outside the outline.
"""

from dataclasses import dataclass

import numpy as np

__all__ = ["CutOut", "cut_out", "threshold_of"]

ENCLOSED = 0.15
"""A line is an outline when it encloses this share of the picture (our own choice)."""


@dataclass(frozen=True)
class CutOut:
    """`inside` and `open` as masks, shape (h, w); `share` of the inside that is open, 0 to 1."""

    inside: np.ndarray
    open: np.ndarray
    outlined: bool

    @property
    def share(self) -> float:
        face = int(self.inside.sum())
        return float((self.open & self.inside).sum()) / face if face else 0.0


def threshold_of(grey: np.ndarray) -> int:
    """The level (0 to 255) that best parts light from dark: it leaves the least variance within the two."""
    counts = np.bincount(np.asarray(grey, dtype=np.uint8).ravel(), minlength=256).astype(float)
    below, levels = np.cumsum(counts), np.arange(256)
    sums = np.cumsum(counts * levels)
    above = below[-1] - below
    with np.errstate(divide="ignore", invalid="ignore"):
        between = (sums[-1] * below / below[-1] - sums) ** 2 / (below * above)
    between = np.nan_to_num(between, nan=-1.0, posinf=-1.0)
    best = np.flatnonzero(between >= between.max() - 1e-9)
    return int(best.mean()) + 1  # dark is below it; the middle of a gap, where there is one


def cut_out(
    grey: np.ndarray, *, dark: bool = True, threshold: int | None = None, outlined: bool | None = None
) -> CutOut:
    """What is open in a picture of a stencil, shape (h, w), levels 0 to 255.

    `dark`: the openings are the dark parts (a drawing), else the light ones (a sheet on a light table).
    `outlined`: the face ends at the line or sheet in the picture, else at the picture's edge; None looks for
    an outline. Raises ValueError for what is no grey picture, or a threshold outside 1 to 255.
    """
    grey = np.asarray(grey)
    if grey.ndim != 2 or 0 in grey.shape:
        raise ValueError("A picture has rows and columns of grey.")
    threshold = threshold_of(grey) if threshold is None else threshold
    if not 1 <= threshold <= 255:
        raise ValueError("A threshold lies from 1 to 255.")
    ink = grey < threshold
    whole = np.ones(grey.shape, dtype=bool)
    around = _touching_the_edge(~ink)
    if dark:
        line = _of_pieces(ink, _grown(around))
        inside, open_ = ~(around | line), ink & ~line
    else:
        inside, open_ = ~around, ~ink & ~around
    found = inside.mean() >= ENCLOSED if outlined is None else outlined and bool(inside.any())
    if found:
        return CutOut(inside, open_, True)
    return CutOut(whole, ink if dark else ~ink, False)


def _touching_the_edge(mask: np.ndarray) -> np.ndarray:
    """The parts of a mask that reach the edge of the picture."""
    edge = np.zeros(mask.shape, dtype=bool)
    edge[[0, -1]] = True
    edge[:, [0, -1]] = True
    return _of_pieces(mask, edge, corners=False)


def _grown(mask: np.ndarray) -> np.ndarray:
    """The mask and its neighbours to all sides; the picture's edge counts as one."""
    grown = np.pad(mask, 1, constant_values=True)
    return mask | grown[:-2, 1:-1] | grown[2:, 1:-1] | grown[1:-1, :-2] | grown[1:-1, 2:]


def _of_pieces(mask: np.ndarray, seed: np.ndarray, corners: bool = True) -> np.ndarray:
    """The connected pieces of a mask that hold a dot of `seed`; `corners` also connect."""
    labels, count = _labels(mask, corners)
    wanted = np.zeros(count + 1, dtype=bool)
    wanted[labels[seed & mask]] = True
    wanted[0] = False
    return wanted[labels]


def _labels(mask: np.ndarray, corners: bool) -> tuple[np.ndarray, int]:
    """Pieces numbered from 1: stretches of each row, joined where they meet those of the row above."""
    reach = 1 if corners else 0
    labels, parent = np.zeros(mask.shape, dtype=np.int64), [0]

    def root(one: int) -> int:
        while parent[one] != one:
            parent[one] = parent[parent[one]]
            one = parent[one]
        return one

    above: list[tuple[int, int, int]] = []
    padded = np.pad(mask.astype(np.int8), ((0, 0), (1, 1)))
    for y, steps in enumerate(np.diff(padded, axis=1)):
        rows, first = [], 0
        for start, end in zip(np.flatnonzero(steps == 1), np.flatnonzero(steps == -1), strict=True):
            mine = 0
            while first < len(above) and above[first][1] + reach <= start:
                first += 1
            at = first
            while at < len(above) and above[at][0] < end + reach:
                other = root(above[at][2])
                if mine and mine != other:
                    parent[max(mine, other)] = min(mine, other)
                mine = min(mine, other) if mine else other
                at += 1
            if not mine:
                mine = len(parent)
                parent.append(mine)
            labels[y, start:end] = mine
            rows.append((int(start), int(end), mine))
        above = rows
    roots = np.array([root(one) for one in range(len(parent))])
    return roots[labels], len(parent) - 1

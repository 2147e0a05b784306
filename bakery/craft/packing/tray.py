"""Where cookies are laid: a round, an oval or a rectangle. Millimetres, the middle is (0, 0)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

import numpy as np

SHAPES = ("round", "oval", "rectangle")
SIDES = 180  # tangents that stand for a curved rim; it is then 0.02 % too wide at most


@dataclass(frozen=True)
class Tray:
    """shape: one of SHAPES. width, height: usable inside, mm; a round takes its width for both."""

    shape: str
    width: float
    height: float = 0.0

    def __post_init__(self):
        if self.shape not in SHAPES:
            raise ValueError(f"no such tray: {self.shape}")
        if self.shape == "round" or not self.height:
            object.__setattr__(self, "height", self.width)
        if not (self.width > 0 and self.height > 0):
            raise ValueError("a tray has a width and a height")

    @property
    def area(self) -> float:
        """mm2."""
        box = self.width * self.height
        return box if self.shape == "rectangle" else box * np.pi / 4

    def half_width(self, y: float) -> float:
        """How far it reaches to each side of the middle at a height, mm; negative outside."""
        half = self.height / 2
        if abs(y) > half:
            return -1.0
        return self.width / 2 * (1.0 if self.shape == "rectangle" else sqrt(1 - (y / half) ** 2))

    def disc_reach(self, y: float, radius: float) -> float:
        """How far to each side a disc with its middle at a height may come, mm; negative: not in."""
        normals, far = tangents(self)
        aside = normals[:, 0] > 1e-9
        room = far - radius - normals[:, 1] * y
        if room[np.abs(normals[:, 0]) <= 1e-9].min(initial=0.0) < -1e-9:
            return -1.0
        middle = float((room[aside] / normals[aside, 0]).min())
        return middle + radius if middle >= 0 else -1.0

    def less(self, rim: float) -> Tray:
        """The tray without a rim of so many mm all around. Raises ValueError when nothing is left."""
        return Tray(self.shape, self.width - 2 * rim, self.height - 2 * rim)


@lru_cache(maxsize=64)
def tangents(tray: Tray) -> tuple[np.ndarray, np.ndarray]:
    """Unit normals (k, 2) and distances (k,): a disc of radius r at p lies inside iff n.p + r <= distance."""
    if tray.shape == "rectangle":
        normals = np.array([[1, 0], [-1, 0], [0, 1], [0, -1]], float)
    else:
        turns = np.linspace(0, 2 * np.pi, SIDES, endpoint=False)
        normals = np.column_stack([np.cos(turns), np.sin(turns)])
    a, b = tray.width / 2, tray.height / 2
    if tray.shape == "rectangle":
        return normals, np.abs(normals) @ np.array([a, b])
    return normals, np.sqrt((a * normals[:, 0]) ** 2 + (b * normals[:, 1]) ** 2)

"""Cut-out shares of pictures whose answer is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.airbrush.cutout import _labels, cut_out, threshold_of


def disc(size, radius, x, y):
    across, down = np.meshgrid(np.arange(size), np.arange(size))
    return (across - x) ** 2 + (down - y) ** 2 < radius**2


def test_a_drawing_with_its_outline_counts_only_what_lies_inside_the_line():
    size, picture = 400, np.full((400, 400), 250, dtype=np.uint8)
    face, inner = disc(size, 180, 200, 200), disc(size, 174, 200, 200)
    picture[face & ~inner] = 20
    hole = disc(size, 80, 200, 200)
    picture[hole] = 20
    found = cut_out(picture)
    assert found.outlined
    assert found.share == pytest.approx(hole.sum() / inner.sum(), abs=0.002)
    assert found.share == pytest.approx((80 / 174) ** 2, abs=0.005)


def test_a_sheet_on_a_light_table_counts_the_light_that_shows_through():
    size, picture = 300, np.full((300, 300), 240, dtype=np.uint8)
    picture[40:260, 30:270] = 90
    picture[100:200, 100:160] = 235
    found = cut_out(picture, dark=False)
    assert found.outlined
    assert found.share == pytest.approx(100 * 60 / (220 * 240))
    assert size == 300


def test_shapes_without_an_outline_are_counted_on_the_whole_picture():
    picture = np.full((100, 200), 255, dtype=np.uint8)
    picture[20:60, 50:100] = 0
    found = cut_out(picture)
    assert not found.outlined
    assert found.share == pytest.approx(40 * 50 / 20000)
    assert cut_out(picture, outlined=False).share == found.share


def test_a_threshold_of_hers_changes_what_counts_as_dark():
    picture = np.full((60, 60), 255, dtype=np.uint8)
    picture[10:30, 10:30] = 40
    picture[30:50, 30:50] = 150
    assert cut_out(picture, threshold=100).share == pytest.approx(400 / 3600)
    assert cut_out(picture, threshold=200).share == pytest.approx(800 / 3600)


@pytest.mark.parametrize("level", [0, 128, 255])
def test_a_picture_of_one_colour_is_answered(level):
    found = cut_out(np.full((20, 30), level, dtype=np.uint8))
    assert 0 <= found.share <= 1


def test_what_is_no_picture_is_refused():
    with pytest.raises(ValueError, match="rows"):
        cut_out(np.zeros((3, 4, 3)))
    with pytest.raises(ValueError, match="threshold"):
        cut_out(np.zeros((3, 4)), threshold=0)


def flooded(mask, corners):
    """Pieces by a plain walk, for comparison."""
    seen, pieces = np.zeros(mask.shape, dtype=int), 0
    steps = [(0, 1), (1, 0), (0, -1), (-1, 0)] + ([(1, 1), (1, -1), (-1, 1), (-1, -1)] if corners else [])
    for start in zip(*np.nonzero(mask), strict=True):
        if seen[start]:
            continue
        pieces, walk = pieces + 1, [start]
        seen[start] = pieces
        while walk:
            y, x = walk.pop()
            for dy, dx in steps:
                at = (y + dy, x + dx)
                inside = 0 <= at[0] < mask.shape[0] and 0 <= at[1] < mask.shape[1]
                if inside and mask[at] and not seen[at]:
                    seen[at] = pieces
                    walk.append(at)
    return seen


@given(st.integers(1, 12), st.integers(1, 12), st.integers(0, 10**9), st.booleans())
def test_pieces_are_those_of_a_plain_walk(high, wide, seed, corners):
    mask = np.random.default_rng(seed).random((high, wide)) < 0.55
    ours, plain = _labels(mask, corners)[0], flooded(mask, corners)
    pairs = set(zip(ours.ravel().tolist(), plain.ravel().tolist(), strict=True))
    assert len(pairs) == len({a for a, _ in pairs}) == len({b for _, b in pairs})
    assert ((ours > 0) == mask).all()


def test_otsu_parts_two_heaps_in_the_gap_between():
    picture = np.concatenate([np.full(100, 30), np.full(300, 200)]).astype(np.uint8).reshape(20, 20)
    assert 30 < threshold_of(picture) <= 200

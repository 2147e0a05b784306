"""CIEDE2000 on the published pairs: Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21-30, Table 1."""

import csv
from pathlib import Path

import numpy as np
import pytest

from bakery.craft.colour.spaces import ciede2000, lab_of_hex, srgb_of_xyz, to_hex, xyz_of_srgb

ROWS = list(csv.DictReader((Path(__file__).parent / "data/colour/ciede2000_sharma2005.csv").open()))
COLUMNS = ("L1", "a1", "b1", "L2", "a2", "b2", "dE00_published_4dp")


def test_every_published_pair_to_four_decimals_both_ways():
    first = np.array([[float(row[c]) for c in COLUMNS[:3]] for row in ROWS])
    second = np.array([[float(row[c]) for c in COLUMNS[3:6]] for row in ROWS])
    wanted = np.array([float(row[COLUMNS[6]]) for row in ROWS])
    assert len(ROWS) >= 20
    np.testing.assert_allclose(ciede2000(first, second), wanted, atol=5.1e-5)
    np.testing.assert_allclose(ciede2000(second, first), wanted, atol=5.1e-5)


def test_the_screen_s_white_is_lab_white():
    np.testing.assert_allclose(lab_of_hex("#ffffff"), [100, 0, 0], atol=1e-9)


@pytest.mark.parametrize("shade", ["#000000", "#1b2a49", "#f7dc6f", "#808080", "#01fe7a"])
def test_there_and_back_is_the_same_shade(shade):
    levels = np.array([int(shade[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    assert to_hex(srgb_of_xyz(xyz_of_srgb(levels))) == shade


def test_conversions_and_differences_agree_with_a_library():
    """coloraide (MIT), an implementation of its own. Its `lab` is under D50; ours is `lab-d65`."""
    from coloraide import Color

    rng = np.random.default_rng(5)
    levels = rng.integers(0, 256, (200, 2, 3))
    for first, second in levels:
        shades = [to_hex(one / 255) for one in (first, second)]
        theirs = [Color(shade).convert("lab-d65") for shade in shades]
        ours = [lab_of_hex(shade) for shade in shades]
        for mine, other in zip(ours, theirs, strict=True):
            np.testing.assert_allclose(mine, other.coords(), atol=2e-3)
        far = theirs[0].delta_e(theirs[1], method="2000", space="lab-d65")
        assert float(ciede2000(*ours)) == pytest.approx(far, abs=2e-3)

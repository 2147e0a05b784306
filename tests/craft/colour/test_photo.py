"""A colour from a photo with a white card."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.colour.photo import CARD, by_white, uneven
from bakery.craft.colour.spaces import ciede2000, from_hex, lab_of_hex

SHADES = st.from_regex(r"#[2-9a-d][0-9a-f][2-9a-d][0-9a-f][2-9a-d][0-9a-f]", fullmatch=True)


def linear(srgb):
    return np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)


def coded(light):
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)


@given(SHADES, st.tuples(*[st.floats(0.35, 1.0)] * 3))
def test_the_light_of_the_room_does_not_matter(shade, light):
    """Any tint of the light, the same on card and colour, comes out again."""
    seen = coded(linear(from_hex(shade)) * np.array(light))
    card = coded(np.array([CARD] * 3) * np.array(light))
    found = by_white(np.tile(seen, (9, 1)), np.tile(card, (9, 1)))
    assert float(ciede2000(lab_of_hex(found), lab_of_hex(shade))) < 1.0


def test_a_crumb_on_the_patch_does_not_count():
    patch = np.tile(from_hex("#5d708a"), (25, 1))
    patch[:8] = 0
    white = np.tile(coded(np.array([CARD] * 3)), (25, 1))
    assert by_white(patch, white) == "#5d708a"


@pytest.mark.parametrize(("level", "said"), [(1.0, "too bright"), (0.2, "too dark")])
def test_a_card_that_is_none_is_refused(level, said):
    with pytest.raises(ValueError, match=said):
        by_white(np.full((4, 3), 0.4), np.full((4, 3), level))


def test_a_plain_spot_is_even_with_grain_and_a_crumb_and_an_edge_is_not():
    rng = np.random.default_rng(6)
    plain = np.clip(from_hex("#5d708a") + rng.normal(0, 0.012, (169, 3)), 0, 1)
    assert not uneven(plain)
    crumb = plain.copy()
    crumb[:30] = 0.1
    assert not uneven(crumb), "the middle pixel passes over it"
    edge = plain.copy()
    edge[:60] = from_hex("#efe5cf")
    assert uneven(edge)
    shadow = plain.copy()
    shadow[:60] *= 0.7
    assert uneven(shadow)

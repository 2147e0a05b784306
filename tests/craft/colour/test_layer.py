"""A sprayed coat: the limits and the order that Kubelka and Munk's layer must keep."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bakery.craft.colour.layer import ICING, Bottle, Fit, inside, lab_of_mix, layer, mixed, outside
from bakery.craft.colour.spaces import ciede2000, lab_of_hex
from bakery.craft.colour.spectra import lab_of, spectrum_of_hex

SHARE = st.floats(0.02, 0.97)
K = st.floats(1e-4, 30)
S = st.floats(1e-4, 10)
SHADES = st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}")


@given(K, SHARE, st.floats(0.1, 4))
def test_without_scattering_it_is_a_filter_over_the_icing(k, ground, coats):
    """Beer-Lambert: light crosses a clear layer twice."""
    assert layer(k, 0.0, ground, coats) == pytest.approx(ground * np.exp(-2 * k * coats), abs=2e-5)


@given(K, S, SHARE, SHARE)
def test_a_very_thick_coat_hides_what_lies_under_it(k, s, one, other):
    """Its colour is then 1 + K/S - sqrt((K/S)^2 + 2 K/S), the limit in the paper."""
    thick = 1e6
    ratio = k / s
    # Written without the difference of near equal numbers.
    wanted = 1 / (1 + ratio + np.sqrt(ratio * (ratio + 2)))
    assert layer(k, s, one, thick) == pytest.approx(layer(k, s, other, thick), abs=1e-6)
    assert layer(k, s, one, thick) == pytest.approx(wanted, rel=1e-5, abs=1e-6)


@given(K, S, SHARE)
def test_no_coat_is_the_icing(k, s, ground):
    assert layer(k, s, ground, 1e-9) == pytest.approx(ground, abs=1e-5)


@given(K, S, SHARE, st.floats(1.05, 3))
def test_more_absorption_is_never_lighter(k, s, ground, times):
    assert layer(k * times, s, ground) <= layer(k, s, ground) + 1e-9


@given(K, S, SHARE, st.floats(1.05, 3))
def test_more_scattering_over_black_is_never_darker(k, s, ground, times):
    assert layer(k, s * times, 0.0) >= layer(k, s, 0.0) - 1e-9


@given(SHARE)
def test_the_surface_in_and_out_is_the_same(r):
    if r > 0.06:
        assert outside(inside(r)) == pytest.approx(r, abs=1e-6)


@given(SHADES)
def test_a_smooth_curve_shows_its_screen_colour(shade):
    curve = spectrum_of_hex(shade)
    assert ((curve >= 0) & (curve <= 1)).all()
    linear = [int(shade[i : i + 2], 16) for i in (1, 3, 5)]
    if min(linear) >= 8 and max(linear) <= 250:  # else it is first brought within what surfaces reach
        assert ciede2000(lab_of(curve), lab_of_hex(shade)) < 0.02


@pytest.mark.parametrize("kind", ["dye", "opaque"])
@given(shade=st.integers(0, 0xFFFFFF))
def test_a_bottle_alone_shows_its_own_swatch(kind, shade):
    levels = [75 + 145 * ((shade >> s) & 255) // 255 for s in (16, 8, 0)]
    bottle = Bottle("x", "x", "#" + "".join(f"{level:02x}" for level in levels), kind)
    assert ciede2000(lab_of_mix([bottle], [3]), lab_of_hex(bottle.hex)) < 1.0


def test_nothing_is_predicted_darker_than_the_shine_of_its_surface():
    """Three parts in a hundred of the light never enter: a known limit, about L* 22."""
    black = lab_of_mix([Bottle("k", "black", "#080808")], [1])
    assert 20 < black[0] < 23


def test_a_mix_depends_on_the_ratio_alone():
    pair = [Bottle("r", "red", "#c0392b"), Bottle("w", "white", "#fbfaf5", "white")]
    np.testing.assert_allclose(mixed(pair, [1, 3]), mixed(pair, [4, 12]))


def test_white_makes_it_lighter_and_a_second_coat_deeper():
    pair = [Bottle("r", "red", "#c0392b"), Bottle("w", "white", "#fbfaf5", "white")]
    lightness = [float(lab_of_mix(pair, drops)[0]) for drops in ([1, 0], [1, 1], [1, 3], [1, 9])]
    assert lightness == sorted(lightness)
    assert lab_of_mix(pair[:1], [1], coats=2)[0] < lab_of_mix(pair[:1], [1])[0]


def test_tinted_icing_shows_through_a_dye_and_hardly_through_coats_of_white():
    def through(bottle, coats):
        on_pink = lab_of_mix([bottle], [1], ground="#f3c6cf", coats=coats)
        return float(ciede2000(lab_of_mix([bottle], [1], coats=coats), on_pink))

    blue, white = Bottle("b", "blue", "#5080c0"), Bottle("w", "white", "#fbfaf5", "white")
    assert through(blue, 1) > 5
    assert through(white, 4) < through(white, 1) / 2


@pytest.mark.parametrize("drops", [[0, 0], [-1, 2], [1], [1, 2, 3]])
def test_no_recipe_is_said(drops):
    pair = [Bottle("r", "red", "#c0392b"), Bottle("w", "white", "#fbfaf5", "white")]
    with pytest.raises(ValueError, match="drops"):
        mixed(pair, drops)


def test_pearl_is_not_predicted():
    with pytest.raises(ValueError, match="Pearl"):
        mixed([Bottle("p", "pearl", "#eeeeee", shimmer=True)], [1])


def test_a_kind_of_bottle_that_is_none_is_said():
    with pytest.raises(ValueError, match="dye"):
        Bottle("x", "x", "#112233", "oil")


def test_what_was_learnt_changes_the_mix():
    plain = Bottle("r", "red", "#c0392b")
    strong = Bottle("r", "red", "#c0392b", fit=Fit(0.0, (0.5, 0.5, 0.5), 3))
    white = Bottle("w", "white", "#fbfaf5", "white")
    assert lab_of_mix([strong, white], [1, 3])[0] < lab_of_mix([plain, white], [1, 3])[0]
    assert ICING.startswith("#")

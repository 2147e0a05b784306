"""The drying curve as a picture: words never overlap, and the mist ends at the slow night's bar."""

import re
from datetime import datetime
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from bakery.drawing.drying import MOST_DOTS, Curve, Mark, drying_curve
from bakery.drawing.svg import width_of

SHARE = tuple(1 - i / 10 for i in range(11))
NAMES = st.sampled_from(["crusted", "firm", "usually dry"])
MARKS = st.lists(st.builds(Mark, st.floats(0, 20), NAMES), max_size=5)
WORDS = re.compile(r'<text x="([\d.]+)" y="22"[^>]*>([^<]*)<')


@given(MARKS, st.sampled_from([350, 1180]))
def test_words_above_the_mist_never_touch(marks, width):
    drawn = drying_curve(Curve(20, SHARE, tuple(marks)), width=width)
    placed = sorted((float(x), float(x) + width_of(said, 17)) for x, said in WORDS.findall(drawn))
    assert all(one[1] < two[0] for one, two in pairwise(placed))
    assert all(low >= 0 and high <= width + 1 for low, high in placed)
    assert not marks or placed


def test_the_slow_night_is_a_bar_and_the_mist_ends_there():
    with_bar = drying_curve(Curve(20, SHARE, (Mark(18, "slow night", bar=True),)), width=1000)
    without = drying_curve(Curve(20, SHARE), width=1000)
    assert with_bar.count('width="4"') == 1
    assert 'width="4"' not in without
    dots = [float(x) for x in re.findall(r"M([\d.]+) [\d.]+h0", with_bar)]
    assert dots
    assert max(dots) <= 1000 * 18 / 20
    assert len(dots) <= MOST_DOTS


def test_the_clock_stands_below_and_hostile_words_are_harmless():
    curve = Curve(6, SHARE, (Mark(3, "<script>"),), 'a "title" <b>', datetime(2026, 3, 2, 22, 30))
    drawn = drying_curve(curve, width=1180)
    assert "22:30" in drawn
    assert "00:30" in drawn
    assert "<script>" not in drawn
    assert "<b>" not in drawn

"""The pictures of Money: true to scale, whole with odd figures, safe with any words."""

import re

from hypothesis import given
from hypothesis import strategies as some

from bakery.drawing.earnings import Column, columns, hour_bar, nice_step, pace_bar

money = some.floats(min_value=-1e7, max_value=1e7, allow_nan=False)


def rects(svg):
    return [
        tuple(map(float, found))
        for found in re.findall(r'<rect x="([-\d.]+)" y="[-\d.]+" width="([\d.]+)"', svg)
    ]


def test_bars_share_one_scale():
    (_, half), (_, whole) = (rects(hour_bar(v, wage=10, most=20, width=206))[0] for v in (10, 20))
    assert (half, whole) == (100, 200)


def test_an_hour_she_pays_for_goes_the_other_way():
    left, wide = rects(hour_bar(-5, wage=10, most=20, low=-5, width=256))[0]
    assert (left, wide) == (3, 50)


@given(some.lists(some.tuples(money, money), max_size=24), some.sampled_from([348, 720]))
def test_columns_of_any_figures_stay_inside(pairs, width):
    svg = columns(tuple(Column("Jan", *pair, title="<b>&") for pair in pairs), width=width, sign="£")
    assert "<b>" not in svg
    for left, wide in rects(svg):
        assert left >= 0
        assert left + wide <= width + 0.2
    for y, tall in re.findall(r'<rect x="[-\d.]+" y="([-\d.]+)" width="[\d.]+" height="([-\d.]+)"', svg):
        assert float(y) >= 13.8
        assert float(tall) >= 0
        assert float(y) + float(tall) <= 200.3


@given(some.floats(min_value=0.001, max_value=1e9))
def test_steps_are_round_and_two_to_five_reach_the_top(top):
    step = nice_step(top)
    assert step * 5 >= top * 0.999
    assert step < top * 1.001 or step <= 0.002


def test_a_hostile_title_stays_text():
    assert "<script" not in pace_bar(1.4, title="<script>") + hour_bar(1, wage=1, most=1, title="<script>")

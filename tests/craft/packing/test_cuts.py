"""Pieces cut from sheets: all there, apart by the gap, with the offcuts that really stay whole."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bakery.craft.packing import pack_sheets, pack_strip

A4 = (210, 297)
side = st.integers(8, 120)


@given(st.lists(st.tuples(side, side), min_size=1, max_size=25), st.integers(0, 4))
@settings(max_examples=30, deadline=None)
def test_every_piece_is_cut_once_and_none_over_another(sizes, gap):
    cuts = pack_sheets(sizes, *A4, gap=gap, margin=5)
    placed = [one for sheet in cuts.sheets for one in sheet.placed]
    assert sorted(one.piece for one in placed) + list(cuts.too_big) == list(range(len(sizes)))
    assert len(cuts.sheets) >= cuts.least
    for sheet in cuts.sheets:
        blocks = [(p.x, p.y, p.x + p.width, p.y + p.height) for p in sheet.placed]
        assert all(x0 >= 5 and y0 >= 5 and x1 <= 205 + 1e-6 and y1 <= 292 + 1e-6 for x0, y0, x1, y1 in blocks)
        for at, one in enumerate(blocks):
            for other in blocks[:at]:
                assert apart(one, other, gap)
        for cut in sheet.offcuts:
            assert min(cut.width, cut.height) >= 25
            whole = (cut.x, cut.y, cut.x + cut.width, cut.y + cut.height)
            assert all(apart(whole, block, 0) for block in blocks)
        area = sum((x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in blocks)
        assert sheet.used == pytest.approx(area / (A4[0] * A4[1]), abs=1e-6)


def apart(a, b, gap):
    d = max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3])
    return d >= gap - 1e-6


def test_pieces_all_alike_take_the_better_of_two_blocks():
    # 210 x 297 without margin: 5 x 9 of 40 x 32; turned 6 x 7; two blocks do better than either
    assert len(pack_sheets([(40, 32)] * 60, *A4).sheets[0].placed) >= 46


def test_an_offcut_is_used_before_a_fresh_sheet():
    cuts = pack_sheets([(40, 30)] * 4, *A4, gap=2, parts=[(90, 70)])
    assert [(sheet.width, len(sheet.placed)) for sheet in cuts.sheets] == [(90, 4)]


def test_what_is_too_big_is_said_and_never_cut():
    cuts = pack_sheets([(400, 20), (20, 20)], *A4)
    assert cuts.too_big == (0,)
    assert len(cuts.sheets) == 1


def test_the_same_seed_gives_the_same_plan():
    sizes = [(20 + at % 7 * 9, 15 + at % 5 * 11) for at in range(30)]
    assert pack_sheets(sizes, *A4, gap=2) == pack_sheets(sizes, *A4, gap=2)


def test_sizes_must_be_sizes():
    for wrong in ([(0, 10)], [(-1, 10)]):
        with pytest.raises(ValueError):
            pack_sheets(wrong, *A4)
    with pytest.raises(ValueError):
        pack_strip([(30, 30)], 20)

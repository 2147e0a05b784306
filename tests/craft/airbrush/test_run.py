"""A whole evening's spraying against every way of doing it."""

import random
from itertools import permutations
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bakery.craft.airbrush import Cleaning, Paint, Pass, changes, plan_run
from bakery.craft.airbrush.crossing import least_cleaning
from bakery.craft.airbrush.run import CUP_LOSS

PAINTS = [
    Paint("sun", "#f4d03f"),
    Paint("rose", "#d98880"),
    Paint("fern", "#5a7d4f"),
    Paint("navy", "#1f3a5f"),
]


def _brute(passes, in_cup=None) -> int:
    """Every order of all passes, a change between two of different colour."""
    best = None
    for order in permutations(passes):
        seen, cost, last = set(), 0, in_cup
        for p in order:
            if not set(p.after) <= seen:
                break
            if last is not None and last != p.paint:
                cost += round(10 * changes([last, p.paint])[0][1])
            seen.add(p.id)
            last = p.paint
        else:
            best = cost if best is None else min(best, cost)
    return best


@st.composite
def evenings(draw):
    """Up to three designs of up to three passes each, seven passes in all."""
    passes = []
    for design in range(draw(st.integers(1, 3))):
        before = ()
        for number in range(draw(st.integers(1, 3 if design < 2 else 1))):
            paint = draw(st.sampled_from(PAINTS))
            passes.append(Pass(f"{design}.{number}", f"design {design}", paint, 12, after=before))
            before = (passes[-1].id,)
    return passes


@settings(max_examples=60)
@given(evenings(), st.sampled_from([None, *PAINTS]))
def test_no_way_through_the_passes_cleans_less(passes, in_cup):
    run = plan_run(passes, in_cup=in_cup)
    assert run.proved
    assert round(10 * run.cleaning) == _brute(passes, in_cup)
    assert round(10 * sum(step.clean_before for step in run.steps)) == round(10 * run.cleaning)
    order = [p.id for step in run.steps for p in step.passes]
    assert sorted(order) == sorted(p.id for p in passes)
    for p in passes:
        assert all(order.index(b) < order.index(p.id) for b in p.after)


def test_designs_whose_orders_cross_fill_one_colour_twice():
    light, dark = PAINTS[0], PAINTS[3]
    passes = [
        Pass("a1", "a", light, 12), Pass("a2", "a", dark, 12, after=("a1",)),
        Pass("b1", "b", dark, 12), Pass("b2", "b", light, 12, after=("b1",)),
    ]  # fmt: skip
    run = plan_run(passes)
    assert [step.paint.name for step in run.steps] in (["sun", "navy", "sun"], ["navy", "sun", "navy"])
    assert run.proved


def test_a_colour_comes_back_where_waiting_with_it_would_cost_more():
    """Each could be filled once here, but only with a dark colour before a light one, twice."""
    dark, leaf, bone, white = (Paint(c, c) for c in ("#2c4a2a", "#4f6b35", "#efe5cf", "#fdfcf6"))
    layers, passes, below = ((dark,), (leaf, dark, bone), (leaf, white)), [], ()
    for number, layer in enumerate(layers):
        passes += [Pass(f"{number}.{p.name}", "d", p, 12, after=below) for p in layer]
        below = tuple(one.id for one in passes[-len(layer) :])
    run = plan_run(passes)
    assert run.proved
    assert round(10 * run.cleaning) == _brute(passes)
    assert len(run.steps) > 4


def test_light_comes_before_dark():
    run = plan_run([Pass(p.name, p.name, p, 12) for p in reversed(PAINTS)])
    assert [step.paint.name for step in run.steps] == ["sun", "rose", "fern", "navy"]


def test_lightening_in_the_cup_is_nearly_free():
    red, pink = Paint("red", "#c0392b", {"red": 4}), Paint("pink", "#e6a0a0", {"red": 4, "white": 8})
    assert changes([red, pink])[0][1] == pytest.approx(0.3)
    assert changes([pink, red])[0][1] > 0.3
    assert not red.made_from(pink)


def test_drops_are_of_the_open_face_and_what_stays_in_the_cup():
    one = Pass("p", "d", PAINTS[0], 24, area_cm2=46, cut_out=0.5)
    assert one.drops == pytest.approx(16)  # 8 a dozen, by definition of the usual coat
    step = plan_run([one]).steps[0]
    assert step.drops == 16 + CUP_LOSS
    assert step.clean_before == 0


def test_a_filling_holds_all_passes_of_its_colour():
    passes = [Pass("a", "x", PAINTS[1], 12, cut_out=0.5), Pass("b", "y", PAINTS[1], 12, cut_out=0.5)]
    run = plan_run(passes)
    assert len(run.steps) == 1
    assert run.drops == {"rose": 16 + CUP_LOSS}


@pytest.mark.parametrize(
    "passes",
    [
        [Pass("a", "x", PAINTS[0], 1), Pass("a", "x", PAINTS[0], 1)],
        [Pass("a", "x", PAINTS[0], 1, after=("b",))],
        [Pass("a", "x", PAINTS[0], 1, after=("b",)), Pass("b", "x", PAINTS[1], 1, after=("a",))],
    ],
)
def test_what_makes_no_sense_is_said(passes):
    with pytest.raises(ValueError, match=r"\w"):
        plan_run(passes)


def test_too_many_states_still_gets_a_way_with_its_bound(monkeypatch):
    monkeypatch.setattr("bakery.craft.airbrush.crossing.MOST_STATES", 2)
    passes = []
    for design in range(4):
        before = ()
        for number in range(3):
            paint = PAINTS[(number * (1 + design % 2) + design) % 4]
            passes.append(Pass(f"{design}.{number}", f"{design}", paint, 12, after=before))
            before = (passes[-1].id,)
    run = plan_run(passes)
    assert run.least <= run.cleaning
    assert round(10 * sum(step.clean_before for step in run.steps)) == round(10 * run.cleaning)
    assert sorted(p.id for step in run.steps for p in step.passes) == sorted(p.id for p in passes)


@settings(max_examples=40)
@given(evenings(), st.sampled_from([None, *PAINTS]))
def test_a_way_taken_without_looking_far_is_a_way_and_within_its_bound(passes, in_cup):
    with mock.patch("bakery.craft.airbrush.crossing.MOST_STATES", 0):
        run = plan_run(passes, in_cup=in_cup)
    assert round(10 * run.least) <= _brute(passes, in_cup) <= round(10 * run.cleaning)
    assert round(10 * sum(step.clean_before for step in run.steps)) == round(10 * run.cleaning)
    order = [p.id for step in run.steps for p in step.passes]
    assert sorted(order) == sorted(p.id for p in passes)
    assert all(order.index(b) < order.index(p.id) for p in passes for b in p.after)


@pytest.mark.parametrize("tabled", [0, 14])
def test_both_bounds_lead_to_the_same_cleaning(monkeypatch, tabled):
    """Eight designs of three passes over twelve colours, of which most have to come back."""
    monkeypatch.setattr("bakery.craft.airbrush.crossing.TABLED", tabled)
    rng = random.Random(3)
    paints = [Paint(str(i), f"#{rng.randrange(1 << 24):06x}") for i in range(12)]
    passes = []
    for design in range(8):
        for at, paint in enumerate(rng.sample(paints, 3)):
            after = (f"{design}.{at - 1}",) if at else ()
            passes.append(Pass(f"{design}.{at}", str(design), paint, 12, after=after))
    run = plan_run(passes)
    assert run.proved
    assert len(run.steps) > len({p.paint for p in passes})
    assert round(10 * run.cleaning) == 132  # as the search with the plainer bound found it
    monkeypatch.setattr("bakery.craft.airbrush.crossing.MOST_STATES", 5)
    quick = plan_run(passes)
    assert 132 <= round(10 * quick.cleaning) <= 150
    assert quick.least <= 13.2


def test_the_search_alone_says_when_passes_run_in_a_circle():
    with pytest.raises(ValueError, match="circle"):
        least_cleaning([2, 1], [0, 1], [[0, 1], [1, 0]])


def test_other_figures_give_other_minutes():
    slow = Cleaning(always=3.0)
    assert changes(PAINTS, slow)[0][1] == pytest.approx(changes(PAINTS)[0][1] + 2.6)

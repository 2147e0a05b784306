"""The six kinds: their layers, their minutes, and what set-up does to a small order."""

import pytest

from bakery.craft.work import KINDS, MINUTES, Layer, Shop, colour_names, default_layers, layers_of

from .makers import line, work

PICTURE = {"plain": 5, "two_colour": 6, "stencil": 8, "stencil_detail": 9, "lettered": 9, "very_detailed": 22}
COLOURS = {"plain": 1, "two_colour": 2, "stencil": 3, "stencil_detail": 3, "lettered": 2, "very_detailed": 4}


def each(kind, quantity):
    return work(line(kind, quantity, colours=COLOURS[kind])).bench_minutes / quantity


@pytest.mark.parametrize("kind", KINDS)
def test_two_dozen_take_about_the_minutes_that_are_shown(kind):
    assert each(kind, 24) == pytest.approx(PICTURE[kind], rel=0.06)


@pytest.mark.parametrize("kind", KINDS)
def test_set_up_dominates_small_orders(kind):
    few, dozen, many = (each(kind, n) for n in (3, 12, 48))
    assert few > dozen > many
    assert work(line("plain", 5)).minutes > 0.6 * work(line("plain", 20)).minutes


def test_every_default_says_where_it_comes_from():
    assert all(setting.note == "common practice, no source" for setting in MINUTES.values())


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("colours", [1, 2, 3, 5])
def test_every_kind_has_layers_for_any_number_of_colours(kind, colours):
    layers = default_layers(line(kind, colours=colours))
    assert layers[0].kind == "flood"
    assert layers[0].wait == ""
    if colours > 1:
        assert set(colour_names(line(kind, colours=colours))) <= {
            c for layer in layers for c in layer.colours
        }


def test_the_first_colour_is_the_base_and_names_are_kept():
    layers = default_layers(line("stencil_detail", colours=("bone", "leaf", "ochre")))
    assert [layer.colours for layer in layers] == [("bone",), ("leaf",), ("ochre",)]
    assert colour_names(line(colours=2, base="sage")) == ("sage", "colour 2")


def test_layers_of_its_own_win_over_the_kind():
    own = (Layer("flood", ("slate",)), Layer("brush", ("gold",), wait="base_dry"))
    assert layers_of(line("plain", layers=own)) == own


def test_a_shop_may_have_minutes_of_its_own():
    slow = work(line(), shop=Shop(minutes={"flood": 2.5})).minutes_by_kind["flood"]
    assert slow > 1.8 * work(line()).minutes_by_kind["flood"]


def test_a_larger_cookie_takes_longer_to_flood_and_more_icing():
    small, large = (work(line(area_cm2=area)) for area in (23, 92))
    assert large.minutes_by_kind["flood"] > small.minutes_by_kind["flood"]
    grams = [sum(j.grams for j in w.jobs if j.kind == "flood") for w in (small, large)]
    assert grams[1] == pytest.approx(4 * grams[0], rel=1e-4)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"quantity": 0}, "1 to 5000"),
        ({"quantity": 100_000}, "1 to 5000"),
        ({"kind": "fancy"}, "no kind"),
        ({"stage": "eaten"}, "no stage"),
        ({"designs": 0}, "designs"),
        ({"spares": -1}, "negative"),
        ({"area_cm2": 0}, "cm2"),
    ],
)
def test_a_line_that_makes_no_sense_is_refused_in_words(wrong, words):
    with pytest.raises(ValueError, match=words):
        line(**wrong)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"kind": "glue"}, "no layer"),
        ({"wait": "soon"}, "no wait"),
        ({"placings": 0}, "placings"),
        ({"minutes_per_cookie": -1}, "minutes"),
    ],
)
def test_a_layer_that_makes_no_sense_is_refused_in_words(wrong, words):
    with pytest.raises(ValueError, match=words):
        Layer(**({"kind": "flood"} | wrong))

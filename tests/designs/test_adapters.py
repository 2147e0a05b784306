"""Rows to the core's layers and to pictures."""

import pytest

from bakery.designs.adapters import drawing_of, drawing_of_kind, layers_of, layers_over_bases, usual_wait
from bakery.designs.queries import design_by_slug
from bakery.drawing.cookies import as_cookie, cookie
from tests import factories as make

pytestmark = pytest.mark.django_db


def test_layers_come_bottom_first_with_their_colours_and_stencils(fern):
    flood, spray, dots = layers_of(design_by_slug("fern-plaque"))
    assert (flood.kind, flood.colours, flood.wait) == ("flood", ("Bone",), "")
    assert (spray.colours, spray.stencils, spray.wait) == (("Leaf",), ("fern-fern",), "base_dry")
    assert (dots.kind, dots.wait) == ("piped", ""), "sprayed colour needs no wait of its own below dots"


def test_a_variation_swaps_the_first_flood_the_stencil_and_the_detail(fern):
    design = design_by_slug("fern-plaque")
    sage = design.variations.all()[1]
    assert [layer.colours for layer in layers_of(design, sage)] == [("Sage",), ("Navy",), ("Navy",)]


def test_over_all_bases_the_flood_carries_each_base_once(fern):
    flood, spray, _ = layers_over_bases(design_by_slug("fern-plaque"))
    assert flood.colours == ("Bone", "Sage")
    assert spray.colours == ("Leaf", "Navy")


def test_another_way_is_a_layer_of_its_own_kind(fern):
    layer = fern.layers.get(kind="spray")
    layer.another_way, layer.another_way_minutes = "icing", "2.5"
    layer.save()
    other = layers_of(design_by_slug("fern-plaque"))[1].other_way
    assert (other.kind, other.minutes_per_cookie, other.stencils) == ("icing_pass", 2.5, ("fern-fern",))


def test_a_design_without_layers_leaves_the_work_to_its_kind():
    assert layers_of(make.DesignFactory()) == ()


@pytest.mark.parametrize(
    ("kind", "below", "wait"),
    [
        ("flood", None, ""),
        ("flood", "flood", "crusted"),
        ("spray", "flood", "base_dry"),
        ("spray", "spray", ""),
        ("icing_pass", "spray", "base_dry"),
        ("piped", "flood", "firm"),
        ("piped", "spray", ""),
        ("wafer", "flood", "wafer_dry"),
    ],
)
def test_usual_waits(kind, below, wait):
    assert usual_wait(kind, below) == wait


def test_the_picture_shows_what_is_on_so_far(fern):
    design = design_by_slug("fern-plaque")
    assert drawing_of(design, upto=0)["stage"] == "blank"
    assert drawing_of(design, upto=1)["stage"] == "wet"
    assert "dots" not in drawing_of(design, upto=2)
    whole = drawing_of(design)
    assert (whole["base"], whole["motif"], whole["dots"]) == ("#f1e8d3", "fern", "#fdfcf6")
    assert cookie(whole).startswith("<svg")


def test_every_kind_has_a_picture_in_any_shape():
    for key in ("plain", "two_colour", "stencil", "stencil_detail", "lettered", "very_detailed", "unheard"):
        assert as_cookie(drawing_of_kind(key, shape="heart")).shape == "heart"


def test_a_bare_design_is_drawn_in_its_variations_colour(colours):
    design = make.DesignFactory(kind__key="stencil_detail")
    sage = make.VariationFactory(design=design, base=colours["icing"]["Sage"])
    assert drawing_of(design, sage)["base"] == "#adbb9d"


def test_seven_queries_serve_any_number_of_designs(fern, django_assert_max_num_queries):
    from bakery.designs.queries import designs_in_use

    for _ in range(5):
        make.LayerFactory(design=make.DesignFactory(), position=0)
    with django_assert_max_num_queries(8):
        for design in designs_in_use():
            layers_of(design)
            for variation in design.variations.all():
                drawing_of(design, variation)

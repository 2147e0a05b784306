"""The form of one layer: every field keeps its own label, colours stand under their medium."""

import pytest

from tests import factories as make

pytestmark = pytest.mark.django_db


def test_each_field_has_its_own_label(signed_in, fern):
    make.StudioFactory()
    page = signed_in.get("/designs/fern-plaque/change/").content.decode()
    for label in (
        "What",
        "Called",
        "Stencil and its pieces",
        "Minutes a cookie",
        "Dots a cookie",
        "What is below must be",
        "Another way, should a tool be out",
    ):
        assert f">{label}</label>" in page, label
    assert page.count(">Keep it</span>") == 4, "three layers and the design itself"


def test_the_two_bones_stand_apart(signed_in, fern, colours):
    make.StudioFactory()
    page = signed_in.get("/designs/fern-plaque/change/").content.decode()
    form = page[page.index('id="add"') :]
    icing, spray = form.index("mixed with gel or paste"), form.index("Airbrush colours")
    assert icing < form.index(f'value="{colours["icing"]["Bone"].pk}"') < spray
    assert spray < form.index(f'value="{colours["airbrush"]["Bone"].pk}"')


def test_what_a_layer_has_is_ticked_in_its_form(signed_in, fern, colours):
    make.StudioFactory()
    page = signed_in.get("/designs/fern-plaque/change/").content.decode()
    spray = fern.layers.get(kind="spray")
    ticked = f'value="{colours["airbrush"]["Leaf"].pk}" id="layer-{spray.pk}-colours_'
    assert "checked" in page[page.index(ticked) :][:120]
    assert 'value="Fern: fern"' in page

"""What stencil workers do, said as advice."""

import pytest

from bakery.designs.practice import advice_for
from tests import factories as make

pytestmark = pytest.mark.django_db


def layers(*rows):
    """Layers of a new design: (kind, roles of its stencil pieces)."""
    design, found = make.DesignFactory(), []
    for position, (kind, *roles) in enumerate(rows):
        layer = make.LayerFactory(design=design, kind=kind, position=position)
        layer.stencils.set([make.StencilPieceFactory(role=role) for role in roles])
        found.append(layer)
    return found


def said(*rows):
    return " ".join(advice_for(layers(*rows)))


def test_nothing_is_said_about_the_usual_order():
    assert said(("flood",), ("spray", "background", "mask"), ("piped",)) == ""


def test_a_mask_lies_with_the_background():
    assert "mask lies with the background" in said(("flood",), ("spray", "background"), ("spray", "mask"))


def test_shading_goes_before_the_frame():
    assert "Shading goes on before the frame" in said(("spray", "frame"), ("spray", "shading"))
    assert "frame" not in said(("spray", "shading"), ("spray", "frame"))


def test_icing_passes_come_last():
    assert "goes last" in said(("icing_pass", "background"), ("spray", "shading"))


def test_a_stencil_must_lie_flat():
    assert "lie flat" in said(("flood",), ("piped",), ("spray", "background"))


def test_wash_and_dry_between_placings():
    assert "Wash the stencil" in said(("spray", "background"), ("spray", "shading"))

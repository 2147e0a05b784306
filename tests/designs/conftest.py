"""A fern on sage as the design tests know it."""

import pytest

from tests import factories as make


@pytest.fixture
def colours(db):
    """A few shades by name and medium."""
    icing = {
        name: make.ColourFactory(name=name, hex=shade)
        for name, shade in (
            ("Bone", "#f1e8d3"),
            ("Sage", "#adbb9d"),
            ("White", "#fdfcf6"),
            ("Navy", "#223660"),
        )
    }
    spray = {
        name: make.AirbrushColourFactory(name=name, hex=shade)
        for name, shade in (("Leaf", "#4f6b35"), ("Bone", "#efe5cf"), ("Navy", "#1f2f5c"))
    }
    return {"icing": icing, "airbrush": spray}


@pytest.fixture
def fern(colours):
    """Flood, a sprayed fern, piped dots; on two base colours."""
    design = make.DesignFactory(
        name="Fern plaque", slug="fern-plaque", shape="plaque", motif="fern", kind__key="stencil_detail"
    )
    piece = make.StencilPieceFactory(stencil_set__name="Fern", name="fern")
    for position, (kind, colour) in enumerate(
        (
            ("flood", colours["icing"]["Bone"]),
            ("spray", colours["airbrush"]["Leaf"]),
            ("piped", colours["icing"]["White"]),
        )
    ):
        layer = make.LayerFactory(
            design=design, position=position, kind=kind, dots=14 if kind == "piped" else None
        )
        make.LayerColourFactory(layer=layer, colour=colour)
        if kind == "spray":
            layer.stencils.add(piece)
    make.VariationFactory(design=design, position=0, base=colours["icing"]["Bone"])
    make.VariationFactory(
        design=design,
        position=1,
        base=colours["icing"]["Sage"],
        motif=colours["airbrush"]["Navy"],
        detail=colours["icing"]["Navy"],
    )
    return design

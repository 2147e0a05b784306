"""The example's ten stencil sets and twelve designs."""

from bakery.designs.models import Design, Kind, Layer, LayerColour, StencilPiece, StencilSet, Variation

# set: baked size it fits, then its pieces (name, role, copies, share cut out in percent)
STENCILS = {
    "Fern": ((70, 95), (("fern", "background", 1, 22),)),
    "Pole star": ((110, 70), (("star", "background", 1, 9),)),
    "Compass": ((75, 75), (("compass", "background", 1, 24),)),
    "Rook": ((75, 75), (("rook", "background", 1, 26),)),
    "Monogram E T": ((70, 90), (("letters", "lettering", 1, 14),)),
    "Ammonite": (
        (75, 75),
        (("shell", "background", 1, 38), ("ribs", "shading", 1, 17), ("mask", "mask", 1, 45)),
    ),
    "Harbour boat": ((75, 75), (("hull", "background", 1, 16), ("sails", "shading", 1, 12))),
    "Waves": ((75, 75), (("waves", "background", 2, 30),)),
    "Card frame": ((95, 60), (("frame", "frame", 1, 8),)),
    "Rope edge": ((75, 75), (("rope", "frame", 1, 11),)),
}

# name, kind, shape, width and height in mm, area in cm2, motif, text, bases with motif and detail colours
DESIGNS = (
    ("Fern plaque", "stencil_detail", "plaque", 70, 95, "53", "fern", "",
     (("Bone", "Leaf green", "Gold ochre"), ("Sage", "Dark leaf", "White"), ("Slate", "Bone", "White"))),
    ("Place card", "lettered", "card", 95, 60, "52", "", "", (("Bone", None, None),)),
    ("Fair winds", "lettered", "round", 75, 75, "44", "", "Fair winds", (("Sea", None, None),)),
    ("Pole star burgee", "stencil_detail", "burgee", 105, 65, "45", "star", "",
     (("Navy", "White", "White"),)),
    ("Rook", "stencil", "square", 75, 75, "52", "rook", "", (("Bone", "Brown", None),
                                                             ("Slate", "Bone", None))),
    ("Monogram oval", "stencil_detail", "oval", 70, 90, "49", "monogram", "E T",
     (("Ivory", "Ochre", "Gold ochre"),)),
    ("Ammonite", "very_detailed", "round", 75, 75, "44", "ammonite", "", (("Bone", None, None),)),
    ("Harbour boat", "very_detailed", "round", 75, 75, "44", "boat", "", (("Sea", None, None),)),
    ("Compass", "stencil", "round", 75, 75, "44", "star", "", (("Slate", "White", None),
                                                               ("Navy", "Bone", None))),
    ("Plain round", "plain", "round", 75, 75, "44", "", "", (("Bone", None, None), ("Sea", None, None),
                                                             ("Sage", None, None))),
    ("Two waves", "two_colour", "round", 75, 75, "44", "waves", "", (("Bone", None, None),)),
    ("Thank-you star", "lettered", "star", 80, 80, "38", "", "Thanks", (("Gold ochre", None, "White"),)),
)  # fmt: skip

# design: layers bottom first (kind, title, wait, minutes, grams, colours, pieces, dots, another way)
LAYERS = {
    "Fern plaque": (
        ("flood", "Flood", "", None, None, ("Bone",), (), None, ""),
        ("spray", "Fern", "base_dry", None, None, ("Leaf green",), ("Fern, fern",), None, "icing"),
        ("piped", "Dots", "", "0.5", None, ("White",), (), 14, ""),
    ),
    "Place card": (
        ("flood", "Flood", "", None, None, ("Bone",), (), None, ""),
        ("piped", "Frame", "base_dry", "1.0", None, ("Gold ochre",), (), None, ""),
        ("lettering", "Name", "crusted", None, None, ("Ink blue",), (), None, ""),
    ),
    "Fair winds": (
        ("flood", "Flood", "", None, None, ("Sea",), (), None, ""),
        ("piped", "Pearls", "firm", "0.9", None, ("White",), (), 26, ""),
        ("transfer", "Fair winds", "firm", None, None, ("Ink blue",), (), None, ""),
    ),
    "Pole star burgee": (
        ("flood", "Flood", "", None, None, ("Navy",), (), None, ""),
        ("spray", "Star", "base_dry", None, None, ("White",), ("Pole star, star",), None, "icing"),
        ("piped", "Stitches", "", "0.9", None, ("White",), (), None, ""),
    ),
    "Rook": (
        ("flood", "Flood", "", None, None, ("Bone",), (), None, ""),
        ("spray", "Rook", "base_dry", None, None, ("Brown",), ("Rook, rook",), None, "icing"),
    ),
    "Monogram oval": (
        ("flood", "Flood", "", None, None, ("Ivory",), (), None, ""),
        ("spray", "E T", "base_dry", None, None, ("Ochre",), ("Monogram E T, letters",), None, "icing"),
        ("piped", "Pearls", "", "0.9", None, ("Gold ochre",), (), 28, ""),
    ),
    "Ammonite": (
        ("flood", "Flood", "", None, None, ("Bone",), (), None, ""),
        ("spray", "Shell", "base_dry", None, None, ("Ochre", "Brown"), ("Ammonite, shell", "Ammonite, mask"),
         None, ""),
        ("spray", "Ribs", "base_dry", None, None, ("Brown",), ("Ammonite, ribs",), None, ""),
        ("piped", "Dots", "", "0.8", None, ("White",), (), 24, ""),
    ),
    "Harbour boat": (
        ("flood", "Flood", "", None, None, ("Sea",), (), None, ""),
        ("spray", "Hull", "base_dry", None, None, ("Brown", "Sea blue"), ("Harbour boat, hull",), None, ""),
        ("icing_pass", "Sails", "base_dry", None, None, ("White",), ("Harbour boat, sails",), None, "spray"),
        ("piped", "Pearls", "crusted", "0.7", None, ("White",), (), 24, ""),
    ),
    "Compass": (
        ("flood", "Flood", "", None, None, ("Slate",), (), None, ""),
        ("spray", "Compass", "base_dry", None, None, ("White",), ("Compass, compass",), None, "icing"),
    ),
    "Plain round": (("flood", "Flood", "", None, None, ("Bone",), (), None, ""),),
    "Two waves": (
        ("flood", "Upper half", "", None, None, ("Bone",), (), None, ""),
        ("flood", "Lower half", "crusted", None, None, ("Sea",), (), None, ""),
    ),
    "Thank-you star": (
        ("flood", "Flood", "", None, None, ("Gold ochre",), (), None, ""),
        ("lettering", "Thanks", "base_dry", None, None, ("White",), (), None, ""),
    ),
}  # fmt: skip

WITH_AIRBRUSH = ("spray",)
THICKNESS = {"flood": "2.5", "piped": "2.0", "lettering": "1.5", "icing_pass": "1.5", "transfer": "2.0"}


# This studio's own decorating minutes a cookie, where the usual ones of a kind are not those of its designs.
KIND_MINUTES = {"lettered": "3.5", "very_detailed": "4"}


def fill_designs(colours: dict) -> dict[str, Design]:
    """Stencils, designs, layers and variations; gives the designs by name."""
    pieces = fill_stencils()
    for key, minutes in KIND_MINUTES.items():
        Kind.objects.filter(key=key).update(minutes=minutes)
    kinds = {kind.key: kind for kind in Kind.objects.all()}
    designs = Design.objects.bulk_create(
        Design(name=name, slug=name.lower().replace(" ", "-"), kind=kinds[kind], shape=shape, width_mm=width,
               height_mm=height, area_cm2=area, motif=motif, text=text, picture_from="our own drawing")
        for name, kind, shape, width, height, area, motif, text, _ in DESIGNS
    )  # fmt: skip
    found = {design.name: design for design in designs}
    fill_layers(found, colours, pieces)
    fill_variations(found, colours)
    rows = Design.objects.select_related("kind").prefetch_related(
        "variations__base", "layers__layer_colours__colour"
    )
    return {design.name: design for design in rows}


def fill_stencils() -> dict[str, StencilPiece]:
    """Pieces by "set, piece"."""
    sets = StencilSet.objects.bulk_create(
        StencilSet(name=name, fits_width_mm=size[0], fits_height_mm=size[1])
        for name, (size, _) in STENCILS.items()
    )
    pieces = StencilPiece.objects.bulk_create(
        StencilPiece(stencil_set=row, name=name, role=role, copies=copies, cut_out_percent=share)
        for row in sets
        for name, role, copies, share in STENCILS[row.name][1]
    )
    return {f"{piece.stencil_set.name}, {piece.name}": piece for piece in pieces}


def fill_layers(designs: dict, colours: dict, pieces: dict) -> None:
    rows = [
        (name, position, *row) for name, layers in LAYERS.items() for position, row in enumerate(layers, 1)
    ]
    layers = Layer.objects.bulk_create(
        Layer(design=designs[name], position=position, kind=kind, title=title, wait=wait,
              minutes_per_cookie=minutes, grams_per_cookie=grams, dots=dots, another_way=other,
              thickness_mm=THICKNESS.get(kind, "0.1"))
        for name, position, kind, title, wait, minutes, grams, _, _, dots, other in rows
    )  # fmt: skip
    LayerColour.objects.bulk_create(
        LayerColour(layer=layer, colour=colours[colour, medium_of(layer.kind)], position=number)
        for layer, row in zip(layers, rows, strict=True)
        for number, colour in enumerate(row[7])
    )
    Layer.stencils.through.objects.bulk_create(
        Layer.stencils.through(layer=layer, stencilpiece=pieces[piece])
        for layer, row in zip(layers, rows, strict=True)
        for piece in row[8]
    )


def fill_variations(designs: dict, colours: dict) -> None:
    Variation.objects.bulk_create(
        Variation(design=designs[name], position=position, base=colours[base, "icing"],
                  motif=colours[motif, "airbrush"] if motif else None,
                  detail=colours[detail, "icing"] if detail else None)
        for name, *_, bases in DESIGNS
        for position, (base, motif, detail) in enumerate(bases)
    )  # fmt: skip


def medium_of(kind: str) -> str:
    """Sprayed layers take airbrush colour; everything else here is icing."""
    return "airbrush" if kind in WITH_AIRBRUSH else "icing"

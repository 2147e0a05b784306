"""The example's cupboard: bottles, gels, dry goods, packing, and sixteen colours. All invented."""

from bakery.stock.made_ahead import keeps_until
from bakery.stock.models import Colour, ColourPart, Level, LevelMark, MadeAhead, StockItem, Swatch

from .recipes import fill_recipes

# name, group, unit, level, pack size, pack price, lead days, allergens, hex, holds white
ITEMS = (
    ("Leaf green, airbrush", "airbrush", "drop", "low", "400", "5.20", 3, "", "#4f6b35", False),
    ("Dark leaf, airbrush", "airbrush", "drop", "have", "400", "5.20", 3, "", "#2c4a2a", False),
    ("Bone, airbrush", "airbrush", "drop", "have", "400", "5.60", 3, "", "#efe5cf", True),
    ("White, airbrush", "airbrush", "drop", "have", "400", "5.60", 3, "", "#fdfcf6", True),
    ("Brown, airbrush", "airbrush", "drop", "have", "400", "5.20", 3, "", "#5b341c", False),
    ("Ochre, airbrush", "airbrush", "drop", "have", "400", "5.20", 3, "", "#a87b2c", False),
    ("Sea blue, airbrush", "airbrush", "drop", "have", "400", "5.20", 3, "", "#2f5f7a", False),
    ("Navy gel", "gel", "drop", "have", "700", "3.40", 4, "", "#1f2f5c", False),
    ("Black gel", "gel", "drop", "have", "700", "3.40", 4, "", "#1c1c1c", False),
    ("Brown gel", "gel", "drop", "low", "700", "3.40", 4, "", "#5b341c", False),
    ("Ivory gel", "gel", "drop", "have", "700", "3.40", 4, "", "#e9d9b0", False),
    ("Moss gel", "gel", "drop", "have", "700", "3.40", 4, "", "#5d7346", False),
    ("Teal gel", "gel", "drop", "have", "700", "3.40", 4, "", "#2c7f86", False),
    ("White gel", "gel", "drop", "have", "700", "3.80", 4, "", "#ffffff", True),
    ("Ochre gel", "gel", "drop", "have", "700", "3.40", 4, "", "#b98a2b", False),
    ("Gold dust", "dust", "g", "out", "5", "6.40", 7, "", "#b48a33", False),
    ("Cocoa dust", "dust", "g", "have", "5", "4.10", 7, "", "#4a2c18", False),
    ("Icing sugar", "dry", "g", "have", "3000", "4.35", 1, "", "", False),
    ("Meringue powder", "dry", "g", "have", "450", "12.90", 4, "egg", "", False),
    ("Flour", "dry", "g", "have", "1500", "1.10", 1, "wheat", "", False),
    ("Caster sugar", "dry", "g", "have", "1000", "1.35", 1, "", "", False),
    ("Vanilla", "dry", "ml", "have", "100", "7.90", 2, "", "", False),
    ("Butter", "fresh", "g", "have", "250", "2.10", 1, "milk", "", False),
    ("Eggs", "fresh", "piece", "have", "12", "3.20", 1, "egg", "", False),
    ("Wafer paper, A4", "wafer", "sheet", "have", "25", "8.50", 5, "", "", False),
    ("Bags, small", "packing", "piece", "have", "200", "9.60", 3, "", "", False),
    ("Boxes of 12", "packing", "piece", "low", "10", "7.20", 3, "", "", False),
    ("Boxes of 24", "packing", "piece", "have", "10", "10.50", 3, "", "", False),
    ("Ribbon", "packing", "piece", "have", "25", "4.80", 3, "", "", False),
)

# name, medium, hex, rest hours, drops of each bottle in 100 g of icing or in one airbrush cup
COLOURS = (
    ("Bone", "icing", "#f1e8d3", 0, (("Ivory gel", "3"),)),
    ("Sage", "icing", "#adbb9d", 0, (("Moss gel", "4"), ("Brown gel", "1"))),
    ("Slate", "icing", "#5d708a", 2, (("Navy gel", "4"), ("Black gel", "1.5"), ("Brown gel", "1"))),
    ("Navy", "icing", "#223660", 12, (("Navy gel", "14"), ("Black gel", "2"))),
    ("Sea", "icing", "#bcd5d3", 0, (("Teal gel", "2"), ("Navy gel", "0.5"))),
    ("Ivory", "icing", "#f8f2e6", 0, (("Ivory gel", "1"),)),
    ("White", "icing", "#fdfcf6", 0, (("White gel", "3"),)),
    ("Ink blue", "icing", "#26435a", 6, (("Navy gel", "8"), ("Black gel", "3"))),
    ("Gold ochre", "icing", "#c99a45", 0, (("Ochre gel", "6"), ("Brown gel", "0.5"))),
    ("Leaf green", "airbrush", "#4f6b35", 0, (("Leaf green, airbrush", "8"),)),
    ("Dark leaf", "airbrush", "#2c4a2a", 0, (("Dark leaf, airbrush", "8"),)),
    ("Bone", "airbrush", "#efe5cf", 0, (("Bone, airbrush", "10"),)),
    ("White", "airbrush", "#fdfcf6", 0, (("White, airbrush", "10"),)),
    ("Brown", "airbrush", "#5b341c", 0, (("Brown, airbrush", "8"),)),
    ("Ochre", "airbrush", "#a87b2c", 0, (("Ochre, airbrush", "8"),)),
    ("Sea blue", "airbrush", "#2f5f7a", 0, (("Sea blue, airbrush", "8"),)),
)

SUPPLIERS = {
    "airbrush": "Quillet Colours",
    "gel": "Quillet Colours",
    "dust": "Quillet Colours",
    "dry": "Capstan Stores",
    "fresh": "Capstan Stores",
    "wafer": "Quillet Colours",
    "packing": "Tollgate Paper",
}


def fill_cupboard(dates) -> dict[tuple[str, str], Colour]:
    """Items, what was said about them, and the colours by (name, medium)."""
    items = StockItem.objects.bulk_create(
        StockItem(name=name, group=group, unit=unit, level=level, pack_size=size, pack_price=price,
                  lead_days=lead, allergens=allergens, hex=shade, shake_first=white,
                  alcohol=group == "airbrush", hides=_hides(name, white), supplier=SUPPLIERS[group])
        for name, group, unit, level, size, price, lead, allergens, shade, white in ITEMS
    )  # fmt: skip
    by_name = {item.name: item for item in items}
    LevelMark.objects.bulk_create(
        LevelMark(item=item, level=item.level, before=Level.HAVE, at=dates.at(-3, "20:10"))
        for item in items
        if item.level != Level.HAVE
    )
    colours = Colour.objects.bulk_create(
        Colour(name=name, medium=medium, hex=shade, rest_hours=rest)
        for name, medium, shade, rest, _ in COLOURS
    )
    ColourPart.objects.bulk_create(
        ColourPart(colour=colour, item=by_name[bottle], drops=drops)
        for colour, (*_, parts) in zip(colours, COLOURS, strict=True)
        for bottle, drops in parts
    )
    fill_swatches(dates, by_name)
    fill_made_ahead(dates)
    fill_recipes()
    return {(colour.name, colour.medium): colour for colour in colours}


# days ago, drops, what it dried to
SWATCHES = (
    (23, {"Sea blue, airbrush": 1, "White, airbrush": 3}, "#8fb3c4"),
    (16, {"Leaf green, airbrush": 1, "White, airbrush": 3}, "#a9bd8e"),
    (9, {"Brown, airbrush": 1, "White, airbrush": 3}, "#bd9a80"),
)


def fill_swatches(dates, items) -> None:
    """Three swatches she sprayed with white, each on another evening."""
    Swatch.objects.bulk_create(
        Swatch(
            drops={str(items[name].pk): n for name, n in drops.items()},
            hex=shade,
            at=dates.at(-ago, "21:10"),
        )
        for ago, drops, shade in SWATCHES
    )


def _hides(name: str, white: bool) -> str:
    return "dye" if not white else "white" if name.startswith("White") else "opaque"


def fill_made_ahead(dates) -> None:
    """The wedding's ovals in the freezer, and two batches of dough that nobody has spoken for."""
    for what, quantity, place, order, made in (
        ("blank", 69, "freezer", "o124", (-3, "21:00")),
        ("dough", 2, "freezer", "", (-9, "20:30")),
    ):
        at = dates.at(*made)
        MadeAhead.objects.create(what=what, quantity=quantity, place=place, for_order=order, made_on=at,
                                 since=at, shape="oval 70 x 90" if what == "blank" else "",
                                 keeps_until=keeps_until(what, place, at))  # fmt: skip

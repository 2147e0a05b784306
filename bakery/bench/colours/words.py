"""What the mixing bench says: how near, how sure, and the rules of the bench with their reasons."""

from bakery.stock.models import Colour, StockItem

THICK_IN_GUN = "Gel and paste clog the nozzle and stay tacky: only airbrush colour goes into the gun."
THIN_IN_ICING = (
    "airbrush colour is mostly water and thins the icing long before it is dark enough; gel or paste does it "
    "with a few drops."
)
SHAKE = "It holds white, which sinks: shake it before and while you spray."
ALCOHOL = "It contains alcohol: keep it away from the lit oven and air the room; some customers avoid it."
PAPER = "Test it on paper first: the first spray after a change is part water, part the colour before."
DEEPENS = "Icing deepens as it stands and dries: stop a shade too light and look again after its rest."
FADES = "Colours fade in the sun: keep dried cookies and swatches in the dark."
STEPS = "1 is the least an eye can see side by side; 10 is plainly another colour."


def rules_of_spraying(items) -> list[str]:
    """Those that bite for these bottles."""
    said = []
    if any(item.shake_first for item in items):
        said.append(f"{names(item for item in items if item.shake_first)}: {lower(SHAKE)}")
    if any(item.alcohol for item in items):
        said.append(f"{names(item for item in items if item.alcohol)}: {lower(ALCOHOL)}")
    return [*said, PAPER]


def rules_of_icing(parts) -> list[str]:
    sprays = [part.item for part in parts if part.item.group == StockItem.Group.AIRBRUSH]
    return [*([f"{names(sprays)}: {THIN_IN_ICING}"] if sprays else []), DEEPENS]


def rules_of(colour: Colour, parts) -> list[str]:
    if colour.medium == Colour.Medium.ICING:
        return rules_of_icing(parts)
    return rules_of_spraying([part.item for part in parts])


def verdict(difference: float, in_reach: bool) -> tuple[str, str]:
    """(title, sentence) for the predicted difference between wanted and mixed."""
    far = f"Difference {difference:.1f}: "
    if not in_reach:
        return "As near as they come", (
            f"{far}no drops from these bottles make that colour. This is the nearest they reach."
        )
    if difference < 1:
        return "The same to the eye", f"{far}side by side, hardly anyone would see it."
    if difference < 2:
        return "Very near", f"{far}side by side, few would see it."
    if difference < 3:
        return "Near", f"{far}side by side it shows, on two cookies it does not."
    if difference < 6:
        return "A little off", f"{far}it shows side by side."
    return "Another colour", f"{far}plainly not the same."


def doubt(usual: float, slow: float, swatches: int) -> str:
    """How far it may come out from the prediction, and what that rests on."""
    rests = (
        "It rests on the bottles’ own shades alone: spray a swatch and it gets surer."
        if not swatches
        else f"It rests on {swatches} swatch{'es' if swatches > 1 else ''} of these bottles."
    )
    near = f"It usually dries within {usual:.0f} of what you see here, on a bad day within {slow:.0f}."
    return f"{near} {rests}"


def covers(item: StockItem, kind: str) -> str:
    if item.shimmer:
        return "shimmers"
    return {"dye": "clear", "opaque": "covers", "white": "white, covers"}[kind]


def names(items) -> str:
    found = list(dict.fromkeys(str(item) for item in items))
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}" if found else ""


def lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


def number(value) -> str:
    """8, 1.5, 0.25: no noughts that say nothing."""
    text = f"{float(value):.2f}"
    return text.rstrip("0").rstrip(".")

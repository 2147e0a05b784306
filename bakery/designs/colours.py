"""Which colours a layer may take."""

from django.core.exceptions import ValidationError

from bakery.stock.models import Colour, StockItem

from .models import Layer

CLOGS = "in an airbrush, gel and paste clog the nozzle and stay tacky on the cookie"
THICK = (StockItem.Group.GEL, StockItem.Group.DUST)


def refuse_what_cannot_be_sprayed(*, kind: str, colours) -> None:
    """Raise when an airbrush layer asks for icing colour, or for a spray colour made with gel or paste."""
    if kind != Layer.Kind.SPRAY:
        return
    said = [sentence for colour in colours if (sentence := why_not_sprayed(colour))]
    if said:
        raise ValidationError({"colours": said})


def why_not_sprayed(colour: Colour) -> str:
    if colour.medium == Colour.Medium.ICING:
        twin = Colour.objects.filter(name=colour.name, medium=Colour.Medium.AIRBRUSH).exists()
        way = f"Pick the airbrush colour {colour.name}" if twin else "Pick an airbrush colour"
        return f"{colour.name} is an icing colour: {CLOGS}. {way}, or lay it as icing through the stencil."
    thick = colour.parts.filter(item__group__in=THICK).select_related("item").first()
    if thick:
        what = thick.item.get_group_display().lower()
        return f"{colour.name} is mixed with {thick.item.name} ({what}): {CLOGS}. Mix it from bottles."
    return ""


def light_first(colours) -> list:
    """Lightest first, darkest last: the usual order at the airbrush."""
    return sorted(colours, key=lambda colour: (-lightness(colour.hex), colour.name))


def lightness(shade: str) -> float:
    """Rough lightness of #rrggbb in 0..1 (the luma weights of ITU-R BT.709 on the coded values)."""
    red, green, blue = (int(shade[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue

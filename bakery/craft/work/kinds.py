"""The six kinds of cookie and the minutes and materials of each operation.

Every figure here is a default the baker can change and that her own logs replace: common practice, no source,
unless a note says more.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from ..drying import Span
from .spec import Layer, LineSpec, Shop

__all__ = [
    "KIND_TITLES",
    "MINUTES",
    "Setting",
    "colour_count",
    "colour_names",
    "default_layers",
    "grams_per_cookie",
    "layers_of",
    "minutes_of",
    "shop_minutes",
    "thawing",
]

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Setting:
    """A default with its unit in words and where it comes from."""

    value: float
    unit: str
    note: str = PRACTICE


def _m(value: float, unit: str, note: str = PRACTICE) -> Setting:
    return Setting(value, unit, note)


MINUTES: Mapping[str, Setting] = MappingProxyType(
    {
        "talk": _m(25, "min an order, for talking, writing and sketching"),
        "talk_design": _m(8, "min for each design after the first"),
        "talk_detailed": _m(30, "min more where a very detailed kind is asked for"),
        "talk_names": _m(0.25, "min a name, to check the spelling"),
        "dough": _m(12, "min for the first batch of dough"),
        "dough_more": _m(8, "min for each further batch mixed right after"),
        "dough_chill": _m(60, "min in the fridge before rolling"),
        "dough_keeps": _m(3 * 1440, "min that dough keeps in the fridge"),
        "bake_set": _m(4, "min to warm the oven and lay out, a load"),
        "bake_roll": _m(0.75, "min a cookie to roll, cut and lay on the sheet"),
        "bake_oven": _m(10, "min in the oven, nobody's hands but someone at home"),
        "bake_cool": _m(60, "min until fully cold; overnight is better"),
        "thaw": _m(5, "min to take dough or blanks out of the freezer and lay them out, closed"),
        "thaw_wait": _m(240, "min closed at room temperature until they are thawed"),
        "thaw_wait_slow": _m(360, "min the same in a cold kitchen"),
        "mix_base": _m(8, "min of base icing, once an order"),
        "mix_bag": _m(5, "min a colour bag: tint, thin, test, fill"),
        "mix_keeps": _m(7 * 1440, "min that covered meringue-powder icing keeps"),
        "mix_rest": _m(480, "min that a dark colour rests to deepen, when darks rest"),
        "flood_set": _m(2, "min a tray"),
        "flood": _m(1.25, "min a cookie, outline and flood of one colour"),
        "spray_set": _m(6, "min to set up airbrush, mask and window, a run"),
        "spray": _m(0.9, "min a cookie for each placing of a stencil"),
        "spray_lay": _m(0.4, "min of those to lay a stencil on one cookie and lift it"),
        "spray_pass_dry": _m(3, "min between two placings, hands waiting or wiping"),
        "spray_change": _m(3, "min to clean between two colours"),
        "spray_end": _m(10, "min to strip and clean at the end of a run"),
        "spray_design": _m(4, "min for each design after the first"),
        "icing_pass_set": _m(4, "min a tray"),
        "icing_pass": _m(2.0, "min a cookie for each placing: hold, scrape once, lift, wipe"),
        "piped_set": _m(2, "min a tray"),
        "piped": _m(0.75, "min a cookie for a row of dots, about 2 s a dot"),
        "dot": _m(2 / 60, "min a dot, where the dots of a design are counted"),
        "piped_design": _m(5, "min for each design after the first"),
        "lettering_set": _m(3, "min a tray"),
        "lettering": _m(2.0, "min a name"),
        "transfer_film": _m(6, "min to tape film over the pattern"),
        "transfer_set": _m(2, "min a tray, to stick them on"),
        "transfer_make": _m(0.75, "min to pipe one transfer"),
        "transfer": _m(0.5, "min to stick one transfer on"),
        "transfer_dry": _m(24 * 60, "min until a transfer lifts off its film"),
        "transfer_keeps": _m(180 * 1440, "min that transfers keep, dry and dark"),
        "transfer_spares": _m(0.20, "share of transfers made against breaking"),
        "wafer_set": _m(8, "min to print or cut a sheet"),
        "wafer": _m(1.5, "min a cookie"),
        "brush_set": _m(6, "min to set out the dusts or paints"),
        "brush": _m(2.5, "min a cookie"),
        "pack_set": _m(5, "min an order"),
        "pack": _m(0.6, "min a cookie, bag and box"),
        "dryer": _m(360, "min a tray stays in the dryer until it is dry through"),
        "wash_every": _m(180, "min of work to one washing-up"),
        "split": _m(3, "min to set up again when a job is cut in two"),
        "split_spray": _m(16, "min to set up and strip again when a spray run is cut in two"),
    }
)
"""Default minutes and shares of the operations; a shop overrides any of them by name."""

KIND_TITLES: Mapping[str, str] = MappingProxyType(
    {
        "plain": "Plain flood",
        "two_colour": "Two-colour",
        "stencil": "Stencil",
        "stencil_detail": "Stencil with detail",
        "lettered": "Lettered",
        "very_detailed": "Very detailed",
    }
)
COVER = 0.9
"""Share of the cookie's face that a flood coat covers (common practice, no source)."""
ICING_DENSITY = 1.35
"""Density of mixed icing [g/mL] (common practice, no source)."""
DETAIL_GRAMS = {"piped": 2.0, "lettering": 1.0, "transfer": 2.0, "icing_pass": 4.0}
"""Icing of a detail layer [g a cookie of 46 cm2] (common practice, no source)."""
DARK_WORDS = ("black", "navy", "ink", "dark", "red", "burgundy", "slate", "forest", "plum")


def colour_count(line: LineSpec) -> int:
    """How many colours the line asks for, base colour included."""
    return max(1, line.colours if isinstance(line.colours, int) else len(line.colours))


def colour_names(line: LineSpec) -> tuple[str, ...]:
    """The colours by name; those not named yet get a plain stand-in ("colour 2")."""
    given = () if isinstance(line.colours, int) else line.colours
    count = min(24, colour_count(line))
    names = [line.base, *(c for c in given if c != line.base)] if line.base else list(given)
    first = names[:count] or ["white"]
    return tuple(first + [f"colour {i + 1}" for i in range(len(first), count)])


def default_layers(line: LineSpec) -> tuple[Layer, ...]:
    """The layers a kind stands for until a design says more: the first colour is the base."""
    names = colour_names(line)
    base, rest = names[0], names[1:]
    return _RECIPES[line.kind](base, rest)


def _plain(base, rest):
    return (Layer("flood", (base, *rest), title="Flood"),)


def _two_colour(base, rest):
    second = rest[:1] or ("second colour",)
    more = tuple(Layer("piped", (c,), 0.8, "firm", thickness_mm=2.0, title="Detail") for c in rest[1:])
    return (
        Layer("flood", (base,), title="Flood", thickness_mm=2.5),
        Layer("flood", second, 0.8, "crusted", grams_per_cookie=6.0, title="Second section"),
        *more,
    )


def _spray(colours):
    """Two placings, as background and frame; the pieces get names with the design."""
    return Layer("spray", colours or ("spray colour",), None, "base_dry", placings=2, title="Spray")


def _stencil(base, rest):
    return (Layer("flood", (base,), title="Flood"), _spray(rest))


def _dots(colours, minutes=None, title="Dots"):
    return Layer("piped", colours, minutes, "", thickness_mm=2.0, title=title)


def _stencil_detail(base, rest):
    sprayed, dots = (rest[:-1], rest[-1:]) if len(rest) > 1 else (rest, (base,))
    return (Layer("flood", (base,), title="Flood"), _spray(sprayed), _dots(dots))


def _lettered(base, rest):
    ink = rest[:1] or ("ink",)
    frame = rest[1:] or ink
    return (
        Layer("flood", (base,), title="Flood"),
        Layer("piped", frame, 1.1, "base_dry", thickness_mm=1.5, title="Frame"),
        Layer("lettering", ink, None, "", thickness_mm=1.5, title="Letter"),
    )


def _very_detailed(base, rest):
    second = rest[:1] or ("second colour",)
    fine = rest[1:] or second
    return (
        Layer("flood", (base,), 1.6, title="Flood"),
        Layer("flood", second, 2.2, "crusted", grams_per_cookie=6.0, title="Second section"),
        Layer("piped", fine, 6.0, "firm", thickness_mm=2.0, grams_per_cookie=3.0, title="Fine lines"),
        Layer("brush", fine[:1], 4.0, "base_dry", title="Paint"),
        Layer("piped", fine[-1:], 1.5, "", thickness_mm=2.0, grams_per_cookie=1.0, title="Last details"),
    )


_RECIPES = {
    "plain": _plain,
    "two_colour": _two_colour,
    "stencil": _stencil,
    "stencil_detail": _stencil_detail,
    "lettered": _lettered,
    "very_detailed": _very_detailed,
}


def layers_of(line: LineSpec) -> tuple[Layer, ...]:
    """The line's own layers, or those its kind stands for."""
    return line.layers or default_layers(line)


def shop_minutes(shop: Shop, operation: str) -> float:
    """Minutes (or share) of an operation: the shop's own figure, else the default. KeyError if unknown."""
    own = shop.minutes.get(operation)
    return MINUTES[operation].value if own is None else float(own)


def thawing(shop: Shop) -> Span:
    """How long what comes out of the freezer lies closed until it is used."""
    usual = int(shop_minutes(shop, "thaw_wait"))
    return Span(usual, max(usual, int(shop_minutes(shop, "thaw_wait_slow"))))


def minutes_of(layer: Layer, line: LineSpec, shop: Shop) -> float:
    """Minutes a cookie (a placing, for stencils) of one layer; a flood grows with the cookie's width.

    A kind without layers of its own takes the shop's minutes for that kind, where it has any, shared out over
    the layers as the usual ones are.
    """
    minutes = _usual_minutes(layer, line, shop)
    own = shop.kind_minutes.get(line.kind)
    if own is None or (line.layers and not line.of_kind):
        return minutes
    every = sum(_placings(one) * _usual_minutes(one, line, shop) for one in default_layers(line))
    return minutes * float(own) / every if every else minutes


def _placings(layer: Layer) -> int:
    return layer.placings if layer.kind in ("spray", "icing_pass") else 1


def _usual_minutes(layer: Layer, line: LineSpec, shop: Shop) -> float:
    if layer.minutes_per_cookie is not None:
        return layer.minutes_per_cookie * layer.share
    if layer.kind == "piped" and layer.dots:
        return layer.dots * shop_minutes(shop, "dot")
    minutes = shop_minutes(shop, layer.kind) * layer.share
    if layer.kind == "flood":
        minutes *= min(2.0, max(0.5, (line.area_cm2 / 46) ** 0.5))
    return minutes


def grams_per_cookie(layer: Layer, line: LineSpec) -> float:
    """Icing on one cookie [g]: area x thickness x density for a flood, a small share for details."""
    if layer.grams_per_cookie is not None:
        return layer.grams_per_cookie * layer.share
    if layer.kind == "flood":
        return line.area_cm2 * layer.thickness_mm / 10 * COVER * ICING_DENSITY
    return DETAIL_GRAMS.get(layer.kind, 0.0) * layer.share * line.area_cm2 / 46


def is_dark(colour: str) -> bool:
    """True for colours that deepen overnight, judged by name."""
    words = colour.lower()
    return any(dark in words for dark in DARK_WORDS)

"""Contrast of the colour tokens, recomputed from the style sheet.

Source of the formula and of the bounds: W3C, Web Content Accessibility Guidelines 2.2 (Recommendation): terms
"relative luminance" and "contrast ratio"; success criteria 1.4.3 (4.5 for text), 1.4.6 (7) and 1.4.11 (3 for
what is drawn). Checked first on values that follow from the definition: 21 for black on white; #767676 is the
lightest grey that passes 4.5 on white, #777777 does not (common knowledge; no page cited).
"""

import re
from pathlib import Path

import pytest

from bakery.drawing.svg import COLOURS

CSS = Path(__file__).resolve().parent.parent / "static" / "css"
SETTINGS = (CSS / "settings.css").read_text()


def tokens(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{6});", block))


def blocks() -> dict[str, dict[str, str]]:
    light, rest = SETTINGS.split("@media (prefers-color-scheme: dark)")
    dark, printed = rest.split("@media print")
    return {"light": tokens(light), "dark": tokens(dark), "print": tokens(printed)}


TOKENS = blocks()


def luminance(colour: str) -> float:
    parts = []
    for i in (1, 3, 5):
        value = int(colour[i : i + 2], 16) / 255
        parts.append(value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4)
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def ratio(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


TEXT = {  # ink: grounds it stands on, at least 4.5
    "ink": ("sheet", "paper", "night", "mist", "biscuit", "dough", "yes-t", "no-t", "ask-t"),
    "on-ink": ("ink",),
    "ink-2": ("sheet", "mist", "dough", "night", "paper"),
    "crust": ("sheet",),
    "yes": ("sheet", "yes-t"),
    "no": ("sheet", "dough", "no-t"),
    "ask": ("sheet", "ask-t"),
}
DRAWN = {
    "wet": ("sheet", "mist", "paper"),
    "wet-2": ("sheet", "night"),
    "edge": ("sheet", "mist"),
}  # at least 3
KITCHEN = {"ink": TEXT["ink"], "on-ink": ("ink",), "yes": ("sheet",), "no": ("sheet",), "ask": ("sheet",)}


def pairs(table):
    return [(mode, a, b) for mode in ("light", "dark") for a, grounds in table.items() for b in grounds]


def test_the_formula_gives_the_published_values():
    assert ratio("#000000", "#ffffff") == pytest.approx(21)
    assert ratio("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert ratio("#777777", "#ffffff") < 4.5


@pytest.mark.parametrize(("mode", "ink", "ground"), pairs(TEXT))
def test_words_can_be_read(mode, ink, ground):
    assert ratio(TOKENS[mode][ink], TOKENS[mode][ground]) >= 4.5


@pytest.mark.parametrize(("mode", "ink", "ground"), pairs(DRAWN))
def test_drawn_things_can_be_seen(mode, ink, ground):
    assert ratio(TOKENS[mode][ink], TOKENS[mode][ground]) >= 3


@pytest.mark.parametrize(("mode", "ink", "ground"), pairs(KITCHEN))
def test_kitchen_pairs_reach_seven(mode, ink, ground):
    assert ratio(TOKENS[mode][ink], TOKENS[mode][ground]) >= 7


def test_ink_2_is_not_used_in_the_kitchen():
    kitchen = (CSS / "pages" / "kitchen.css").read_text()
    assert "--ink-2" not in kitchen
    assert ".kitchen .quiet" in kitchen


def test_paper_prints_black_on_white():
    printed = TOKENS["print"]
    assert printed["ink"] == "#000000"
    assert printed["sheet"] == "#ffffff"
    assert ratio(printed["ink-2"], printed["sheet"]) == pytest.approx(12.6, abs=0.05)


def test_dark_and_print_give_every_colour_again():
    assert set(TOKENS["dark"]) == set(TOKENS["light"]) == set(TOKENS["print"])


def test_the_drawings_carry_the_same_day_colours():
    assert {name: TOKENS["light"][name] for name in COLOURS} == COLOURS


def test_no_colour_stands_outside_the_tokens():
    """Only the dialog's veil, which dims what lies behind it, has a colour of its own."""
    for path in CSS.rglob("*.css"):
        if path.name == "settings.css" or path.name.startswith("print-"):
            continue  # the papers have a style sheet of their own, black on white
        bare = re.findall(r"#[0-9a-f]{3,8}\b(?!\")", path.read_text())
        assert set(bare) <= {"#000", "#0000"}, path.name  # masks: opaque and clear


def test_type_is_never_smaller_than_16_5_px():
    sizes = re.findall(r"--t-[a-z0-9]+: ([0-9.]+)rem", SETTINGS)
    assert len(sizes) >= 9
    assert min(float(size) * 16 for size in sizes) >= 16.5

"""Cookies: the same drawing every time, well formed, small, at each stage, and with any name on them."""

from xml.etree import ElementTree as etree

import pytest

from bakery.drawing.cookies import KINDS, STAGES, Cookie, as_cookie, cookie, stages_of
from bakery.drawing.motifs import MOTIFS
from bakery.drawing.samples import BONE, CARD, MORE, TRAY
from bakery.drawing.shapes import SHAPES

NS = "{http://www.w3.org/2000/svg}"
COLOURED = ("base", "motif_colour", "motif_2", "dots", "frame", "text_colour")


def parsed(drawing):
    return etree.fromstring(drawing.encode())


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("stage", STAGES)
def test_every_shape_is_well_formed_at_every_stage(name, stage):
    drawing = cookie(
        {"shape": name, "motif": "star", "dots": "#ffffff", "frame": "#c99d45", "text": "Ada"}, stage=stage
    )
    assert parsed(drawing).tag == f"{NS}svg"
    assert "nan" not in drawing
    assert "inf" not in drawing


@pytest.mark.parametrize("name", [*MOTIFS, "boat", "waves", "monogram", ""])
def test_every_motif_is_well_formed_and_small(name):
    drawing = cookie({"motif": name, "text": "ET" if name == "monogram" else ""})
    parsed(drawing)
    assert len(drawing) < 5000


def test_a_tray_of_twelve_stays_within_a_page():
    assert sum(len(cookie(one)) for one in TRAY) < 32_000


def test_the_same_cookie_is_drawn_the_same_way():
    for one in (*TRAY, *MORE, *KINDS.values()):
        assert cookie(one, size=90) == cookie(one, size=90)


def test_each_stage_adds_what_was_done():
    drawings = [cookie(BONE, stage=stage) for stage in STAGES]
    assert len(set(drawings)) == len(STAGES)
    assert "#f3ead6" not in cookie(BONE, stage="blank")
    assert "stroke-opacity" in cookie(BONE, stage="wet")
    assert "stroke-opacity" not in cookie(BONE, stage="dry")
    assert "#4f7040" not in cookie(BONE, stage="dry")
    assert "#4f7040" in cookie(BONE, stage="motif")
    assert "#c99d45" not in cookie(BONE, stage="motif")
    assert "#c99d45" in cookie(BONE, stage="done")


def test_the_words_of_where_is_it_now_are_stages_too():
    assert cookie(BONE, stage="baked") == cookie(BONE, stage="blank")
    assert cookie(BONE, stage="flooded") == cookie(BONE, stage="dry")
    assert cookie(BONE, stage="sprayed") == cookie(BONE, stage="motif")
    assert cookie(BONE, stage="packed") == cookie(BONE, stage="done")


def test_stages_worth_a_picture_leave_out_what_a_design_has_not():
    assert stages_of(BONE) == ("blank", "wet", "motif", "done")
    assert stages_of({}) == ("blank", "wet")
    assert stages_of(CARD) == ("blank", "wet", "done")


def test_cookies_keep_their_sizes_beside_each_other():
    card, burgee = parsed(cookie(CARD, size=95)), parsed(cookie({"shape": "round"}, size=95))
    assert float(card.get("width")) == pytest.approx(95 + 2.8, abs=0.1)
    assert float(burgee.get("width")) == pytest.approx(80 + 2.8, abs=0.1)


@pytest.mark.parametrize(
    "spec", [None, {}, {"shape": "nobody drew it"}, {"motif": "unknown"}, {"stage": "later"}]
)
def test_unknown_values_still_give_a_cookie(spec):
    assert len(parsed(cookie(spec))) >= 2


@pytest.mark.parametrize("field", COLOURED)
@pytest.mark.parametrize(
    "value", ['"/><script>alert(1)</script>', "red", "url(#a)", "#12345", "#gggggg", 7, None]
)
def test_a_colour_that_is_none_never_reaches_the_drawing(field, value):
    drawing = cookie({"motif": "star", "text": "Ada", field: value})
    parsed(drawing)
    assert "script" not in drawing
    assert "url(" not in drawing


def test_lettering_is_whole_when_it_fits_and_in_two_lines_when_it_must():
    assert [t.text for t in parsed(cookie(CARD, text="Odile")).iter(f"{NS}text")] == ["Odile"]
    two = [t.text for t in parsed(cookie({"text": "Fair winds"})).iter(f"{NS}text")]
    assert two == ["Fair", "winds"]


def test_a_name_too_long_for_icing_is_shortened_and_whole_in_the_label():
    name = "Bartholomew-Alexandrina Featherstonehaugh-Wriothesley the Younger"
    drawing = parsed(cookie(CARD, text=name, label=name))
    assert drawing.get("aria-label") == name
    lines = [t.text for t in drawing.iter(f"{NS}text")]
    assert all(line.endswith("…") or len(line) < 30 for line in lines)
    assert min(float(t.get("font-size")) for t in drawing.iter(f"{NS}text")) >= 6.5


def test_a_cookie_without_a_label_is_ornament_and_with_one_an_image():
    assert parsed(cookie(BONE)).get("aria-hidden") == "true"
    named = parsed(cookie(BONE, label="Fern plaque"))
    assert (named.get("role"), named.get("aria-label")) == ("img", "Fern plaque")


def test_dark_mode_cannot_repaint_a_cookie():
    for one in (*TRAY, *MORE):
        drawing = cookie(one)
        assert 'class="d-' not in drawing
        assert 'class="s-' not in drawing
        assert all(t.get("fill") for t in parsed(drawing).iter(f"{NS}text"))


def test_a_mapping_and_a_dataclass_mean_the_same():
    assert as_cookie({"shape": "card", "text": "Una", "more": 1, "dots": ""}) == Cookie(
        shape="card", text="Una"
    )

"""Stencil sets: the list, the pieces, and the share cut out as a picture says it."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

from bakery.designs.models import StencilPiece, StencilSet
from bakery.studio import adapters as studio
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def house(db):
    return make.StudioFactory()


@pytest.fixture
def fern(db):
    own = StencilSet.objects.create(name="Fern", fits_width_mm=70, fits_height_mm=95)
    return own.pieces.create(name="leaf", cut_out_percent=25)


def drawing(kind="PNG", size=400):
    """A round face with a ring drawn round it and a square cut out: 0.25 of the 300 px square's disc."""
    image = Image.new("RGB", (size, size), "white")
    pen = ImageDraw.Draw(image)
    pen.ellipse((20, 20, 380, 380), outline="black", width=5)
    pen.rectangle((130, 130, 269, 269), fill="black")
    out = io.BytesIO()
    image.save(out, kind)
    return SimpleUploadedFile(f"fern.{kind.lower()}", out.getvalue(), content_type="image/png")


def measure(client, piece, upload):
    address = f"/stencils/{piece.stencil_set_id}/pieces/{piece.pk}/cut-out/"
    return client.post(address, {"picture": upload} if upload else {})


def test_a_picture_is_measured_agreed_to_and_kept(signed_in, fern):
    answer = measure(signed_in, fern, drawing())
    assert answer.status_code == 302
    page = signed_in.get(answer.url).content.decode()
    exact = 100 * 140 * 140 / (3.14159265 * 175.5**2)  # inside the line, the line itself left out
    assert round(exact) == 20
    assert "20 % is cut out" in page
    fern.refresh_from_db()
    assert fern.cut_out_percent == 25  # nothing is kept before she agrees
    signed_in.post(answer.url, {"use": "20"})
    fern.refresh_from_db()
    assert fern.cut_out_percent == 20
    assert studio.shop().cut_outs["fern-leaf"] == 0.2


def test_the_slider_and_the_edge_change_what_is_counted(signed_in, fern):
    where = measure(signed_in, fern, drawing()).url
    whole = signed_in.get(f"{where}&edge=all").content.decode()
    assert "over the whole picture" in whole
    assert "20 % is cut out" not in whole
    light = signed_in.get(f"{where}&cut=light").content.decode()
    assert "% is cut out" in light


def test_the_picture_shown_is_drawn_anew(signed_in, fern):
    pk = measure(signed_in, fern, drawing()).url.partition("picture=")[2]
    answer = signed_in.get(f"/stencils/pictures/{pk}.png?level=128")
    assert answer["Content-Type"] == "image/png"
    with Image.open(io.BytesIO(answer.content)) as image:
        middle, edge = image.getpixel((image.width // 2, image.height // 2)), image.getpixel((1, 1))
    assert middle == (31, 90, 142)
    assert edge == (255, 254, 250)


HOSTILE = {
    "nothing": None,
    "empty": SimpleUploadedFile("a.png", b""),
    "text": SimpleUploadedFile("a.png", b"<?php echo 1;", content_type="image/png"),
    "svg": SimpleUploadedFile(
        "a.svg", b'<svg xmlns="http://www.w3.org/2000/svg"/>', content_type="image/svg+xml"
    ),
    "cut short": SimpleUploadedFile("a.png", drawing().read()[:20], content_type="image/png"),
    "tiff": drawing("TIFF"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_picture_gets_a_sentence(signed_in, fern, name):
    upload = HOSTILE[name]
    if upload is not None:
        upload.seek(0)
    answer = measure(signed_in, fern, upload)
    assert answer.status_code == 422
    assert "field__error" in answer.content.decode()


def test_a_picture_that_unpacks_to_far_too_much_gets_a_sentence(signed_in, fern):
    out = io.BytesIO()
    Image.new("1", (9000, 9000)).save(out, "PNG")
    answer = measure(signed_in, fern, SimpleUploadedFile("big.png", out.getvalue()))
    assert answer.status_code == 422
    assert "too many dots" in answer.content.decode()


@pytest.mark.parametrize("query", ["level=9999", "level=x", "level=-1", "cut=%00", "edge=../..", "picture=x"])
def test_odd_ways_to_read_it_mean_the_usual(signed_in, fern, query):
    where = measure(signed_in, fern, drawing()).url
    answer = signed_in.get(f"{where}&{query}")
    assert answer.status_code == 200


@pytest.mark.parametrize("use", ["", "101", "-1", "x", "9" * 50, "\x00"])
def test_an_odd_share_is_refused(signed_in, fern, use):
    address = f"/stencils/{fern.stencil_set_id}/pieces/{fern.pk}/cut-out/"
    assert signed_in.post(address, {"use": use}).status_code == 422
    fern.refresh_from_db()
    assert fern.cut_out_percent == 25


def test_other_pictures_are_not_shown_here(signed_in, fern):
    from bakery.studio.pictures import keep_picture

    other = keep_picture(upload=drawing(), origin="a swatch")
    assert signed_in.get(f"/stencils/pictures/{other.pk}.png").status_code == 404


def test_the_list_names_sets_pieces_and_shares(signed_in, fern):
    page = signed_in.get("/stencils/").content.decode()
    assert "Fern" in page
    assert "25 % cut out" in page
    assert "/stencils/" in signed_in.get("/designs/").content.decode()


def test_a_set_and_its_pieces_by_plain_forms(signed_in):
    answer = signed_in.post("/stencils/", {"name": "Rope edge", "fits_width_mm": "75"})
    own = StencilSet.objects.get(name="Rope edge")
    assert answer.url == f"/stencils/{own.pk}/"
    said = {"name": "rope", "role": "frame", "copies": "2", "cut_out_percent": "11"}
    signed_in.post(f"/stencils/{own.pk}/pieces/", said)
    piece = own.pieces.get()
    assert (piece.role, piece.copies, piece.cut_out_percent) == ("frame", 2, 11)
    signed_in.post(f"/stencils/{own.pk}/pieces/{piece.pk}/", said | {"copies": "3"})
    piece.refresh_from_db()
    assert piece.copies == 3
    assert studio.shop().stencil_copies["rope-edge-rope"] == 3


@pytest.mark.parametrize(
    "wrong",
    [{"name": ""}, {"name": "…"}, {"name": "x" * 61}, {"copies": "0"}, {"copies": "two"}, {"role": "king"},
     {"cut_out_percent": "130"}, {"cut_out_percent": ""}, {"name": "\x00"}],
)  # fmt: skip
def test_bad_fields_get_a_sentence(signed_in, fern, wrong):
    said = {"name": "stem", "role": "frame", "copies": "1", "cut_out_percent": "10"} | wrong
    answer = signed_in.post(f"/stencils/{fern.stencil_set_id}/pieces/", said)
    assert answer.status_code == 422
    assert "field__error" in answer.content.decode()
    assert StencilPiece.objects.count() == 1


def test_a_name_that_is_taken_is_said(signed_in, fern):
    other = StencilSet.objects.create(name="Oak")
    answer = signed_in.post(f"/stencils/{other.pk}/", {"name": "fern"})
    assert answer.status_code == 422
    assert "already a set called Fern" in answer.content.decode()


def test_a_mask_only_covers(signed_in, fern):
    fern.stencil_set.pieces.create(name="mask", role="mask", cut_out_percent=45)
    shop = studio.shop()
    assert "fern-mask" in shop.masks
    assert "fern-mask" not in shop.cut_outs


def test_nobody_sees_them_without_signing_in(client, fern):
    assert client.get("/stencils/").status_code == 302
    assert client.get("/stencils/pictures/1.png").status_code == 302

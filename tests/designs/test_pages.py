"""The designs' pages: they work without JavaScript, and lose nothing that was typed."""

import pytest

from bakery.designs.models import Design
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def studio(db):
    return make.StudioFactory()


def test_an_empty_list_says_one_sentence_and_has_one_button(signed_in):
    page = signed_in.get("/designs/").content.decode()
    assert "No design here yet" in page
    assert "New design" in page


def test_nobody_sees_designs_without_signing_in(client):
    assert client.get("/designs/").status_code == 302


def test_the_list_shows_every_design_drawn_with_bounded_queries(
    signed_in, fern, django_assert_max_num_queries
):
    signed_in.get("/designs/")
    for _ in range(12):
        make.LayerFactory(design=make.DesignFactory(), position=0)
    with django_assert_max_num_queries(14):
        page = signed_in.get("/designs/").content.decode()
    assert page.count('class="cookie"') == 13


def test_one_design_shows_each_layer_the_waits_and_what_36_take(signed_in, fern):
    page = signed_in.get("/designs/fern-plaque/").content.decode()
    for words in (
        "Wait until base dry",
        "Wait until dry through",
        "slow night",
        "Thirty-six of them",
        "From first dough to bag",
        "Price that pays your wage",
        "On two base colours",
        "/orders/new/?design=fern-plaque",
    ):
        assert words in page, words


def test_making_a_design_from_three_fields(signed_in):
    kind = make.KindFactory(key="stencil")
    answer = signed_in.post("/designs/new/", {"name": "Sea holly", "kind": kind.pk, "shape": "oval"})
    assert answer.url == "/designs/sea-holly/"
    assert signed_in.get(answer.url).status_code == 200


def test_a_design_without_a_name_is_told_so_beside_the_field(signed_in):
    kind = make.KindFactory(key="stencil")
    answer = signed_in.post(
        "/designs/new/", {"name": " ", "kind": kind.pk, "shape": "oval", "text": "Fair winds"}
    )
    assert answer.status_code == 422
    assert "Give it a name." in answer.content.decode()
    assert "Fair winds" in answer.content.decode()


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": "999"},
        {"kind": "x'"},
        {"shape": "dodo"},
        {"width_mm": "99999"},
        {"width_mm": "a"},
        {"name": "x" * 900},
        {"motif": "<svg onload=1>"},
    ],
)
def test_bad_fields_get_a_sentence_never_an_error_page(signed_in, wrong):
    kind = make.KindFactory(key="stencil")
    answer = signed_in.post("/designs/new/", {"name": "Sea", "kind": kind.pk, "shape": "oval"} | wrong)
    assert answer.status_code == 422
    assert "field__error" in answer.content.decode()
    assert not Design.objects.exists()


def test_spraying_an_icing_colour_is_refused_beside_its_field(signed_in, fern, colours):
    data = {"kind": "spray", "title": "Shadow of leaves", "colours": [colours["icing"]["Navy"].pk]}
    answer = signed_in.post("/designs/fern-plaque/layers/add/", data)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "clog the nozzle" in page
    assert "Shadow of leaves" in page, "what she typed is still there"


def test_a_layer_is_added_changed_moved_and_taken_off_by_plain_forms(signed_in, fern, colours):
    add = {
        "kind": "icing_pass",
        "colours": [colours["icing"]["White"].pk],
        "stencil": "Fern: vein",
        "minutes_per_cookie": "2.5",
        "another_way": "spray",
    }
    assert signed_in.post("/designs/fern-plaque/layers/add/", add).status_code == 302
    layer = fern.layers.last()
    where = f"/designs/fern-plaque/layers/{layer.pk}/"
    assert signed_in.post(where, add | {"title": "Vein"}).status_code == 302
    assert signed_in.post(where + "move/", {"to": "sooner"}).status_code == 302
    assert [row.title or row.kind for row in fern.layers.all()] == ["flood", "spray", "Vein", "piped"]
    assert signed_in.post(where + "remove/").status_code == 302
    assert fern.layers.count() == 3


def test_a_layer_of_another_design_is_not_reached_through_this_one(signed_in, fern):
    other = make.LayerFactory()
    assert signed_in.post(f"/designs/fern-plaque/layers/{other.pk}/", {"kind": "flood"}).status_code == 404


def test_another_name_that_is_taken_is_said_beside_the_field(signed_in, fern):
    make.DesignFactory(name="Rook", slug="rook")
    data = {"name": "Rook", "kind": fern.kind_id, "shape": "plaque", "width_mm": 70, "height_mm": 95}
    answer = signed_in.post("/designs/fern-plaque/change/", data)
    assert answer.status_code == 422
    assert "field__error" in answer.content.decode()
    fern.refresh_from_db()
    assert fern.name == "Fern plaque"


def test_putting_away_keeps_it_out_of_the_list_only(signed_in, fern):
    signed_in.post("/designs/fern-plaque/put-away/", {"put_away": "yes"})
    assert "designs__pic" not in signed_in.get("/designs/").content.decode()
    assert signed_in.get("/designs/fern-plaque/").status_code == 200
    assert "Fern plaque" in signed_in.get("/designs/?put_away=yes").content.decode()


def test_unknown_addresses_are_not_found(signed_in, fern):
    for where in ("/designs/nobody/", "/designs/nobody/change/"):
        assert signed_in.get(where).status_code == 404
    assert signed_in.get("/designs/fern-plaque/layers/add/").status_code == 405


def test_the_picture_that_gave_the_idea_is_kept_with_whose_it_is(signed_in):
    import io

    from django.core.files.uploadedfile import SimpleUploadedFile
    from PIL import Image

    design = make.DesignFactory(name="Fern", slug="fern")
    out = io.BytesIO()
    Image.new("RGB", (300, 200), (90, 120, 60)).save(out, "PNG")
    photo = SimpleUploadedFile("fern.png", out.getvalue(), content_type="image/png")
    said = {"picture": photo, "picture_from": "her own garden"}
    assert signed_in.post("/designs/fern/picture/", said).status_code == 302
    design.refresh_from_db()
    assert (design.picture.width, design.picture_from) == (300, "her own garden")
    page = signed_in.get("/designs/fern/").content.decode()
    assert f"/pictures/{design.picture.sha256}/" in page
    wrong = signed_in.post(
        "/designs/fern/picture/", {"picture": SimpleUploadedFile("a.svg", b"<svg/>")}, follow=True
    )
    assert "no picture that can be read" in wrong.content.decode()
    signed_in.post("/designs/fern/picture/", {"gone": "yes"})
    design.refresh_from_db()
    assert design.picture is None
    assert design.picture_from == "her own garden"

"""Colours, the mixing bench, swatches and photos, with and without JavaScript, and against bad input."""

import io
import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from PIL import Image, ImageDraw

from bakery.stock import ledger
from bakery.stock.models import Colour, Level, Swatch
from bakery.studio.models import Picture
from tests import factories as make

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true", "HTTP_HX_TARGET": "mix-answer"}
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True)
def studio(db):
    return make.StudioFactory()


def bottle(name, shade, **more):
    return make.StockItemFactory(name=f"{name}, airbrush", group="airbrush", unit="drop", hex=shade, **more)


@pytest.fixture
def shelf():
    return {
        "white": bottle("White", "#fdfcf6", hides="white", shake_first=True),
        "blue": bottle("Sea blue", "#2f5f7a", alcohol=True),
        "red": bottle("Red", "#b8322c"),
        "yellow": bottle("Yellow", "#e8c22c"),
    }


def text(page) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.content.decode()))


def test_an_empty_studio_is_told_what_to_do(signed_in):
    assert "No colour is written down yet" in text(signed_in.get("/colours/"))
    assert "no bottle to mix from" in text(signed_in.get("/colours/mix/?want=teal"))
    assert signed_in.get("/colours/swatches/").status_code == 200
    assert signed_in.get("/colours/swatches/new/").status_code == 200


def test_a_wanted_colour_gets_whole_drops_a_verdict_and_its_doubt(signed_in, shelf):
    page = signed_in.get("/colours/mix/?want=%237c9fb4")
    said = text(page)
    assert page.status_code == 200
    assert page.context["mix"].difference < 3
    assert all(line.drops == int(line.drops) > 0 for line in page.context["mix"].lines)
    assert "on a bad day within" in said
    assert "Wanted" in said
    assert "These drops, when dry" in said
    assert "shake it before" in said
    assert "contains alcohol" in said


@pytest.mark.parametrize(
    "way", ["want=Dusk", "want=dusk", "want=%236a7fa0", "want=6a7fa0", "want=rgb(106 127 160)",
            "want=%23ffffff&want_was=%23ffffff&want_pick=%236a7fa0"],
)  # fmt: skip
def test_a_colour_may_be_named_written_or_picked(signed_in, shelf, way):
    make.ColourFactory(name="Dusk", hex="#6a7fa0")
    assert signed_in.get(f"/colours/mix/?{way}").context["bench"].wanted == "#6a7fa0"


@pytest.mark.parametrize("seen_through", ["transparent", "%235d708a00", "rgb(10 20 30 / 0.5)"])
def test_a_colour_that_is_seen_through_is_none(signed_in, shelf, seen_through):
    page = signed_in.get(f"/colours/mix/?want={seen_through}")
    assert page.status_code == 422
    assert "Write a shade like #5d708a" in text(page)


def test_out_of_reach_is_said_with_the_nearest(signed_in, shelf):
    page = signed_in.get("/colours/mix/?want=%2300ff00")
    assert "As near as they come" in text(page)
    assert page.context["mix"].difference > 3


def test_her_own_drops_are_foretold_live_and_a_new_wish_begins_anew(signed_in, shelf):
    blue, white = shelf["blue"].pk, shelf["white"].pk
    first = signed_in.get("/colours/mix/?want=%237c9fb4")
    sent = {"want": "#7c9fb4", "made_for": "#7c9fb4", "were": first.context["were"], "own": "no"}
    sent |= {f"d{line.item.pk}": line.drops for line in first.context["mix"].lines}
    same = signed_in.get("/colours/mix/", sent, **HTMX)
    assert same.context["own"] is False
    own = signed_in.get("/colours/mix/", sent | {f"d{blue}": 9, f"d{white}": 1}, **HTMX)
    assert "<html" not in own.content.decode()
    assert own.context["own"] is True
    mixed = {line.item.pk: line.drops for line in own.context["mix"].lines}
    assert (mixed[blue], mixed[white]) == (9, 1)
    assert own.context["mix"].difference > first.context["mix"].difference
    assert f"d{blue}=9" in own["HX-Replace-Url"]
    new = signed_in.get("/colours/mix/", sent | {f"d{blue}": 9, "want": "#b8322c"}, **HTMX)
    assert new.context["own"] is False


def test_more_coats_are_darker_and_the_icing_below_shows(signed_in, shelf):
    tinted = make.ColourFactory(name="Pink", hex="#f0b0b8")
    base = f"/colours/mix/?want=%237c9fb4&d{shelf['blue'].pk}=5"
    once, thrice, on_pink = (
        signed_in.get(base + more).context["mix"].hex for more in ("", "&coats=3", f"&ground={tinted.pk}")
    )
    assert sum(bytes.fromhex(thrice[1:])) < sum(bytes.fromhex(once[1:]))
    assert on_pink != once


def test_a_run_takes_the_recipe_several_times_over(signed_in, shelf):
    page = signed_in.get("/colours/mix/?want=%237c9fb4&much=60")
    mix = page.context["mix"]
    assert mix.in_run >= 60
    assert mix.in_run % mix.total == 0
    assert all(line.in_run * mix.total == line.drops * mix.in_run for line in mix.lines)


def test_bottles_that_are_out_shimmer_or_bare_are_left_out_with_the_reason(signed_in, shelf):
    shelf["red"].level = Level.OUT
    shelf["red"].save()
    bottle("Pearl", "#e0e0e8", shimmer=True)
    bottle("Bare", "")
    said = text(signed_in.get("/colours/mix/?want=%23b8322c"))
    assert "Red, airbrush (out)" in said
    assert "(shimmers)" in said
    assert "(no shade yet)" in said


@pytest.mark.parametrize(
    "query",
    ["want=nonsense", "want=" + "a" * 5000, "want=%00", "coats=9&want=teal", "ground=zzz&want=teal",
     "much=-4", "much=1e9", "want=color(srgb nan nan nan)", "d1=99999999999999999999&want=teal", "dx=3",
     "tried=x", "d٣=3&want=teal", "want=%F0%9F%8D%AA", "want=lab(1e400 0 0)",
     "made_for=&were=&own=yes&want=teal"],
)  # fmt: skip
def test_nonsense_gets_a_sentence_or_nothing_never_an_error(signed_in, shelf, query):
    assert signed_in.get(f"/colours/mix/?{query}").status_code in (200, 422)
    assert signed_in.get(f"/colours/mix/?{query}", **HTMX).status_code == 200


def test_wrong_words_are_answered_beside_the_field(signed_in):
    page = signed_in.get("/colours/mix/?want=nonsense")
    assert page.status_code == 422
    assert "Write a shade like #5d708a" in text(page)
    assert 'value="nonsense"' in page.content.decode()


def test_mix_keep_and_find_it_in_the_book(signed_in, shelf):
    mix = signed_in.get("/colours/mix/?want=%237c9fb4").context["mix"]
    form = signed_in.get(f"/colours/new/?medium=airbrush&hex={mix.hex.replace('#', '%23')}&{mix.query}")
    assert form.context["form"]["hex"].value() == mix.hex
    sent = {"name": "Harbour", "medium": "airbrush", "hex": mix.hex}
    for n, line in enumerate(mix.lines):
        sent |= {f"part-{n}-item": line.item.pk, f"part-{n}-drops": line.drops}
    answer = signed_in.post("/colours/new/", sent)
    kept = Colour.objects.get(name="Harbour")
    assert answer.url == f"/colours/{kept.pk}/"
    assert {part.item_id: part.drops for part in kept.parts.all()} == {
        line.item.pk: line.drops for line in mix.lines
    }
    assert signed_in.post("/colours/new/", sent).status_code == 302, "pressed twice"
    assert Colour.objects.count() == 1


def test_gel_in_the_gun_is_refused_and_nothing_is_lost(signed_in):
    gel = make.StockItemFactory(name="Navy gel", group="gel", unit="drop")
    sent = {"name": "Ink", "medium": "airbrush", "hex": "#223660", "part-0-item": gel.pk,
            "part-0-drops": "4"}  # fmt: skip
    page = signed_in.post("/colours/new/", sent)
    assert page.status_code == 422
    assert "clog the nozzle" in text(page)
    assert 'value="Ink"' in page.content.decode()
    assert not Colour.objects.exists()


def test_airbrush_colour_in_icing_is_allowed_with_a_warning(signed_in, shelf):
    sent = {
        "name": "Pale",
        "medium": "icing",
        "hex": "#c0d0e0",
        "part-0-item": shelf["blue"].pk,
        "part-0-drops": "4",
    }
    page = signed_in.post("/colours/new/", sent, follow=True)
    assert "thins the icing" in text(page)
    assert Colour.objects.get().parts.count() == 1


def test_the_same_again_scaled_to_the_grams_with_its_tub_and_order(signed_in):
    part = make.ColourPartFactory(drops="4")
    row = part.colour
    design = make.DesignFactory()
    layer = make.LayerFactory(design=design)
    make.LayerColourFactory(layer=layer, colour=row)
    order = make.OrderFactory(title="Botanical supper")
    make.OrderLineFactory(order=order, design=design)
    tub = ledger.make(colour=row, quantity=30)
    page = signed_in.get(f"/colours/{row.pk}/?much=250")
    said = text(page)
    assert "10 drops" in said.replace("\xa0", " ")
    assert tub.code in said
    assert "Botanical supper" in said
    assert "deepens as it stands" in said
    assert signed_in.get(f"/colours/{row.pk}/?much=banana").status_code == 422


def test_photos_of_the_fresh_and_the_dry_colour_are_kept_and_shown(signed_in):
    row = make.ColourFactory(name="Slate", hex="#5d708a")
    sent = {"name": "Slate", "hex": "#5d708a", "rest_hours": "2", "note": "half the black first"}
    answer = signed_in.post(f"/colours/{row.pk}/change/", sent | {"photo_dry": photo()})
    assert answer.status_code == 302
    row.refresh_from_db()
    assert row.photo_dry.origin == "Slate, dry"
    page = signed_in.get(answer.url)
    assert f"/pictures/{row.photo_dry.sha256}/" in page.content.decode()
    assert "half the black first" in text(page)
    bad = sent | {"photo_dry": SimpleUploadedFile("a.jpg", b"<svg/>")}
    refused = signed_in.post(f"/colours/{row.pk}/change/", bad | {"note": "kept in the form"})
    assert refused.status_code == 422
    assert "no picture that can be read" in text(refused)
    assert "kept in the form" in refused.content.decode()


def test_put_away_and_back(signed_in):
    row = make.ColourFactory(name="Old rose")
    signed_in.post(f"/colours/{row.pk}/put-away/", {"put_away": "yes"})
    row.refresh_from_db()
    assert row.put_away
    assert "What is put away" in text(signed_in.get("/colours/"))
    signed_in.post(f"/colours/{row.pk}/put-away/", {"put_away": "no"})
    row.refresh_from_db()
    assert not row.put_away


def test_a_swatch_teaches_is_shown_and_can_be_refused(signed_in, shelf):
    blue, white = shelf["blue"].pk, shelf["white"].pk
    before = signed_in.get(f"/colours/mix/?want=%237c9fb4&d{blue}=1&d{white}=3").context["mix"]
    sent = {"hex": "#5c8aa6", "coats": "1", "ground": "", "want": "#7c9fb4", f"d{blue}": 1, f"d{white}": 3}
    answer = signed_in.post("/colours/swatches/new/", sent)
    row = Swatch.objects.get()
    assert answer.url == f"/colours/swatches/{row.pk}/"
    page = signed_in.get(answer.url)
    assert "One more try" in text(page)
    after = signed_in.get(f"/colours/mix/?want=%235c8aa6&d{blue}=1&d{white}=3").context["mix"]
    assert before.hex != after.hex
    assert "rests on 1 swatch" in after.doubt
    other = signed_in.get(f"/colours/mix/?tried={row.pk}&want=%23b8322c")
    assert other.context["tried"] is None, "a swatch for one wish says nothing about another"
    nudge = signed_in.get(f"/colours/mix/?tried={row.pk}")
    assert nudge.context["bench"].wanted == "#7c9fb4"
    assert sum(bytes.fromhex(nudge.context["mix"].hex[1:])) > 0
    signed_in.post(f"/colours/swatches/{row.pk}/refuse/", {"refused": "yes"})
    again = signed_in.get(f"/colours/mix/?want=%237c9fb4&d{blue}=1&d{white}=3").context["mix"]
    assert again.hex == before.hex


def test_one_nudge_aims_past_the_miss(signed_in, shelf):
    """It dried too dark: the next recipe is paler than the first."""
    first = signed_in.get("/colours/mix/?want=%237c9fb4").context["mix"]
    sent = {"hex": "#5f8298", "coats": "1", "want": "#7c9fb4"}
    sent |= {f"d{line.item.pk}": line.drops for line in first.lines}
    signed_in.post("/colours/swatches/new/", sent)
    second = signed_in.get(f"/colours/mix/?tried={Swatch.objects.get().pk}").context["mix"]

    def white(mix):
        return sum(line.drops for line in mix.lines if line.item == shelf["white"]) / mix.total

    assert white(second) > white(first)


def test_a_swatch_far_from_all_others_is_held_back_and_shown(signed_in, shelf):
    """Four swatches as the model has them, and one that cannot be."""
    blue, white = shelf["blue"].pk, shelf["white"].pk
    for one, other in ((1, 3), (1, 1), (3, 1), (1, 6)):
        mix = signed_in.get(f"/colours/mix/?want=teal&d{blue}={one}&d{white}={other}").context["mix"]
        Swatch.objects.create(drops={str(blue): one, str(white): other}, hex=mix.hex)
    wild = Swatch.objects.create(drops={str(blue): 2, str(white): 3}, hex="#c83228")
    assert "held back" in text(signed_in.get("/colours/swatches/"))
    assert "Held back" in text(signed_in.get(f"/colours/swatches/{wild.pk}/"))


@pytest.mark.parametrize("sent", [{}, {"hex": "zzz"}, {"hex": "#112233"}, {"hex": "#112233", "coats": "7"}])
def test_half_a_swatch_is_asked_for_again(signed_in, shelf, sent):
    page = signed_in.post("/colours/swatches/new/", sent)
    assert page.status_code == 422
    assert not Swatch.objects.exists()


def test_a_bottle_is_described_and_started_anew(signed_in, shelf):
    pk = shelf["red"].pk
    sent = {"hex": "crimson", "hides": "opaque", "drops_per_ml": "22.5", "alcohol": "on"}
    assert signed_in.post(f"/colours/bottles/{pk}/", sent).status_code == 302
    shelf["red"].refresh_from_db()
    assert (shelf["red"].hex, shelf["red"].hides, float(shelf["red"].drops_per_ml)) == (
        "#dc143c",
        "opaque",
        22.5,
    )
    assert signed_in.post(f"/colours/bottles/{pk}/", sent | {"drops_per_ml": "x"}).status_code == 422
    Swatch.objects.create(drops={str(pk): 3}, hex="#aa3333")
    signed_in.post(f"/colours/bottles/{pk}/anew/")
    assert Swatch.objects.get().refused
    assert signed_in.get("/colours/bottles/99999/").status_code == 404


def photo():
    image = Image.new("RGB", (1400, 1000), (120, 118, 100))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, 600, 1000), fill=(226, 214, 186))  # white paper in warm light
    draw.rectangle((800, 200, 1300, 800), fill=(83, 98, 92))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=95)
    return SimpleUploadedFile("photo.jpg", out.getvalue(), content_type="image/jpeg")


def test_two_taps_on_a_photo_give_the_colour_as_daylight_shows_it(signed_in):
    answer = signed_in.post("/colours/photo/?for=mix&coats=2", {"photo": photo()})
    assert answer.status_code == 302
    page = signed_in.get(answer.url)
    assert 'type="image"' in page.content.decode()
    assert "Where is the white paper?" in text(page)
    asked = signed_in.get(f"{answer.url}&white.x=60&white.y=100")
    assert "where is the colour" in text(asked)
    found = signed_in.get(f"{answer.url}&white.x=60&white.y=100&colour.x=260&colour.y=120")
    assert found.context["shade"][0] == "#"
    red, green, blue = bytes.fromhex(found.context["shade"][1:])
    assert blue > green > red, "without the card it would have looked green"
    assert "/colours/mix/?coats=2&amp;want=%23" in found.content.decode()


def test_a_tap_on_an_edge_is_said_and_a_plain_spot_is_not(signed_in):
    answer = signed_in.post("/colours/photo/", {"photo": photo()})
    plain = signed_in.get(f"{answer.url}&white.x=60&white.y=100&colour.x=260&colour.y=120")
    assert "not even" not in text(plain)
    edge = signed_in.get(f"{answer.url}&white.x=60&white.y=100&colour.x=200&colour.y=120")
    assert "Where you tapped the colour it is not even" in text(edge)
    assert edge.context["shade"], "it warns, and gives the colour all the same"


def test_a_dark_spot_is_no_white_paper(signed_in):
    answer = signed_in.post("/colours/photo/", {"photo": photo()})
    page = signed_in.get(f"{answer.url}&white.x=260&white.y=120&colour.x=60&colour.y=60")
    assert "too dark to be the white card" in text(page) or page.context["shade"] == ""


@pytest.mark.parametrize("data", [b"", b"<svg/>", b"\x89PNG\r\n\x1a\n", b"GIF89a"])
def test_a_photo_that_is_none_is_refused_at_its_field(signed_in, data):
    page = signed_in.post("/colours/photo/", {"photo": SimpleUploadedFile("a.jpg", data)})
    assert page.status_code == 422
    assert not Picture.objects.exists()
    assert signed_in.post("/colours/photo/", {"photo": "words"}).status_code == 422


def test_the_pages_ask_as_often_with_many_rows_as_with_few(signed_in, shelf):
    def asked(url):
        with CaptureQueriesContext(
            connection,
        ) as seen:
            assert signed_in.get(url).status_code == 200
        return len(seen)

    urls = ["/colours/", "/colours/mix/?want=%237c9fb4", "/colours/swatches/"]
    row = make.ColourPartFactory().colour
    urls.append(f"/colours/{row.pk}/")
    Swatch.objects.create(drops={str(shelf["red"].pk): 3}, hex="#aa3333")
    few = [asked(url) for url in urls]
    for n in range(12):
        make.ColourPartFactory(colour__name=f"Shade {n}")
        Swatch.objects.create(drops={str(shelf["red"].pk): n + 1, str(shelf["white"].pk): 3}, hex="#cc8888")
        bottle(f"Tint {n}", f"#aa{n:02x}55")
    assert [asked(url) for url in urls] == few
    assert max(few) < 25


def test_pages_that_mix_nothing_do_without_numpy_and_the_colour_library():
    """A page with neither must not wait for their import."""
    code = (
        "import os, sys; os.environ['DJANGO_SETTINGS_MODULE'] = 'tests.settings'\n"
        "import bakery.wsgi, bakery.urls\n"
        "from django.urls import get_resolver; get_resolver().url_patterns\n"
        "heavy = [name for name in sys.modules if name in ('coloraide', 'PIL.Image')"
        " or name.startswith('bakery.craft.colour.')]\n"
        "print(heavy, os.environ['OPENBLAS_NUM_THREADS'])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, timeout=60)
    assert done.stdout.strip() == "[] 1", done.stdout + done.stderr


def test_the_colours_page_itself_mixes_nothing(signed_in, shelf, monkeypatch):
    import bakery.stock.swatches as rows

    monkeypatch.setattr(rows, "learnt", lambda *_: pytest.fail("fitted"))
    assert signed_in.get("/colours/").status_code == 200


@pytest.mark.parametrize("url", ["/colours/", "/colours/mix/", "/colours/new/", "/colours/photo/"])
def test_nobody_else_sees_them(client, url):
    assert client.get(url).status_code == 302

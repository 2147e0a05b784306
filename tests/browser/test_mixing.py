"""A colour mixed, tried and kept on a phone in a real browser, and read from a photo by two taps."""

import io

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image, ImageDraw

from bakery.stock.models import Colour, Swatch
from tests import factories as make

pytestmark = pytest.mark.django_db(transaction=True)
SHADES = {"White": ("#fdfcf6", "white"), "Sea blue": ("#2f5f7a", "dye"), "Brown": ("#5b341c", "dye")}


# What the checker of accessibility itself makes the browser say: it reads style sheets from the wrong place.
ITS_OWN = ("Failed to load resource", "Applying inline style", "Refused to apply")


def problems(page) -> list[str]:
    return [one for one in page.problems if not one.startswith(ITS_OWN)]


def faults(page) -> list[str]:
    return [f"{v['id']}: {v['nodes'][0]['html'][:80]}" for v in Axe().run(page).response["violations"]]


@pytest.fixture
def at_the_bench(phone, live_server, baker):
    make.StudioFactory()
    for name, (shade, hides) in SHADES.items():
        make.StockItemFactory(name=f"{name}, airbrush", group="airbrush", unit="drop", hex=shade, hides=hides)
    phone.goto(f"{live_server.url}/login/?next=/colours/")
    phone.fill("[name=username]", "baker")
    phone.fill("[name=password]", "tray-lemon-fern")
    phone.click("button:has-text('Log in')")
    phone.wait_for_url("**/colours/")
    return phone


def test_a_colour_is_mixed_tried_and_kept(at_the_bench):
    page = at_the_bench
    assert faults(page) == []
    page.click("a:has-text('Mix a colour')")
    page.wait_for_url("**/colours/mix/**")
    page.wait_for_load_state("networkidle")  # a field filled before the script is there is heard by nobody
    page.fill("#id_want", "steelblue")
    page.wait_for_selector(".matched")
    assert faults(page) == []
    drops = page.locator(".recipe-drops--own input").first
    drops.fill("11")
    page.wait_for_selector("text=Back to the best drops")
    assert page.evaluate("document.activeElement.value") == "11", "she goes on typing where she was"
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.click("text=Back to the best drops")
    page.click("a:has-text('Keep as a colour')")
    page.fill("#id_name", "Harbour")
    assert faults(page) == []
    page.click("button:has-text('Keep it')")
    page.wait_for_url("**/colours/*/")
    kept = Colour.objects.get(name="Harbour", medium="airbrush")
    assert 1 <= kept.parts.count() <= 3
    assert faults(page) == []
    assert problems(page) == []


def test_a_dried_swatch_is_read_from_a_photo_by_two_taps(at_the_bench, live_server, tmp_path):
    page = at_the_bench
    image = Image.new("RGB", (1200, 900), (110, 108, 96))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, 500, 900), fill=(226, 214, 186))
    draw.rectangle((700, 200, 1100, 700), fill=(83, 98, 92))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=95)
    (tmp_path / "photo.jpg").write_bytes(out.getvalue())
    page.goto(f"{live_server.url}/colours/mix/?want=steelblue")
    page.click("a:has-text('I sprayed it')")
    page.click("a:has-text('Read it from a photo')")
    page.set_input_files("#id_photo", str(tmp_path / "photo.jpg"))
    assert faults(page) == []
    page.click("button:has-text('Use this photo')")
    for across, down, name in ((0.2, 0.5, "colour"), (0.75, 0.5, None)):
        picture = page.locator(".pointing__photo")
        box = picture.bounding_box()
        picture.click(position={"x": box["width"] * across, "y": box["height"] * down})
        if name:
            page.wait_for_selector(f"[name={name}]")
    page.click("a:has-text('Use it')")
    shade = page.input_value("#id_hex")
    red, _, blue = bytes.fromhex(shade[1:])
    assert blue > red, "seen against the paper it is bluer than on the photo"
    assert page.locator(".recipe-drops--own input").first.input_value() != "", "the drops came along"
    assert faults(page) == []
    page.click("button:has-text('Keep the swatch')")
    page.wait_for_url("**/colours/swatches/*/")
    assert Swatch.objects.get().photo is not None
    assert faults(page) == []
    assert problems(page) == []

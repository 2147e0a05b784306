"""The elements on their pattern page: each is shown once, works without a script, and keeps to the page's
policy.
"""

import re
from pathlib import Path
from xml.etree import ElementTree as etree

import pytest
from django.template.loader import render_to_string
from django.test import RequestFactory, override_settings
from django.urls import path

from bakery.studio.patterns import context
from bakery.studio.templatetags.drawings import here, units

ROOT = Path(__file__).resolve().parent.parent.parent
TEMPLATES = ROOT / "templates"
ELEMENTS = sorted(p.name for p in (TEMPLATES / "elements").glob("*.html"))


@pytest.fixture(scope="module")
def page():
    """The page under a few addresses of its own, so that it stands without the rest of the house."""
    names = ("tonight", "order_list", "week", "design_list", "cupboard", "setup", "new_order", "logout")
    addresses = tuple(path(f"{name}/", lambda request: None, name=name) for name in names)
    with override_settings(ROOT_URLCONF=addresses):
        return render_to_string("studio/patterns.html", context(), request=RequestFactory().get("/"))


def test_no_element_is_left_over():
    """Each element is used by some page, or by the pattern page, by its name or by the tag of the same
    name.
    """
    used = " ".join(p.read_text() for p in TEMPLATES.rglob("*.html"))
    for name in ELEMENTS:
        tag = name.removesuffix(".html")
        assert f"elements/{name}" in used or f"{{% {tag} " in used, name


def test_the_page_has_one_heading_of_the_first_rank_and_a_skip_link(page):
    assert page.count("<h1") == 1
    assert '<a class="skip" href="#content">' in page
    assert '<main id="content"' in page


def test_nothing_on_the_page_breaks_the_policy(page):
    assert not re.search(r"\sstyle=|\son[a-z]+=|javascript:|<style", page)
    assert re.search(r'"allowEval":\s*false', page)
    scripts = re.findall(r"<script[^>]*>", page)
    assert all("src=" in one for one in scripts)


def test_every_drawing_on_the_page_is_well_formed(page):
    drawings = re.findall(r"<svg xmlns.*?</svg>", page, re.S)
    assert len(drawings) > 150
    for drawing in drawings:
        etree.fromstring(drawing)


def test_ids_are_there_once(page):
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))


def test_every_class_on_the_page_has_a_rule(page):
    css = " ".join(p.read_text() for p in (ROOT / "static" / "css").rglob("*.css"))
    known = set(re.findall(r"\.([a-zA-Z][\w-]*)", css))
    used = {c for names in re.findall(r'class="([^"]*)"', page) for c in names.split()}
    hooks = {  # names for a later reader or a test, without a look of their own
        "content",
        "cookie",
        "mark",
        "moon",
        "strip-picture",
        "phone-strip-picture",
        "week-svg",
        "plaque-sign",
        "evening-bar",
        "evening-mist",
        "band__words",
        "chain__mark",
        "chain__words",
        "state__word",
        "ask",
        "banner--plain",
        "chain__step--work",
        "tag--word",
    }
    assert used - known - hooks == set()


def test_a_number_and_its_unit_stay_together():
    assert units("4 h 15, 240 g, 18.5 °C, 61 %") == "4\u00a0h\u00a015, 240\u00a0g, 18.5\u00a0°C, 61\u00a0%"
    assert units("14 ferns by 07:20") == "14 ferns by 07:20"


@pytest.mark.parametrize(
    ("page_name", "entry", "said"),
    [
        ("tonight", "tonight", ' aria-current="page"'),
        ("order_edit", "order_list", ' aria-current="true"'),
        ("design", "design_list", ' aria-current="true"'),
        ("week", "tonight", ""),
        ("", "tonight", ""),
    ],
)
def test_the_navigation_lights_the_page_that_is_open(page_name, entry, said):
    assert here({"nav": page_name}, entry) == said


def test_a_new_order_has_its_own_place_in_the_phone_bar():
    assert here({"nav": "new_order"}, "order_list") == ' aria-current="true"'
    assert here({"nav": "new_order"}, "order_list", apart="new_order") == ""


def test_every_sheet_that_is_imported_exists_and_every_sheet_is_imported():
    folder = ROOT / "static" / "css"
    named = re.findall(r'@import url\("([^"]+)"\)', (folder / "main.css").read_text())
    assert len(named) == len(set(named))
    for name in named:
        assert (folder / name).is_file()
    blocks = {
        f"{p.parent.name}/{p.name}" for part in ("components", "pages") for p in (folder / part).glob("*.css")
    }
    assert blocks <= set(named)


def test_the_fonts_are_ours_to_ship():
    fonts = ROOT / "static" / "fonts"
    assert "SIL OPEN FONT LICENSE Version 1.1" in (fonts / "OFL.txt").read_text()
    for name in ("ysabeau-office-latin.woff2", "ysabeau-office-latin-ext.woff2"):
        assert (fonts / name).read_bytes()[:4] == b"wOF2"
        assert name in (ROOT / "static" / "css" / "fonts.css").read_text()

"""Words from outside can stand in any drawing: they are written, never obeyed."""

from datetime import timedelta
from xml.etree import ElementTree as etree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bakery.drawing import chain, cookies, evenings, samples, shortfall, strip, things, week

HOSTILE = (
    "<script>alert(1)</script>",
    '"/><image href="http://x.example/"/>',
    "Ada & Bryn <3",
    "'; DROP TABLE names; --",
    "a\x00b\x0bc\x1f",
    "\ud800 lone",
    "\ufffe\uffff",
    "]]>",
    "&#x3c;b&#x3e;",
    "Ñandú Łucja 李小龍 مريم 🙂",
    " " * 30,
    "x" * 5000,
)


def everything(said):
    start = samples.at(24, 18, 30)
    end = start + timedelta(hours=2)
    evening = strip.Evening(
        start,
        start + timedelta(hours=4),
        (strip.Block(start, end, said[:40], said, "must", said),),
        (strip.Drying(cookies.Cookie(text=said), start, end + timedelta(hours=9), None, said),),
        end,
        said,
    )
    picture = week.Week(
        start,
        start + timedelta(days=2),
        (week.Session(start, end, said, said),),
        (week.Work(start, end, said, said, title=said),),
        (week.Stay(0, (week.Piece("work", start, end, title=said),)),),
        2,
        (week.Spell(start, end, said),),
        (week.Spell(start, end, said, (said,)),),
        (week.Outage("oven", start, end, said),),
        (week.HandOver(end, said, late=said),),
        title=said,
    )
    bar = evenings.Bar(start, end, (evenings.BarBlock(start, end, said, said),), said, said)
    yield cookies.cookie({"shape": said, "motif": said, "text": said, "stage": said}, label=said)
    yield cookies.cookie({"motif": "monogram", "text": said})
    yield strip.evening_strip(evening, title=said)
    yield strip.phone_strip(evening)
    yield chain.chain_list((chain.Step(said, said, said, said), chain.Step("wait", said)))
    yield week.week_picture(picture)
    yield evenings.evening_bar(bar)
    yield shortfall.shortfall(shortfall.Shortfall(60, (shortfall.Slice(90, said),), said, said, said))
    yield things.bottle(said, 0.5, label=said)
    yield things.swatch(said, second=said, label=said)


def check(said):
    for drawing in everything(said):
        root = etree.fromstring(drawing.encode())  # a lone surrogate or a forbidden character would fail here
        names = {e.tag.rpartition("}")[2] for e in root.iter()}
        assert names <= {"svg", "g", "path", "rect", "circle", "text", "title", "div", "ol", "li", "span"}
        assert not any(a.startswith("on") or a.endswith("href") for e in root.iter() for a in e.attrib)


@pytest.mark.parametrize("said", HOSTILE)
def test_hostile_words_are_only_words(said):
    check(said)


@settings(max_examples=25, deadline=None)
@given(st.text(max_size=60))
def test_any_words_give_a_well_formed_drawing(said):
    check(said)

"""Strip, chain, week and bars: well formed, the same every time, every fact in words, within the page's
budget.
"""

import re
from dataclasses import replace
from datetime import timedelta
from xml.etree import ElementTree as etree

import pytest

from bakery.drawing import chain, evenings, runout, samples, shortfall, signs, strip, things, week
from bakery.drawing.mist import LIMIT
from bakery.drawing.scale import scale
from bakery.drawing.svg import COLOURS

NS = "{http://www.w3.org/2000/svg}"
PICTURES = {
    "strip": lambda: strip.evening_strip(samples.evening()),
    "tablet strip": lambda: strip.evening_strip(samples.evening(safe=True), width=930),
    "phone strip": lambda: strip.phone_strip(samples.evening()),
    "chain": lambda: chain.chain_list(samples.CHAIN),
    "week": lambda: week.week_picture(samples.week()),
    "late week": lambda: week.week_picture(samples.late_week()),
    "bar": lambda: evenings.evening_bar(samples.bars()[0]),
    "evening mist": lambda: evenings.evening_mist(0.8),
    "bottle": lambda: things.bottle("#4d6b37", 0.3, mark=True),
    "bag": lambda: things.bag("#4d6b37"),
    "box": things.box,
    "packet": things.packet,
    "tray": lambda: things.tray(9, 14),
    "empty tray": things.empty_tray,
    "swatch": lambda: things.swatch("#5d7088", second="#647489"),
    "drops": lambda: things.drops(4, "#22355c"),
    "shortfall": lambda: shortfall.shortfall(samples.SHORTFALL),
    "run down": lambda: runout.run_down(samples.RUN_DOWN),
    "mark": signs.mark,
}


def parsed(drawing):
    return etree.fromstring(drawing.encode())


def test_a_shortfall_is_drawn_to_scale_and_hatched_where_time_has_ended():
    blocks = list(parsed(shortfall.shortfall(samples.SHORTFALL, width=504)).iter(f"{NS}rect"))
    there, *orders, over = [(float(r.get("x")), float(r.get("width"))) for r in blocks]
    scale = 500 / 1090
    assert there == pytest.approx((2, 1020 * scale), abs=0.1)
    assert [w for _, w in orders] == pytest.approx([m * scale for m in (420, 180, 490)], abs=0.1)
    assert over == pytest.approx((2 + 1020 * scale, 70 * scale), abs=0.1)
    labels = [t.text for t in parsed(shortfall.shortfall(samples.SHORTFALL, width=310)).iter(f"{NS}text")]
    assert labels[0] == "17 h there"
    assert labels[1:] == ["1", "2", "3"]


def words(drawing):
    return [t.text for t in parsed(drawing).iter(f"{NS}text")]


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_are_well_formed_and_always_the_same(name):
    first = PICTURES[name]()
    parsed(first)
    assert first == PICTURES[name]()


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_need_no_style_and_no_script(name):
    assert not re.search(r"style=|<style|<script|onload|href", PICTURES[name]())


@pytest.mark.parametrize("name", PICTURES)
def test_every_named_colour_has_its_value_for_paper_too(name):
    for element in parsed(PICTURES[name]()).iter():
        for part in (element.get("class") or "").split():
            if part.startswith("d-"):
                assert element.get("fill") == COLOURS[part[2:]]
            elif part.startswith("s-"):
                assert element.get("stroke") == COLOURS[part[2:]]


@pytest.mark.parametrize("name", ["strip", "tablet strip", "phone strip", "week", "late week", "bar"])
def test_words_in_pictures_are_never_smaller_than_16_5(name):
    sizes = [float(t.get("font-size")) for t in parsed(PICTURES[name]()).iter(f"{NS}text") if t.get("class")]
    assert sizes
    assert min(sizes) >= 16.5


def test_a_page_of_tonight_stays_within_its_dots():
    page = strip.evening_strip(samples.evening()) + strip.evening_strip(samples.evening(), width=930)
    page += chain.chain_list(samples.CHAIN)
    assert page.count("h0") <= LIMIT


def test_a_week_stays_within_its_dots_and_bytes():
    for picture in (samples.week(), samples.late_week()):
        drawing = week.week_picture(picture)
        assert drawing.count("h0") <= LIMIT
        assert len(drawing) < 90_000


def test_every_block_of_a_week_says_what_it_is():
    drawing = week.week_picture(samples.week())
    titles = [t.text for t in parsed(drawing).iter(f"{NS}title")]
    for work in samples.week().work:
        assert f"{work.label} {work.second}".strip() in titles


def test_baking_hours_are_wide_and_the_night_narrow():
    picture = samples.week()
    along = scale(
        picture.start, picture.end, [(s.start, s.end) for s in picture.sessions], left=95, right=1264
    )
    first, second = picture.sessions[:2]
    wide = (along.x(first.end) - along.x(first.start)) / 4
    narrow = (along.x(second.start) - along.x(first.end)) / 20
    assert wide == pytest.approx(43, abs=4)
    assert narrow == pytest.approx(3, abs=0.01)
    middle = first.start + timedelta(hours=9)
    assert along.when(along.x(middle)) == pytest.approx(middle, abs=timedelta(seconds=1))


def test_a_full_week_of_long_days_still_fits_its_width():
    picture = samples.week()
    start = picture.start.replace(hour=6, minute=0)
    days = [(start + timedelta(days=i), start + timedelta(days=i, hours=14)) for i in range(7)]
    along = scale(start, start + timedelta(days=7), days, left=95, right=1264)
    assert along.places[-1] == pytest.approx(1264)
    assert list(along.places) == sorted(along.places)


def test_a_late_hand_over_has_cross_words_and_double_border():
    drawing = week.week_picture(samples.late_week())
    assert any("late 3 h 25" in said for said in words(drawing))
    borders = [p for p in parsed(drawing).iter(f"{NS}path") if "s-no" in (p.get("class") or "")]
    assert len(borders) >= 3


def test_flags_of_one_lane_do_not_cover_each_other():
    picture = samples.week()
    many = replace(
        picture,
        hand_overs=tuple(
            week.HandOver(samples.at(27, 15) + timedelta(minutes=20 * i), f"{100 + i}  15:00")
            for i in range(6)
        ),
    )
    along = scale(many.start, many.end, [(s.start, s.end) for s in many.sessions], left=95, right=1264)
    taken: dict[int, list[tuple[float, float]]] = {}
    for hand, lane, wide in week._lanes(many, along):
        right = max(along.x(hand.at), 95 + wide)
        for a, b in taken.setdefault(lane, []):
            assert right - wide >= b or right <= a
        taken[lane].append((right - wide, right))


def test_the_strip_shows_where_she_may_stop():
    evening = samples.evening()
    assert "stop here" in words(strip.evening_strip(evening))
    assert "stop here" in words(strip.phone_strip(evening))
    assert "stop here" not in words(strip.evening_strip(replace(evening, stop=None)))


def test_an_evening_without_work_is_still_a_picture():
    bare = strip.Evening(samples.at(24, 18, 30), samples.at(24, 22, 30))
    parsed(strip.evening_strip(bare))
    parsed(strip.phone_strip(bare))


def test_an_empty_week_is_still_a_picture():
    parsed(week.week_picture(week.Week(samples.at(24, 0), samples.at(28, 0), ())))


def test_the_chain_says_in_words_what_it_draws():
    drawn = chain.chain_list(samples.CHAIN)
    for step in samples.CHAIN:
        for said in (step.what, step.when, step.long):
            assert said in drawn
    assert drawn.count("<li") == len(samples.CHAIN)
    assert chain.chain_list(()) == ""


@pytest.mark.parametrize(("dozens", "drawn"), [(0, 0), (-3, 0), (5, 5), (21, 21), (900, 44)])
def test_room_is_one_cookie_for_a_dozen(dozens, drawn):
    assert things.room(dozens).count("<svg") == drawn


@pytest.mark.parametrize("level", [-1, 0, 0.001, 0.5, 1, 9])
def test_a_bottle_is_never_more_than_full_nor_less_than_empty(level):
    assert "nan" not in things.bottle("#4d6b37", level)
    parsed(things.bottle("not a colour", level))


@pytest.mark.parametrize("name", signs.SIGNS)
def test_signs_are_ornament_beside_words(name):
    assert parsed(signs.sign(name)).get("aria-hidden") == "true"


def test_every_state_has_its_own_plaque_and_an_unknown_one_an_empty():
    for name in signs.STATES:
        parsed(signs.state(name))
    filling = [
        signs.state(n)
        for n in ("enquiry", "quoted", "held", "booked", "kitchen", "ready", "handed_over", "lapsed")
    ]
    assert len(set(filling)) == len(filling)
    assert signs.state("nobody knows") == signs.state("quoted")
    assert signs.state("in_the_kitchen") == signs.state("kitchen")

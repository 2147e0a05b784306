"""The airbrush list: tonight's colours in order, what to fill, timings that teach."""

import re
from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.utils.html import escape

from bakery.bench.spraying import evening_of
from bakery.production.models import Job
from bakery.production.services import make_plan
from bakery.stock.airbrush import cleaning
from bakery.stock.cleaning import keep_timing
from bakery.stock.models import CleaningTime, Colour
from bakery.stock.signals import needs
from bakery.studio import adapters as studio
from tests import factories as make

pytestmark = pytest.mark.django_db
LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 11, 24, 17, 30, tzinfo=LONDON)


@pytest.fixture
def clock():
    with time_machine.travel(NOW, tick=False) as machine:
        yield machine


@pytest.fixture
def paints(db):
    """Three airbrush colours, each of its own bottle."""
    found = {}
    for name, shade in (("Ochre", "#c9a24a"), ("Brown", "#5b341c"), ("Navy", "#1f2f5c")):
        colour = make.AirbrushColourFactory(name=name, hex=shade)
        bottle = make.StockItemFactory(
            name=f"{name}, airbrush", group="airbrush", unit="drop", shake_first=True
        )
        make.ColourPartFactory(colour=colour, item=bottle, drops=Decimal(8))
        found[name] = colour
    return found


@pytest.fixture
def evening(clock, paints):
    """Twenty flooded, dry cookies to be sprayed tonight in two colours at one placing, then a third."""
    make.StudioFactory(started_at=NOW - timedelta(days=30))
    make.ReadingFactory(at=NOW - timedelta(hours=1))
    design = make.DesignFactory(name="Shell", slug="shell", kind=make.KindFactory(key="stencil"), area_cm2=40)
    flood = make.LayerFactory(design=design, position=1, kind="flood")
    first = make.LayerFactory(design=design, position=2, kind="spray", title="Shell")
    second = make.LayerFactory(design=design, position=3, kind="spray", title="Ribs")
    pieces = make.StencilSetFactory(name="Shell").pieces
    for layer, name, share in ((first, "ground", 30), (second, "ribs", 10)):
        layer.stencils.add(pieces.create(name=name, cut_out_percent=share))
    for layer, names in ((first, ("Ochre", "Navy")), (second, ("Brown",))):
        for place, name in enumerate(names):
            layer.layer_colours.create(colour=paints[name], position=place)
    assert flood
    order = make.OrderFactory(
        number=7, title="Quay supper", hand_over_at=NOW + timedelta(days=1, hours=2), lines__design=design,
        lines__kind=design.kind, lines__quantity=20, lines__spares=0, lines__stage="flooded",
        lines__stage_at=NOW - timedelta(hours=30),
    )  # fmt: skip
    assert make_plan(now=NOW) == "wall"
    return order


def spray_minutes() -> float:
    return Job.objects.get(kind="spray").minutes


def page(client, address="/airbrush/") -> str:
    """What a page says, without its head and tokens."""
    said = client.get(address, follow=True).content.decode().partition("</head>")[2]
    said = said.replace("\u00a0", " ").replace("&nbsp;", " ")
    return re.sub(r"(value=\"|Token\": \")[A-Za-z0-9]{64}", "", said)


def test_tonights_colours_stand_in_order_with_drops_and_cleaning(signed_in, evening):
    said = page(signed_in)
    assert "3 colours on 20 cookies tonight" in said
    assert said.index("</span> Ochre") < said.index("</span> Navy") < said.index("</span> Brown")
    # 20 cookies of 40 cm2, 30 % open for two colours, 8 drops to 12 x 46 x 0.5 cm2: 3.5; 6 stay in the cup
    assert "10 drops, 0.5 mL" in said
    assert "Start with a clean cup." in said
    assert "No other order takes less." in said
    assert "Colour by colour" in said
    assert "stencil Shell, ground" in said
    assert "Gel clogs" in said


def test_what_is_in_the_cup_changes_the_first_step(signed_in, evening, paints):
    said = page(signed_in, f"/airbrush/?cup={paints['Ochre'].pk}")
    assert "It is in the cup already: top up." in said
    said = page(signed_in, f"/airbrush/?cup={paints['Brown'].pk}")
    assert "Start with a clean cup." not in said
    assert "Start with a clean cup." in page(signed_in, "/airbrush/?cup=%00nonsense")


def test_a_colours_shade_changes_the_minutes_of_the_run(evening, paints):
    before = spray_minutes()
    Colour.objects.filter(pk=paints["Ochre"].pk).update(
        hex="#1f2f5d"
    )  # as dark as the navy: nearly no cleaning
    Colour.objects.filter(pk=paints["Brown"].pk).update(hex="#1f2f5e")
    make_plan(now=NOW)
    assert spray_minutes() < before


def test_a_dark_then_light_design_pays_for_it(evening, paints):
    """Layers keep their order: a light colour over a dark one needs the dear cleaning."""
    before = spray_minutes()
    Colour.objects.filter(pk=paints["Brown"].pk).update(hex="#fdfcf6")
    make_plan(now=NOW)
    assert spray_minutes() >= before + 3


def test_timings_teach_the_plan(signed_in, evening, paints):
    usual, before = studio.shop().cleaning, spray_minutes()
    for _ in range(5):
        for old, new in (("Ochre", "Navy"), ("Navy", "Brown"), ("Navy", "Ochre")):
            CleaningTime.objects.create(
                before_hex=paints[old].hex, after_hex=paints[new].hex, minutes=Decimal("9")
            )
    assert studio.shop().cleaning.timings == 15
    assert studio.shop().cleaning.always > usual.always
    make_plan(now=NOW)
    assert spray_minutes() > before
    assert "15 timings of yours" in page(signed_in)


def test_one_field_keeps_a_timing_and_twice_is_once(signed_in, clock, paints):
    said = {"before": paints["Ochre"].pk, "after": paints["Navy"].pk, "minutes": "4,5 min"}
    for _ in range(2):
        assert signed_in.post("/airbrush/took/", said).status_code == 302
    row = CleaningTime.objects.get()
    assert (row.minutes, row.before_hex, row.after_hex) == (Decimal("4.5"), "#c9a24a", "#1f2f5c")
    assert "rest on 1 timing of yours" in page(signed_in)


def test_a_timing_is_left_out_and_counted_again(signed_in, clock, paints):
    row = keep_timing(before=paints["Navy"], after=paints["Ochre"], minutes=Decimal(9), at=NOW)
    taught = cleaning()
    signed_in.post(f"/airbrush/timings/{row.pk}/", {"counts": "no"})
    assert cleaning().timings == 0
    assert "left out" in page(signed_in)
    signed_in.post(f"/airbrush/timings/{row.pk}/", {"counts": "yes"})
    assert cleaning() == taught
    signed_in.post("/airbrush/usual/")
    assert cleaning().timings == 0


def test_adding_drops_teaches_nothing(clock, paints):
    grey = make.AirbrushColourFactory(name="Mid brown", hex="#7a4a2c")
    for part in paints["Brown"].parts.all():
        make.ColourPartFactory(colour=grey, item=part.item, drops=part.drops)
    make.ColourPartFactory(colour=grey, drops=Decimal(4))
    keep_timing(before=paints["Brown"], after=grey, minutes=Decimal("0.3"), at=NOW)
    assert cleaning().timings == 0


@pytest.mark.parametrize("minutes", ["", "soon", "-3", "61", "1e9", "4.55", "\x00", "٤", "9" * 400])
def test_odd_minutes_get_a_sentence(signed_in, clock, paints, minutes):
    make.StudioFactory()
    said = {"before": paints["Ochre"].pk, "after": paints["Navy"].pk, "minutes": minutes}
    answer = signed_in.post("/airbrush/took/", said)
    assert answer.status_code == 422
    assert "field__error" in answer.content.decode()
    assert not CleaningTime.objects.exists()


@pytest.mark.parametrize("before", ["", "0", "x", "\x00", "99999999999999999999"])
def test_odd_colours_get_a_sentence(signed_in, clock, paints, before):
    make.StudioFactory()
    answer = signed_in.post("/airbrush/took/", {"before": before, "after": paints["Navy"].pk, "minutes": "4"})
    assert answer.status_code == 422
    assert not CleaningTime.objects.exists()


def test_the_same_colour_twice_is_no_cleaning(signed_in, clock, paints):
    make.StudioFactory()
    pk = paints["Navy"].pk
    answer = signed_in.post("/airbrush/took/", {"before": pk, "after": pk, "minutes": "4"})
    assert "same colour twice" in answer.content.decode()


def test_an_evening_without_spraying_says_so(signed_in, clock):
    make.StudioFactory()
    assert "Nothing to spray tonight." in page(signed_in)


def test_nobody_sees_it_without_signing_in(client):
    assert client.get("/airbrush/").status_code == 302


def test_needs_of_sprayed_designs_take_no_more_queries_for_more_orders(
    evening, django_assert_max_num_queries
):
    first = Job.objects.get(kind="spray")
    for number in range(6):
        first.pk, first.key = None, f"o7.l1.spray{number + 2}"
        first.save()
    with django_assert_max_num_queries(20):
        assert [need.amount for need in needs(NOW) if need.medium == "airbrush"]


def test_queries_stay_bounded(signed_in, evening, django_assert_max_num_queries):
    page(signed_in)
    with django_assert_max_num_queries(60):
        page(signed_in)


def test_tonight_links_to_it_and_the_day_sheet_prints_it(signed_in, evening):
    assert "/airbrush/" in page(signed_in, "/tonight/")
    sheet = page(signed_in, "/papers/day/2026-11-24/")
    assert "Spray in this order" in sheet
    assert sheet.index("<b>Ochre</b>") < sheet.index("<b>Navy</b>")
    best = [
        way for one in evening_of(NOW).sittings for batch in one.batches for way in batch.ways if way.best
    ]
    assert best
    assert all(escape(way.text) in sheet for way in best), "the way through the cookies step by step"

"""Her minutes against the clock: what is said of them, and the press that puts them right."""

from decimal import Decimal

import pytest
from django.utils import timezone

from bakery.craft.work import LineSpec
from bakery.craft.work.kinds import MINUTES, minutes_of
from bakery.designs.adapters import layers_of
from bakery.designs.models import Kind, Layer
from bakery.money import pace, queries, services
from bakery.money.models import Pace
from bakery.studio import adapters as studio_adapters
from tests import factories as make

from .conftest import job

pytestmark = pytest.mark.django_db


def timed(handed_over, kind, thought, took, orders=3):
    for _ in range(orders):
        job(handed_over("40.00"), kind, thought, took)
    services.catch_up()
    return queries.paces(timezone.localdate())


def test_lettering_takes_1_4_times_what_she_says(handed_over):
    (one,) = timed(handed_over, "letter", 30, 42)
    assert (one.work, one.orders, one.thought, one.took) == ("letter", 3, 90 * 60, 126 * 60)
    assert one.factor == Decimal("1.4")


def test_one_press_puts_right_whatever_minutes_come_from(studio):
    """The shop's lettering, a layer she gave minutes, and the part of a kind's minutes that is lettering."""
    design = make.DesignFactory(name="Card")
    layer = make.LayerFactory(design=design, kind=Layer.Kind.LETTERING, minutes_per_cookie=Decimal("3.00"))
    other = make.LayerFactory(design=design, kind=Layer.Kind.FLOOD, minutes_per_cookie=Decimal("2.00"))
    lettered = make.KindFactory(key="lettered")
    Kind.objects.filter(pk=lettered.pk).update(minutes=Decimal("8.70"))
    before = studio_adapters.shop()
    found = pace.use_pace(work="letter", factor=Decimal("1.4"), rests_on=3)
    shop = studio_adapters.shop()
    assert shop.minutes["lettering"] == pytest.approx(MINUTES["lettering"].value * 1.4)
    assert "flood" not in shop.minutes
    layer.refresh_from_db(), other.refresh_from_db(), lettered.refresh_from_db()
    assert (layer.minutes_per_cookie, other.minutes_per_cookie) == (Decimal("4.20"), Decimal("2.00"))
    # usually 1.25 flood, 1.1 frame and 2.0 lettering: 2.0 of 4.35, so 8.70 x (1 + 2 / 4.35 x 0.4)
    assert lettered.minutes == Decimal("10.30")
    line = LineSpec("l1", "", "plain", 24, layers=layers_of(design))
    assert minutes_of(line.layers[0], line, shop) == pytest.approx(4.2)
    pace.undo_pace(pk=found.pk)
    layer.refresh_from_db(), lettered.refresh_from_db()
    assert (layer.minutes_per_cookie, lettered.minutes) == (Decimal("3.00"), Decimal("8.70"))
    assert dict(studio_adapters.shop().minutes) == dict(before.minutes)


def test_pressed_twice_it_is_used_once(studio):
    one = pace.use_pace(work="letter", factor=Decimal("1.4"), rests_on=3)
    again = pace.use_pace(work="letter", factor=Decimal("1.4"), rests_on=3)
    assert (again.pk, Pace.objects.count()) == (one.pk, 1)
    more = pace.use_pace(work="letter", factor=Decimal("0.9"), rests_on=3, seen=one.pk)
    assert studio_adapters.shop().minutes["lettering"] == pytest.approx(2.0 * 1.4 * 0.9)
    assert pace.undo_pace(pk=more.pk) is not None
    assert pace.undo_pace(pk=more.pk) is None
    assert studio_adapters.shop().minutes["lettering"] == pytest.approx(2.0 * 1.4)


def test_what_she_typed_since_stays(studio):
    layer = make.LayerFactory(kind=Layer.Kind.LETTERING, minutes_per_cookie=Decimal("3.00"))
    found = pace.use_pace(work="letter", factor=Decimal("2"), rests_on=3)
    Layer.objects.filter(pk=layer.pk).update(minutes_per_cookie=Decimal("5.00"))
    pace.undo_pace(pk=found.pk)
    layer.refresh_from_db()
    assert layer.minutes_per_cookie == Decimal("5.00")


@pytest.mark.parametrize(
    ("work", "factor"), [("talk", "1.4"), ("letter", "4.1"), ("letter", "0.2"), ("", "1")]
)
def test_what_cannot_be_is_refused(studio, work, factor):
    with pytest.raises(ValueError, match="cannot"):
        pace.use_pace(work=work, factor=Decimal(factor), rests_on=1)
    assert not Pace.objects.exists()


def test_after_a_press_only_later_work_says_something(handed_over):
    timed(handed_over, "letter", 30, 42)
    pace.use_pace(work="letter", factor=Decimal("1.4"), rests_on=3)
    assert queries.paces(timezone.localdate()) == []


def test_the_press_on_the_page(handed_over, signed_in):
    timed(handed_over, "letter", 30, 42)
    page = signed_in.get("/money/").content.decode()
    assert "Lettering takes you 1.4 times what you say" in page
    signed_in.post("/money/use/letter/", {"seen": "0"})
    signed_in.post("/money/use/letter/", {"seen": "0"})
    (found,) = Pace.objects.all()
    assert (found.factor, found.rests_on) == (Decimal("1.400"), 3)
    assert "As it was before" in signed_in.get("/money/").content.decode()
    signed_in.post(f"/money/used/{found.pk}/undo/")
    assert "Lettering takes you 1.4 times" in signed_in.get("/money/").content.decode()


def test_too_few_orders_offer_no_press(handed_over, signed_in):
    timed(handed_over, "letter", 30, 42, orders=2)
    page = signed_in.get("/money/").content.decode()
    assert "Lettering takes you 1.4 times what you say" in page
    assert "/money/use/letter/" not in page


@pytest.mark.parametrize("data", [{}, {"seen": "x"}, {"seen": "9" * 400}, {"seen": "-1"}, {"seen": "²"}])
def test_odd_presses_are_answered(studio, signed_in, data):
    for work in ("letter", "nothing", "x" * 300):
        assert signed_in.post(f"/money/use/{work}/", data).status_code == 302
    assert not Pace.objects.exists()

"""The shop, the room and the prices as the core gets them."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from bakery.craft.drying import Room, humidity_indoors, times
from bakery.studio import adapters
from bakery.studio.models import Reading
from tests.factories import ReadingFactory, StencilPieceFactory, StencilSetFactory, StudioFactory

pytestmark = pytest.mark.django_db


def test_before_she_starts_the_usual_values_hold():
    shop = adapters.shop()
    assert (shop.cookies_per_sheet, shop.rack_places, shop.cookies_per_batch) == (14, 12, 20)
    assert adapters.prices().wage == Decimal("16.00")


def test_the_shop_knows_her_habits_and_how_many_of_each_stencil_she_owns():
    StudioFactory(rack_places=5, keeps_days=7)
    piece = StencilPieceFactory(stencil_set=StencilSetFactory(name="Old oak"), name="leaf", copies=3)
    shop = adapters.shop()
    assert (shop.rack_places, shop.keeps_days) == (5, 7)
    assert shop.stencil_copies == {"old-oak-leaf": 3}
    assert piece.resource == "stencil/old-oak-leaf"


def test_margin_is_a_share_for_the_core():
    StudioFactory(margin_percent=Decimal("12.5"), hourly_wage=Decimal("21"))
    assert adapters.prices().margin == Decimal("0.125")
    assert adapters.prices().wage == 21


def test_without_a_reading_a_usual_room_is_assumed():
    assert adapters.drying() == times(Room())


def test_a_reading_at_the_trays_is_the_room():
    ReadingFactory(temperature_c=18.5, humidity_percent=61, fan=True)
    assert adapters.drying() == times(Room(18.5, 0.61, measured=True), air="fan")


def test_a_reading_is_forgotten_after_a_day_and_a_half():
    now = timezone.now()
    ReadingFactory(at=now - timedelta(hours=35), humidity_percent=65)
    assert adapters.drying(now).room.humidity == pytest.approx(0.65)
    assert adapters.drying(now + timedelta(hours=2)) == times(Room())


def test_a_reading_of_tomorrow_says_nothing_about_tonight():
    now = timezone.now()
    ReadingFactory(at=now + timedelta(hours=1), humidity_percent=65)
    assert adapters.drying(now) == times(Room())


def test_a_weather_report_is_brought_indoors_and_not_trusted_as_a_measurement():
    ReadingFactory(temperature_c=5, humidity_percent=90, where=Reading.Where.WEATHER)
    room, _ = adapters.room()
    assert room.humidity == pytest.approx(humidity_indoors(5, 0.9, adapters.INDOORS_C))
    assert room.humidity < 0.4
    assert not room.measured


def test_wet_air_says_never_instead_of_a_number():
    ReadingFactory(humidity_percent=80)
    assert adapters.drying().never

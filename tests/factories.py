"""Rows for tests, each whole by itself; give what the test is about and leave the rest."""

from datetime import timedelta
from decimal import Decimal

import factory
from django.utils import timezone

from bakery.customers.models import Customer
from bakery.designs.models import Design, Kind, Layer, LayerColour, StencilPiece, StencilSet, Variation
from bakery.orders.models import Name, Order, OrderLine, State
from bakery.stock.models import Colour, ColourPart, StockItem
from bakery.studio.answers import USUAL_HOURS, stints_of
from bakery.studio.models import BakingHours, HoursChange, Outage, Reading, Studio


class StudioFactory(factory.django.DjangoModelFactory):
    """Her studio, started, with the usual hours (Tuesday to Friday evenings, Saturday 9 to 15)."""

    class Meta:
        model = Studio
        django_get_or_create = ("pk",)
        skip_postgeneration_save = True

    pk = 1
    name = "Test Kitchen"
    address = "1 Test Steps"
    started_at = factory.LazyFunction(timezone.now)

    @factory.post_generation
    def hours(self, create, stints, **kwargs):
        if create and not BakingHours.objects.exists():
            BakingHours.objects.bulk_create(
                BakingHours(weekday=s.weekday, start=s.start, end=s.end, hands=s.hands)
                for s in (stints_of(USUAL_HOURS) if stints is None else stints)
            )


class BakingHoursFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = BakingHours

    weekday = 1
    start = "18:30"
    end = "22:30"


class HoursChangeFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = HoursChange

    date = factory.LazyFunction(timezone.localdate)
    kind = HoursChange.Kind.OFF


class OutageFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Outage

    resource = "airbrush"
    start = factory.LazyFunction(timezone.now)
    end = factory.LazyAttribute(lambda row: row.start + timedelta(days=1))


class ReadingFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Reading

    temperature_c = Decimal("20.0")
    humidity_percent = Decimal("50.0")


class CustomerFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Customer

    name = factory.Sequence(lambda n: f"Customer {n}")


class StockItemFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = StockItem

    name = factory.Sequence(lambda n: f"Item {n}")
    group = StockItem.Group.DRY


class ColourFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Colour

    name = factory.Sequence(lambda n: f"Colour {n}")
    hex = "#aabbcc"


class AirbrushColourFactory(ColourFactory):
    medium = Colour.Medium.AIRBRUSH


class ColourPartFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ColourPart

    colour = factory.SubFactory(ColourFactory)
    item = factory.SubFactory(StockItemFactory, group=StockItem.Group.GEL, unit=StockItem.Unit.DROP)
    drops = Decimal("4")


class KindFactory(factory.django.DjangoModelFactory):
    """One of the six kinds: they are there after every migration."""

    class Meta:
        model = Kind
        django_get_or_create = ("key",)

    key = "plain"
    name = factory.LazyAttribute(lambda row: row.key.replace("_", " ").capitalize())


class StencilSetFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = StencilSet

    name = factory.Sequence(lambda n: f"Stencil {n}")


class StencilPieceFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = StencilPiece

    stencil_set = factory.SubFactory(StencilSetFactory)
    name = factory.Sequence(lambda n: f"piece {n}")


class DesignFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Design

    name = factory.Sequence(lambda n: f"Design {n}")
    slug = factory.LazyAttribute(lambda row: row.name.lower().replace(" ", "-"))
    kind = factory.SubFactory(KindFactory)


class LayerFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Layer

    design = factory.SubFactory(DesignFactory)
    position = factory.Sequence(lambda n: n + 1)
    kind = Layer.Kind.FLOOD


class LayerColourFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = LayerColour

    layer = factory.SubFactory(LayerFactory)
    colour = factory.SubFactory(ColourFactory)


class VariationFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Variation

    design = factory.SubFactory(DesignFactory)
    base = factory.SubFactory(ColourFactory)


class OrderFactory(factory.django.DjangoModelFactory):
    """A booked order of 24 plain cookies in ten days; `lines=0` leaves it bare."""

    class Meta:
        model = Order
        skip_postgeneration_save = True

    number = factory.Sequence(lambda n: 101 + n)
    customer = factory.SubFactory(CustomerFactory)
    title = factory.Sequence(lambda n: f"Order of day {n}")
    hand_over_at = factory.LazyFunction(lambda: noon(10))
    state = State.BOOKED
    allergy_state = Order.Allergy.NONE
    deposit_paid = True

    @factory.post_generation
    def lines(self, create, count, **line):
        if create and count != 0:
            OrderLineFactory.create_batch(count or 1, order=self, **line)


class OrderLineFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = OrderLine

    position = factory.LazyAttribute(lambda row: row.order.lines.count() + 1)
    kind = factory.SubFactory(KindFactory)
    quantity = 24


class NameFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Name

    order = factory.SubFactory(OrderFactory)
    position = factory.LazyAttribute(lambda row: row.order.names.count() + 1)
    text = "Ada"


def noon(days: int):
    """Noon so many days from today."""
    day = timezone.localtime().replace(hour=12, minute=0, second=0, microsecond=0)
    return day + timedelta(days=days)

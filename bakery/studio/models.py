"""The business: its profile, baking hours, what is out of order, and what the room is like."""

import uuid
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone


def between(low, high):
    return [MinValueValidator(low), MaxValueValidator(high)]


class Studio(models.Model):
    """The one studio of this installation. Every number is a setting with a usual value."""

    class PriceRule(models.TextChoices):
        MARGIN = "margin", "her wage and a margin on top"
        WAGE = "wage", "an hour's pay to reach"

    name = models.CharField(max_length=80, blank=True, default="")
    strapline = models.CharField(max_length=120, blank=True, default="Cookies made to order at home")
    address = models.CharField(max_length=200, blank=True, default="")
    phone = models.CharField(max_length=40, blank=True, default="")
    email = models.EmailField(blank=True, default="")
    currency = models.CharField(max_length=3, default="GBP")
    currency_sign = models.CharField(max_length=4, default="£")

    hourly_wage = models.DecimalField(max_digits=8, decimal_places=2, default=Decimal("16.00"),
                                      validators=between(0, 1000))  # fmt: skip
    overhead_per_hour = models.DecimalField("rent and wear, an hour", max_digits=8, decimal_places=2,
                                            default=Decimal("1.80"), validators=between(0, 1000))  # fmt: skip
    margin_percent = models.DecimalField(max_digits=5, decimal_places=2, default=Decimal("10"),
                                         validators=between(0, 200))  # fmt: skip
    price_rule = models.CharField(
        "what a price is made of", max_length=6, choices=PriceRule.choices, default=PriceRule.MARGIN
    )
    target_wage = models.DecimalField(
        "an hour, where a price is to pay it",
        max_digits=8,
        decimal_places=2,
        default=Decimal("20.00"),
        validators=between(0, 1000),
    )
    round_to = models.DecimalField(
        "prices are rounded to",
        max_digits=6,
        decimal_places=2,
        default=Decimal("1"),
        validators=between(Decimal("0.01"), 100),
    )
    energy_per_kwh = models.DecimalField(
        "electricity, a kWh",
        max_digits=6,
        decimal_places=4,
        default=Decimal("0.28"),
        validators=between(0, 10),
    )
    oven_kw = models.DecimalField(
        "oven draws, kW", max_digits=4, decimal_places=2, default=Decimal("1.20"), validators=between(0, 30)
    )
    dryer_kw = models.DecimalField(
        "dryer draws, kW", max_digits=4, decimal_places=2, default=Decimal("0.35"), validators=between(0, 30)
    )
    fee_percent = models.DecimalField(
        "card or market fee, per cent",
        max_digits=5,
        decimal_places=2,
        default=Decimal("0"),
        validators=between(0, 50),
    )
    fee_fixed = models.DecimalField(
        "fee for each payment",
        max_digits=6,
        decimal_places=2,
        default=Decimal("0"),
        validators=between(0, 100),
    )
    delivery_base = models.DecimalField(
        "delivery, for going at all",
        max_digits=6,
        decimal_places=2,
        default=Decimal("0"),
        validators=between(0, 500),
    )
    delivery_per_km = models.DecimalField(
        "delivery, a kilometre there and back",
        max_digits=6,
        decimal_places=2,
        default=Decimal("0.45"),
        validators=between(0, 50),
    )
    tax_percent = models.DecimalField(
        "tax on what she sells, per cent",
        max_digits=5,
        decimal_places=2,
        default=Decimal("0"),
        validators=between(0, 50),
    )
    tax_included = models.BooleanField("prices include the tax", default=True)
    rush_percent = models.DecimalField(
        "for a rush, per cent",
        max_digits=5,
        decimal_places=2,
        default=Decimal("25"),
        validators=between(0, 200),
    )
    rush_days = models.PositiveSmallIntegerField(
        "a rush is asked for this many days ahead, or fewer", default=0, validators=between(0, 60)
    )
    deposit_percent = models.PositiveSmallIntegerField(default=50, validators=between(0, 100))
    quote_hours = models.PositiveSmallIntegerField("a quote stays open, hours", default=48)
    balance_days = models.PositiveSmallIntegerField("balance due, days before", default=7)
    change_days = models.PositiveSmallIntegerField("changes until, days before", default=14)
    terms = models.TextField(blank=True, default="")

    cookies_per_sheet = models.PositiveSmallIntegerField(default=14, validators=between(1, 100))
    sheets_in_oven = models.PositiveSmallIntegerField(default=2, validators=between(1, 10))
    rack_places = models.PositiveSmallIntegerField(default=12, validators=between(1, 200))
    cookies_per_tray = models.PositiveSmallIntegerField(default=14, validators=between(1, 100))
    cookies_per_batch = models.PositiveSmallIntegerField(default=20, validators=between(1, 500))
    airbrushes = models.PositiveSmallIntegerField(default=1, validators=between(0, 10))
    dryer_trays = models.PositiveSmallIntegerField(default=0, validators=between(0, 50))
    keeps_days = models.PositiveSmallIntegerField(
        "bake to hand-over, days", default=5, validators=between(1, 30)
    )
    month_humidity = models.JSONField("humidity of a usual year, month by month", default=list, blank=True)
    wash_up_minutes = models.PositiveSmallIntegerField(default=15, validators=between(0, 120))
    door_minutes = models.PositiveSmallIntegerField(default=10, validators=between(0, 120))
    waking_from = models.TimeField(default="07:00")
    waking_until = models.TimeField(default="22:30")
    padding = models.DecimalField("work takes longer than thought by", max_digits=4, decimal_places=2,
                                  default=Decimal("1.15"), validators=between(1, 3))  # fmt: skip

    contains = models.CharField("every cookie contains", max_length=200, default="wheat, milk, egg")
    handles = models.CharField("the kitchen also handles", max_length=200, blank=True, default="nuts, sesame")

    is_example = models.BooleanField(default=False)
    started_at = models.DateTimeField(null=True, blank=True)
    updated_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_studio")]

    def __str__(self):
        return self.name or "My studio"

    @property
    def started(self):
        return self.started_at is not None


class BakingHours(models.Model):
    """One stretch of an ordinary week in which somebody's hands are free for cookies."""

    class Weekday(models.IntegerChoices):
        MON = 0, "Monday"
        TUE = 1, "Tuesday"
        WED = 2, "Wednesday"
        THU = 3, "Thursday"
        FRI = 4, "Friday"
        SAT = 5, "Saturday"
        SUN = 6, "Sunday"

    weekday = models.PositiveSmallIntegerField(choices=Weekday.choices)
    start = models.TimeField()
    end = models.TimeField()
    hands = models.PositiveSmallIntegerField(default=1, validators=between(1, 2))

    class Meta:
        ordering = ["weekday", "start"]
        verbose_name_plural = "baking hours"
        constraints = [
            models.UniqueConstraint(fields=["weekday", "start"], name="one_start_a_day"),
            models.CheckConstraint(condition=models.Q(start__lt=models.F("end")), name="hours_run_forward"),
        ]

    def __str__(self):
        return f"{self.get_weekday_display()} {self.start:%H:%M} to {self.end:%H:%M}"

    def clean(self):
        if self.start and self.end and self.start >= self.end:
            raise ValidationError({"end": "These hours end before they begin."})


class HoursChange(models.Model):
    """One date that is not like its weekday: off, other hours, or hours on top."""

    class Kind(models.TextChoices):
        OFF = "off", "off"
        INSTEAD = "instead", "other hours"
        EXTRA = "extra", "more hours"

    date = models.DateField()
    kind = models.CharField(max_length=8, choices=Kind.choices)
    start = models.TimeField(null=True, blank=True)
    end = models.TimeField(null=True, blank=True)
    hands = models.PositiveSmallIntegerField(default=1, validators=between(1, 2))
    reason = models.CharField(max_length=120, blank=True, default="")
    said_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ["date", "start"]

    def __str__(self):
        return f"{self.date:%d %B %Y}, {self.get_kind_display()}"

    def clean(self):
        if self.kind != self.Kind.OFF and not (self.start and self.end and self.start < self.end):
            raise ValidationError({"end": "Give a start and a later end."})


class ClosedWeek(models.Model):
    """A week in which she takes no more orders; `away` when she does not bake in it either."""

    monday = models.DateField(unique=True)
    away = models.BooleanField("no baking at all", default=False)
    closed_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["monday"]

    def __str__(self):
        return f"Closed: the week from {self.monday}"

    def clean(self):
        if self.monday and self.monday.weekday():
            raise ValidationError({"monday": "A week begins on a Monday."})


class CalendarAddress(models.Model):
    """The secret address of her calendar. A new secret shuts the old address; `name` stays, so that entries
    keep their identity.
    """

    secret = models.CharField(max_length=64, unique=True)
    name = models.UUIDField("what entries are called after", default=uuid.uuid4, editable=False)
    made_at = models.DateTimeField(default=timezone.now)
    read_at = models.DateTimeField("last fetched", null=True, blank=True)
    content_hash = models.CharField(max_length=64, blank=True, default="")
    changed_at = models.DateTimeField("when its content last changed", default=timezone.now)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_calendar")]

    def __str__(self):
        return "The calendar's secret address"


class Outage(models.Model):
    """A tool that is out from one moment until another: the airbrush, the oven, a stencil."""

    resource = models.CharField(max_length=80)
    amount = models.PositiveSmallIntegerField(default=1)
    start = models.DateTimeField()
    end = models.DateTimeField()
    reason = models.CharField(max_length=120, blank=True, default="")

    class Meta:
        ordering = ["start"]

    def __str__(self):
        return f"{self.resource}, {self.start:%d %B %H:%M} to {self.end:%d %B %H:%M}"

    def clean(self):
        if self.start and self.end and self.start >= self.end:
            raise ValidationError({"end": "It cannot be back before it broke."})


class Reading(models.Model):
    """What the room was like, and where that was read."""

    class Where(models.TextChoices):
        TRAYS = "trays", "at the trays"
        WEATHER = "weather", "from the weather report"

    at = models.DateTimeField(default=timezone.now)
    temperature_c = models.DecimalField(max_digits=4, decimal_places=1, validators=between(-30, 50))
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1, validators=between(1, 100))
    where = models.CharField(max_length=8, choices=Where.choices, default=Where.TRAYS)
    fan = models.BooleanField(default=False)

    class Meta:
        ordering = ["-at"]
        indexes = [models.Index(fields=["-at"])]

    def __str__(self):
        return f"{self.at:%d %B %H:%M}: {self.temperature_c} °C, {self.humidity_percent} %"


class Picture(models.Model):
    """A picture she added, read anew and kept small: a mixed colour, a swatch, a stencil's outline."""

    sha256 = models.CharField(max_length=64, unique=True)
    jpeg = models.BinaryField()
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()
    origin = models.CharField("where it came from", max_length=200, blank=True, default="")
    added_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-added_at"]

    def __str__(self):
        return f"Picture of {self.added_at:%d %B %Y}"


class Touch(models.Model):
    """She touched the middle of a tray's thickest cookie: hard or soft. The log that drying learns from."""

    class Air(models.TextChoices):
        STILL = "still", "still air"
        FAN = "fan", "a fan"
        DRYER = "dryer", "the dryer"

    job = models.CharField("key of the job that laid the icing", max_length=60)
    at = models.DateTimeField(default=timezone.now)
    wet_since = models.DateTimeField("the tray's last cookie was iced")
    hard = models.BooleanField()
    air = models.CharField(max_length=5, choices=Air.choices, default=Air.STILL)
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1, default=Decimal("2.5"))
    temperature_c = models.DecimalField(max_digits=4, decimal_places=1)
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1)
    measured = models.BooleanField("the room was read at the trays", default=False)
    model_hours = models.DecimalField("hours the model gave", max_digits=6, decimal_places=2)
    refused = models.BooleanField("she will not have it count", default=False)

    class Meta:
        ordering = ["-at", "-pk"]
        verbose_name_plural = "touches"
        constraints = [models.UniqueConstraint(fields=["job", "at"], name="one_touch_a_moment")]
        indexes = [models.Index(fields=["air", "-at"])]

    def __str__(self):
        return f"{'hard' if self.hard else 'soft'}, {self.at:%d %B %H:%M}"


class Counter(models.Model):
    """Numbers that are given out once: orders, quotes."""

    name = models.CharField(max_length=20, primary_key=True)
    value = models.PositiveIntegerField(default=0)

    def __str__(self):
        return f"{self.name}, {self.value}"

"""Dough, blanks and transfers made ahead of any order; cookies that are ready, and days at the stall."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone


class MadeAhead(models.Model):
    """Dough, blanks or transfers made before any order needs them. The freezer stops their ageing."""

    class What(models.TextChoices):
        DOUGH = "dough", "dough"
        BLANK = "blank", "blanks"
        TRANSFER = "transfer", "transfers"
        FINISHED = "finished", "cookies ready"

    class Place(models.TextChoices):
        COUNTER = "counter", "counter"
        TIN = "tin", "tin"
        FRIDGE = "fridge", "fridge"
        FREEZER = "freezer", "freezer"

    what = models.CharField(max_length=8, choices=What.choices)
    shape = models.CharField(
        "cutter, or design of transfers and cookies", max_length=180, blank=True, default=""
    )
    quantity = models.PositiveIntegerField(validators=[MinValueValidator(1), MaxValueValidator(5000)])
    place = models.CharField(max_length=8, choices=Place.choices, default=Place.TIN)
    made_on = models.DateTimeField(default=timezone.now)
    since = models.DateTimeField("in this place since", default=timezone.now)
    aged_days = models.FloatField("days old when it came there, frozen days not counted", default=0)
    keeps_until = models.DateField(null=True, blank=True)
    for_order = models.CharField("key of the only order it is for", max_length=12, blank=True, default="")
    note = models.CharField(max_length=80, blank=True, default="")
    from_order = models.CharField(
        "line of the order they were made in", max_length=24, blank=True, default=""
    )
    price_each = models.DecimalField(
        max_digits=7, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(Decimal("0"))]
    )
    drawing = models.JSONField("what the cookies look like", blank=True, default=dict)

    class Meta:
        ordering = ["keeps_until", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["from_order"], condition=~models.Q(from_order=""), name="a_line_is_put_down_once"
            )
        ]

    def __str__(self):
        return f"{self.get_place_display()}: {self.quantity} {self.shape} {self.get_what_display()}"


class AheadUse(models.Model):
    """So many of them go into an order (`order`, `line` are its keys), or are gone for another reason.

    Until they are `used` they are only spoken for.
    """

    class Reason(models.TextChoices):
        NONE = "", "not said"
        TAKEN = "taken", "taken along"
        SOLD = "sold", "sold"
        GIVEN = "given", "given away"
        LOST = "lost", "broken or eaten"

    item = models.ForeignKey(MadeAhead, on_delete=models.CASCADE, related_name="uses")
    reason = models.CharField(max_length=6, choices=Reason.choices, blank=True, default="")
    order = models.CharField(max_length=12, blank=True, default="")
    line = models.CharField(max_length=12, blank=True, default="")
    quantity = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    used = models.BooleanField("worked on or eaten, no longer only spoken for", default=False)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["at", "pk"]
        indexes = [models.Index(fields=["order"])]

    def __str__(self):
        return f"{self.quantity} of {self.item_id} for {self.order or 'nobody'}"


class StallDay(models.Model):
    """Once out with cookies: taken along, and at the end what was sold and what came back."""

    token = models.UUIDField("of the form that made it", unique=True, editable=False)
    on = models.DateField(default=timezone.localdate)
    place = models.CharField(max_length=80, blank=True, default="")
    note = models.CharField(max_length=200, blank=True, default="")
    came_back_at = models.DateTimeField("counted at the end", null=True, blank=True)

    class Meta:
        ordering = ["-on", "-pk"]
        indexes = [models.Index(fields=["on"])]

    def __str__(self):
        return f"{self.place or 'The stall'}, {self.on:%d %B %Y}"


class StallLine(models.Model):
    """So many of one packet taken along. What was neither sold nor brought back was given or broken."""

    day = models.ForeignKey(StallDay, on_delete=models.CASCADE, related_name="lines")
    item = models.ForeignKey(MadeAhead, on_delete=models.PROTECT, related_name="stall_lines")
    use = models.OneToOneField(AheadUse, on_delete=models.SET_NULL, null=True, related_name="stall_line")
    taken = models.PositiveIntegerField(validators=[MinValueValidator(1), MaxValueValidator(5000)])
    sold = models.PositiveIntegerField(default=0)
    back = models.PositiveIntegerField("brought back", default=0)
    price_each = models.DecimalField(
        max_digits=7, decimal_places=2, default=Decimal("0"), validators=[MinValueValidator(Decimal("0"))]
    )

    class Meta:
        ordering = ["day", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["day", "item"], name="one_line_a_packet_and_day"),
            models.CheckConstraint(
                condition=models.Q(taken__gte=models.F("sold") + models.F("back")),
                name="no_more_sold_and_back_than_taken",
            ),
        ]

    def __str__(self):
        return f"{self.taken} of {self.item_id}"

    @property
    def missing(self) -> int:
        """Neither sold nor brought back: given away, broken or eaten."""
        return self.taken - self.sold - self.back

    @property
    def money(self) -> Decimal:
        return self.sold * self.price_each

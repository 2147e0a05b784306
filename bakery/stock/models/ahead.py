"""Dough, blanks and transfers made before any order needs them."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone


class MadeAhead(models.Model):
    """Dough, blanks or transfers made before any order needs them. The freezer stops their ageing."""

    class What(models.TextChoices):
        DOUGH = "dough", "dough"
        BLANK = "blank", "blanks"
        TRANSFER = "transfer", "transfers"

    class Place(models.TextChoices):
        COUNTER = "counter", "counter"
        TIN = "tin", "tin"
        FRIDGE = "fridge", "fridge"
        FREEZER = "freezer", "freezer"

    what = models.CharField(max_length=8, choices=What.choices)
    shape = models.CharField("cutter, or design of the transfers", max_length=90, blank=True, default="")
    quantity = models.PositiveIntegerField(validators=[MinValueValidator(1), MaxValueValidator(5000)])
    place = models.CharField(max_length=8, choices=Place.choices, default=Place.TIN)
    made_on = models.DateTimeField(default=timezone.now)
    since = models.DateTimeField("in this place since", default=timezone.now)
    aged_days = models.FloatField("days old when it came there, frozen days not counted", default=0)
    keeps_until = models.DateField(null=True, blank=True)
    for_order = models.CharField("key of the only order it is for", max_length=12, blank=True, default="")
    note = models.CharField(max_length=80, blank=True, default="")

    class Meta:
        ordering = ["keeps_until", "pk"]

    def __str__(self):
        return f"{self.get_place_display()}: {self.quantity} {self.shape} {self.get_what_display()}"


class AheadUse(models.Model):
    """So many of them go into an order (`order`, `line` are its keys), or are gone for another reason.

    Until they are `used` they are only spoken for.
    """

    item = models.ForeignKey(MadeAhead, on_delete=models.CASCADE, related_name="uses")
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

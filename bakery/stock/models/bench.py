"""What was tried at the bench: sprayed swatches, and how long a cleaning took."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone

from bakery.studio.models import Picture

from .items import HEX


class Swatch(models.Model):
    """A sprayed patch that has dried, and the colour it dried to. `drops` is {"<item pk>": drops}."""

    drops = models.JSONField()
    ground = models.CharField("icing under it", max_length=7, default="#f4f1e8", validators=[HEX])
    coats = models.DecimalField(
        max_digits=3,
        decimal_places=1,
        default=Decimal("1"),
        validators=[MinValueValidator(Decimal("0.1")), MaxValueValidator(10)],
    )
    hex = models.CharField("dried to", max_length=7, validators=[HEX])
    wanted = models.CharField("was to become", max_length=7, blank=True, default="", validators=[HEX])
    photo = models.ForeignKey(Picture, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    refused = models.BooleanField("she will not have it count", default=False)

    class Meta:
        ordering = ["at", "pk"]
        verbose_name_plural = "swatches"

    def __str__(self):
        return f"Swatch of {self.at:%d %B %Y}"


class CleaningTime(models.Model):
    """Minutes from one airbrush colour to the next, timed once. `*_drops` as in a swatch, or empty."""

    before_hex = models.CharField(max_length=7, validators=[HEX])
    after_hex = models.CharField(max_length=7, validators=[HEX])
    before_drops = models.JSONField(default=dict, blank=True)
    after_drops = models.JSONField(default=dict, blank=True)
    minutes = models.DecimalField(
        max_digits=4, decimal_places=1, validators=[MinValueValidator(0), MaxValueValidator(60)]
    )
    at = models.DateTimeField(default=timezone.now)
    refused = models.BooleanField("she will not have it count", default=False)

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self):
        return f"{self.minutes} min, {self.at:%d %B %Y}"

"""Named shades, and the bottles they are made from."""

from django.core.validators import MinValueValidator
from django.db import models

from bakery.studio.models import Picture

from .items import HEX, StockItem


class Colour(models.Model):
    """A named shade in one medium: icing takes gel or paste, the airbrush takes airbrush colour only."""

    class Medium(models.TextChoices):
        ICING = "icing", "icing"
        AIRBRUSH = "airbrush", "airbrush"

    name = models.CharField(max_length=40)
    medium = models.CharField(max_length=8, choices=Medium.choices, default=Medium.ICING)
    hex = models.CharField(max_length=7, validators=[HEX])
    note = models.CharField(max_length=200, blank=True, default="")
    put_away = models.BooleanField(default=False)
    photo_mixed = models.ForeignKey(
        Picture, on_delete=models.SET_NULL, null=True, blank=True, related_name="+", verbose_name="when mixed"
    )
    photo_dry = models.ForeignKey(
        Picture, on_delete=models.SET_NULL, null=True, blank=True, related_name="+", verbose_name="when dry"
    )
    rest_hours = models.PositiveSmallIntegerField("deepens for, hours", default=0)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["name", "medium"], name="one_shade_a_medium")]

    def __str__(self):
        return self.name


class ColourPart(models.Model):
    """One bottle's share of a colour: drops in 100 g of icing, or drops in the airbrush cup."""

    colour = models.ForeignKey(Colour, on_delete=models.CASCADE, related_name="parts")
    item = models.ForeignKey(StockItem, on_delete=models.PROTECT, related_name="colour_parts")
    drops = models.DecimalField(max_digits=5, decimal_places=1, validators=[MinValueValidator(0)])
    grams = models.DecimalField("or grams, of a paste", max_digits=6, decimal_places=2, null=True, blank=True,
                                validators=[MinValueValidator(0)])  # fmt: skip

    class Meta:
        ordering = ["-drops"]
        constraints = [models.UniqueConstraint(fields=["colour", "item"], name="one_part_a_bottle")]

    def __str__(self):
        return f"{self.drops} drops"

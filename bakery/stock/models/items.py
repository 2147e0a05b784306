"""What is bought, and what she says there is of it."""

from decimal import Decimal

from django.core.validators import MinValueValidator, RegexValidator
from django.db import models
from django.utils import timezone

HEX = RegexValidator(r"^#[0-9a-fA-F]{6}\Z", "A colour looks like #a1b2c3.")


class Level(models.TextChoices):
    HAVE = "have", "have"
    LOW = "low", "low"
    OUT = "out", "out"


class StockItem(models.Model):
    """Something bought. Have, low or out is enough to start; amounts come where they matter."""

    class Group(models.TextChoices):
        AIRBRUSH = "airbrush", "Airbrush bottles"
        GEL = "gel", "Gel and paste"
        DUST = "dust", "Dust and paint"
        DRY = "dry", "Dry goods"
        FRESH = "fresh", "Fridge"
        WAFER = "wafer", "Wafer paper"
        PACKING = "packing", "Packing"

    class Unit(models.TextChoices):
        GRAM = "g", "g"
        MILLILITRE = "ml", "ml"
        DROP = "drop", "drops"
        PIECE = "piece", "pieces"
        SHEET = "sheet", "sheets"

    class Hides(models.TextChoices):
        DYE = "dye", "clear, a dye"
        OPAQUE = "opaque", "covers"
        WHITE = "white", "white, covers well"

    name = models.CharField(max_length=80, unique=True)
    group = models.CharField(max_length=10, choices=Group.choices)
    unit = models.CharField(max_length=6, choices=Unit.choices, default=Unit.GRAM)
    level = models.CharField(max_length=4, choices=Level.choices, default=Level.HAVE)
    pack_size = models.DecimalField(max_digits=10, decimal_places=2, default=Decimal("1"),
                                    validators=[MinValueValidator(Decimal("0.01"))])  # fmt: skip
    pack_price = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True,
                                     validators=[MinValueValidator(0)])  # fmt: skip
    supplier = models.CharField(max_length=80, blank=True, default="")
    lead_days = models.PositiveSmallIntegerField(default=3)
    allergens = models.CharField(max_length=120, blank=True, default="")
    edible = models.BooleanField("says edible and lists its ingredients", default=True)
    shake_first = models.BooleanField("holds white: shake before and during", default=False)
    alcohol = models.BooleanField("contains alcohol", default=False)
    hides = models.CharField("how it covers", max_length=6, choices=Hides.choices, default=Hides.DYE)
    shimmer = models.BooleanField("pearl, metallic or neon: cannot be predicted", default=False)
    hex = models.CharField(max_length=7, blank=True, default="", validators=[HEX])
    measured = models.BooleanField("amounts are kept, not only have, low and out", default=False)
    margin_days = models.PositiveSmallIntegerField("days to spare when buying", default=3)
    keeps_open_days = models.PositiveSmallIntegerField("keeps once opened, days", null=True, blank=True)
    drops_per_ml = models.DecimalField(max_digits=4, decimal_places=1, default=Decimal("20"),
                                       validators=[MinValueValidator(Decimal("1"))])  # fmt: skip

    class Meta:
        ordering = ["group", "name"]

    def __str__(self):
        return self.name


class LevelMark(models.Model):
    """What she said about an item, and when. Only ever added to."""

    item = models.ForeignKey(StockItem, on_delete=models.CASCADE, related_name="marks")
    level = models.CharField(max_length=4, choices=Level.choices)
    before = models.CharField(max_length=4, choices=Level.choices)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["item", "-at"])]

    def __str__(self):
        return f"{self.get_level_display()}, {self.at:%d %B %Y}"

"""The cupboard: what there is, and the colours made from it."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
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
    hex = models.CharField(max_length=7, blank=True, default="", validators=[HEX])

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


class Colour(models.Model):
    """A named shade in one medium: icing takes gel or paste, the airbrush takes airbrush colour only."""

    class Medium(models.TextChoices):
        ICING = "icing", "icing"
        AIRBRUSH = "airbrush", "airbrush"

    name = models.CharField(max_length=40)
    medium = models.CharField(max_length=8, choices=Medium.choices, default=Medium.ICING)
    hex = models.CharField(max_length=7, validators=[HEX])
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

    class Meta:
        ordering = ["-drops"]
        constraints = [models.UniqueConstraint(fields=["colour", "item"], name="one_part_a_bottle")]

    def __str__(self):
        return f"{self.drops} drops"


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

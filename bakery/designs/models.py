"""Kinds of cookie, designs with their layers, and the stencils they are laid with."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.text import slugify

from bakery.stock.models import Colour
from bakery.studio.models import Picture


class Kind(models.Model):
    """A named level of work: enough for a promise, a plan and a price before any design exists."""

    key = models.SlugField(max_length=20, unique=True)
    name = models.CharField(max_length=40)
    position = models.PositiveSmallIntegerField(default=0)
    minutes = models.DecimalField("own decorating minutes a cookie", max_digits=5, decimal_places=2,
                                  null=True,
                                  blank=True, validators=[MinValueValidator(0)])  # fmt: skip

    class Meta:
        ordering = ["position"]

    def __str__(self):
        return self.name


class StencilSet(models.Model):
    name = models.CharField(max_length=60, unique=True)
    fits_width_mm = models.PositiveSmallIntegerField(null=True, blank=True)
    fits_height_mm = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True, default="")

    class Meta:
        ordering = ["name"]

    def __str__(self):
        return self.name


class StencilPiece(models.Model):
    class Role(models.TextChoices):
        BACKGROUND = "background", "background"
        MASK = "mask", "mask"
        SHADING = "shading", "shading"
        FRAME = "frame", "frame"
        LETTERING = "lettering", "lettering"

    stencil_set = models.ForeignKey(StencilSet, on_delete=models.CASCADE, related_name="pieces")
    name = models.CharField(max_length=60)
    role = models.CharField(max_length=10, choices=Role.choices, default=Role.BACKGROUND)
    copies = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1)])
    cut_out_percent = models.PositiveSmallIntegerField(default=25, validators=[MaxValueValidator(100)])

    class Meta:
        ordering = ["stencil_set", "pk"]
        constraints = [models.UniqueConstraint(fields=["stencil_set", "name"], name="one_piece_a_name")]

    def __str__(self):
        return f"{self.stencil_set.name}, {self.name}"

    @property
    def resource(self):
        """The planner's name for this piece."""
        return f"stencil/{slugify(self.stencil_set.name)}-{slugify(self.name)}"


class Design(models.Model):
    class Shape(models.TextChoices):
        ROUND = "round", "round"
        PLAQUE = "plaque", "plaque"
        CARD = "card", "card"
        BURGEE = "burgee", "burgee"
        SQUARE = "square", "square"
        OVAL = "oval", "oval"
        HEART = "heart", "heart"
        STAR = "star", "star"
        LEAF = "leaf", "leaf"

    name = models.CharField(max_length=80, unique=True)
    slug = models.SlugField(max_length=90, unique=True)
    kind = models.ForeignKey(Kind, on_delete=models.PROTECT, related_name="designs")
    shape = models.CharField(max_length=10, choices=Shape.choices, default=Shape.ROUND)
    width_mm = models.PositiveSmallIntegerField(
        default=75, validators=[MinValueValidator(15), MaxValueValidator(300)]
    )
    height_mm = models.PositiveSmallIntegerField(
        default=75, validators=[MinValueValidator(15), MaxValueValidator(300)]
    )
    area_cm2 = models.DecimalField(max_digits=6, decimal_places=1, default=Decimal("46"),
                                   validators=[MinValueValidator(1)])  # fmt: skip
    motif = models.CharField("drawn as", max_length=20, blank=True, default="")
    text = models.CharField("lettered on every cookie", max_length=40, blank=True, default="")
    note = models.TextField(blank=True, default="", max_length=4000)
    picture_from = models.CharField("where the idea came from", max_length=200, blank=True, default="")
    picture = models.ForeignKey(Picture, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    put_away = models.BooleanField(default=False)
    numbers = models.JSONField("the highest number a layer of each kind ever had", default=dict, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["name"]

    def __str__(self):
        return self.name


class Variation(models.Model):
    """The same design on another base colour."""

    design = models.ForeignKey(Design, on_delete=models.CASCADE, related_name="variations")
    position = models.PositiveSmallIntegerField(default=0)
    base = models.ForeignKey(Colour, on_delete=models.PROTECT, related_name="+")
    motif = models.ForeignKey(Colour, on_delete=models.PROTECT, related_name="+", null=True, blank=True)
    detail = models.ForeignKey(Colour, on_delete=models.PROTECT, related_name="+", null=True, blank=True)

    class Meta:
        ordering = ["design", "position"]
        constraints = [models.UniqueConstraint(fields=["design", "base"], name="one_variation_a_base")]

    def __str__(self):
        return self.base.name


class Layer(models.Model):
    """One application with its own drying. In a variation the first flood takes the base colour."""

    class Kind(models.TextChoices):
        FLOOD = "flood", "flood coat"
        SPRAY = "spray", "spray"
        ICING_PASS = "icing_pass", "icing through a stencil"
        PIPED = "piped", "piped work"
        LETTERING = "lettering", "lettering"
        TRANSFER = "transfer", "transfer"
        WAFER = "wafer", "wafer-paper piece"
        BRUSH = "brush", "dusting or painting"

    class Wait(models.TextChoices):
        OUTLINE_SET = "outline_set", "outline set"
        CRUSTED = "crusted", "crusted"
        FIRM = "firm", "firm"
        BASE_DRY = "base_dry", "base dry"
        WAFER_DRY = "wafer_dry", "dry for wafer paper"
        DRY_THROUGH = "dry_through", "dry through"

    class AnotherWay(models.TextChoices):
        NONE = "", "none"
        SPRAY = "spray", "spray"
        ICING = "icing", "icing through the stencil"
        SPONGE = "sponge", "sponge"

    design = models.ForeignKey(Design, on_delete=models.CASCADE, related_name="layers")
    position = models.PositiveSmallIntegerField()
    number = models.PositiveSmallIntegerField("among those of its kind, for good; 0: by position", default=0)
    kind = models.CharField(max_length=10, choices=Kind.choices)
    title = models.CharField(max_length=60, blank=True, default="")
    wait = models.CharField(
        "needs what is below to be", max_length=12, choices=Wait.choices, blank=True, default=""
    )
    minutes_per_cookie = models.DecimalField(max_digits=5, decimal_places=2, null=True, blank=True,
                                             validators=[MinValueValidator(0)])  # fmt: skip
    grams_per_cookie = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True,
                                           validators=[MinValueValidator(0)])  # fmt: skip
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1, default=Decimal("2.5"),
                                       validators=[MinValueValidator(Decimal("0.1"))])  # fmt: skip
    dots = models.PositiveSmallIntegerField(null=True, blank=True)
    pieces = models.PositiveSmallIntegerField(
        "wafer pieces a cookie", default=1, validators=[MinValueValidator(1), MaxValueValidator(50)]
    )
    piece_width_mm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(3), MaxValueValidator(300)]
    )
    piece_height_mm = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(3), MaxValueValidator(300)]
    )
    placings = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1)])
    stencils = models.ManyToManyField(StencilPiece, blank=True, related_name="layers")
    another_way = models.CharField(max_length=6, choices=AnotherWay.choices, blank=True, default="")
    another_way_minutes = models.DecimalField(max_digits=5, decimal_places=2, null=True, blank=True)

    class Meta:
        ordering = ["design", "position"]
        constraints = [models.UniqueConstraint(fields=["design", "position"], name="one_layer_a_position")]

    def __str__(self):
        return self.title or self.get_kind_display()


class LayerColour(models.Model):
    """The colours of a layer, in the order in which they are laid down."""

    layer = models.ForeignKey(Layer, on_delete=models.CASCADE, related_name="layer_colours")
    colour = models.ForeignKey(Colour, on_delete=models.PROTECT, related_name="+")
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["layer", "position"]
        constraints = [models.UniqueConstraint(fields=["layer", "colour"], name="one_colour_a_layer")]

    def __str__(self):
        return f"colour {self.position + 1}"

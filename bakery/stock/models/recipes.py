"""Her recipes: dough by the batch of so many cookies, icing by the batch of so many grams."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from .items import StockItem


class Recipe(models.Model):
    """A batch. "Makes 20" is enough to start; what goes in may follow."""

    class What(models.TextChoices):
        DOUGH = "dough", "dough"
        ICING = "icing", "icing"

    what = models.CharField(max_length=5, choices=What.choices)
    name = models.CharField(max_length=60, unique=True)
    usual = models.BooleanField("the one she makes unless she says otherwise", default=False)
    cookies = models.PositiveSmallIntegerField(
        "cookies a batch", default=20, validators=[MinValueValidator(1), MaxValueValidator(500)]
    )
    area_cm2 = models.DecimalField(
        "of the cutter it was counted with",
        max_digits=6,
        decimal_places=1,
        default=Decimal("46"),
        validators=[MinValueValidator(1)],
    )
    thickness_mm = models.DecimalField(
        max_digits=4,
        decimal_places=1,
        default=Decimal("6"),
        validators=[MinValueValidator(1), MaxValueValidator(30)],
    )
    rerolls = models.PositiveSmallIntegerField(default=1, validators=[MaxValueValidator(3)])
    note = models.CharField(max_length=200, blank=True, default="")

    class Meta:
        ordering = ["what", "-usual", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["what"], condition=models.Q(usual=True), name="one_usual_recipe_each"
            ),
        ]

    def __str__(self):
        return self.name


class RecipePart(models.Model):
    """One ingredient as she wrote it, and its grams where they are known: asked for, never guessed."""

    recipe = models.ForeignKey(Recipe, on_delete=models.CASCADE, related_name="parts")
    position = models.PositiveSmallIntegerField(default=0)
    name = models.CharField(max_length=60)
    item = models.ForeignKey(
        StockItem, on_delete=models.SET_NULL, related_name="recipe_parts", null=True, blank=True
    )
    amount = models.DecimalField(max_digits=10, decimal_places=3, validators=[MinValueValidator(0)])
    unit = models.CharField("g, cup, tbsp, egg ...", max_length=20, blank=True, default="g")
    grams = models.DecimalField(
        max_digits=10, decimal_places=3, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    about = models.BooleanField("by the cup or spoon: about", default=False)

    class Meta:
        ordering = ["recipe", "position"]
        constraints = [models.UniqueConstraint(fields=["recipe", "position"], name="one_part_a_position")]

    def __str__(self):
        return self.name

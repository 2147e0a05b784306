"""What Money adds up, kept by order so that a page of years is quick.

All of it (but for Pace) follows from other rows and can be worked out anew; nothing here is typed. Money is
whole pence and time in whole seconds: sums are exact on every database.
"""

from django.db import models
from django.db.models import Q
from django.utils import timezone

from bakery.designs.models import Design, Kind
from bakery.orders.models import Order

FIGURES = ("cookies", "brought", "cost", "thought", "took")


class OrderSum(models.Model):
    """One order, as thought and as it was. `made` counts in what an hour pays; `brought` None: not known."""

    order = models.OneToOneField(Order, on_delete=models.CASCADE, primary_key=True, related_name="sums")
    on = models.DateField("day of the hand-over")
    month = models.DateField("its first day")
    made = models.BooleanField(default=False)
    for_stock = models.BooleanField(default=False)
    cookies = models.PositiveIntegerField(default=0)
    asked = models.BigIntegerField(null=True, blank=True)
    came_in = models.BigIntegerField(default=0)
    given_back = models.BigIntegerField(default=0)
    brought = models.BigIntegerField(null=True, blank=True)
    owed = models.BigIntegerField(default=0)
    due_on = models.DateField(null=True, blank=True)
    cost = models.BigIntegerField("fee, tax, material, power, road, rent", default=0)
    cost_thought = models.BigIntegerField(default=0)
    material = models.BigIntegerField("as it was, part of the cost", default=0)
    material_thought = models.BigIntegerField(default=0)
    thought = models.PositiveIntegerField("seconds", default=0)
    took = models.PositiveIntegerField("seconds", default=0)
    timed = models.PositiveIntegerField("of the seconds thought, those that were timed", default=0)

    class Meta:
        ordering = ["-on", "-pk"]
        indexes = [
            models.Index(fields=["made", "on"]),
            models.Index(fields=["made", "month"]),
            models.Index(fields=["due_on"], condition=Q(owed__gt=0), name="orders_that_owe"),
        ]

    def __str__(self):
        return f"Sums of order {self.order_id}"


class LineSum(models.Model):
    """A line's share of its order; the lines of an order add up to it."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="line_sums")
    key = models.CharField("as the planner names it", max_length=24)
    on = models.DateField()
    made = models.BooleanField(default=False)
    known = models.BooleanField("what it brought is known", default=False)
    design = models.ForeignKey(Design, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    kind = models.ForeignKey(Kind, on_delete=models.CASCADE, related_name="+")
    cookies = models.PositiveIntegerField(default=0)
    brought = models.BigIntegerField(default=0)
    cost = models.BigIntegerField(default=0)
    thought = models.PositiveIntegerField(default=0)
    took = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "key"]
        indexes = [
            models.Index(fields=["made", "on"]),
            models.Index(fields=["key"]),
            # Whole rows in the order of their groups: sums over all the years read nothing else.
            models.Index(fields=["made", "known", "design", "on", "order", *FIGURES], name="lines_by_design"),
            models.Index(fields=["made", "known", "kind", "on", "order", *FIGURES], name="lines_by_kind"),
        ]

    def __str__(self):
        return self.key


class WorkSum(models.Model):
    """Work of one sort that was timed for an order: as thought, and as long as it took."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="work_sums")
    on = models.DateField("the last day of it")
    work = models.CharField(max_length=12)
    thought = models.PositiveIntegerField(default=0)
    took = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["order", "work"]
        indexes = [models.Index(fields=["on", "work", "thought", "took"], name="work_by_day")]

    def __str__(self):
        return f"{self.work} for {self.order_id}"


class Mark(models.Model):
    """How far a table of things said has been added up."""

    name = models.CharField(max_length=16, primary_key=True)
    upto = models.BigIntegerField(default=0)

    def __str__(self):
        return f"{self.name} up to {self.upto}"


class Pace(models.Model):
    """She took over how long a sort of work really takes. Undone, everything is as it was before."""

    work = models.CharField(max_length=12)
    factor = models.DecimalField("times the minutes before", max_digits=5, decimal_places=3)
    at = models.DateTimeField(default=timezone.now)
    rests_on = models.PositiveIntegerField("orders", default=0)
    before = models.JSONField("minutes of kinds and layers before", default=dict)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return f"{self.work} takes {self.factor} times"

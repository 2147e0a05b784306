"""The ledger of the cupboard: deliveries, packets, and the moves that are only ever added to.

A packet's `left` and `cost_left` are the sums of its moves, kept in the same transaction as each move; a test
adds them up again. Quantities are in the item's own unit (a tub of icing in grams, a blend in drops).
"""

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils import timezone

from .colours import Colour
from .items import StockItem

NOTHING = Decimal("0")


class Delivery(models.Model):
    """One shop's bag or parcel. The token of its form makes a second press harmless."""

    supplier = models.CharField(max_length=80, blank=True, default="")
    on = models.DateField()
    note = models.CharField(max_length=120, blank=True, default="")
    token = models.UUIDField(unique=True, editable=False)
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-on", "-pk"]
        verbose_name_plural = "deliveries"

    def __str__(self):
        return f"{self.supplier or 'A delivery'}, {self.on:%d %B %Y}"


class Packet(models.Model):
    """A lot: a packet, a bottle, some sheets; or a colour mixed here, which is a lot of its own."""

    class Origin(models.TextChoices):
        BOUGHT = "bought", "bought"
        MADE = "made", "made here"
        FOUND = "found", "found at a count"

    item = models.ForeignKey(
        StockItem, on_delete=models.PROTECT, related_name="packets", null=True, blank=True
    )
    colour = models.ForeignKey(Colour, on_delete=models.PROTECT, related_name="tubs", null=True, blank=True)
    code = models.CharField("written on it", max_length=12, unique=True)
    origin = models.CharField(max_length=6, choices=Origin.choices, default=Origin.BOUGHT)
    delivery = models.ForeignKey(
        Delivery, on_delete=models.PROTECT, related_name="packets", null=True, blank=True
    )
    maker_lot = models.CharField("lot printed by the maker", max_length=40, blank=True, default="")
    came_on = models.DateField()
    best_before = models.DateField(null=True, blank=True)
    opened_on = models.DateField(null=True, blank=True)
    use_by = models.DateField("best before, or sooner once opened", null=True, blank=True)
    quantity = models.DecimalField(
        "that came", max_digits=12, decimal_places=3, validators=[MinValueValidator(0)]
    )
    cost = models.DecimalField(
        "that it cost", max_digits=12, decimal_places=2, default=NOTHING, validators=[MinValueValidator(0)]
    )
    left = models.DecimalField(max_digits=12, decimal_places=3, default=NOTHING)
    cost_left = models.DecimalField(max_digits=12, decimal_places=2, default=NOTHING)
    width_mm = models.PositiveSmallIntegerField("of a sheet's offcut", null=True, blank=True)
    height_mm = models.PositiveSmallIntegerField("of a sheet's offcut", null=True, blank=True)
    place = models.CharField(max_length=40, blank=True, default="")
    note = models.CharField(max_length=120, blank=True, default="")

    class Meta:
        ordering = [F("use_by").asc(nulls_last=True), "came_on", "pk"]
        indexes = [
            models.Index(fields=["item", "use_by"], condition=Q(left__gt=0), name="packets_with_some_left"),
            models.Index(fields=["colour", "use_by"], condition=Q(left__gt=0), name="tubs_with_some_left"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(item__isnull=False, colour__isnull=True)
                | Q(item__isnull=True, colour__isnull=False),
                name="a_packet_holds_one_thing",
            ),
            models.CheckConstraint(
                condition=Q(left__gte=0, cost_left__gte=0), name="a_packet_is_never_less_than_empty"
            ),
        ]

    def __str__(self):
        return f"{self.code}, {self.item or self.colour}"

    def get_absolute_url(self) -> str:
        return reverse("packet", args=[self.code])

    @property
    def unit(self) -> str:
        if self.item_id:
            return self.item.unit
        return StockItem.Unit.GRAM if self.colour.medium == Colour.Medium.ICING else StockItem.Unit.DROP


class Move(models.Model):
    """What came to a packet or went from it. Only ever added to; an undo is a move of its own.

    `order` is the key of the order it went into, `into` the packet that was mixed from it. The same `token`
    never moves the same packet twice.
    """

    class Kind(models.TextChoices):
        RECEIVE = "receive", "came in"
        USE = "use", "used"
        MAKE = "make", "made"
        WASTE = "waste", "thrown away"
        COUNT = "count", "counted"
        BACK = "back", "put back"

    packet = models.ForeignKey(Packet, on_delete=models.PROTECT, related_name="moves")
    kind = models.CharField(max_length=7, choices=Kind.choices)
    quantity = models.DecimalField("more, or less", max_digits=12, decimal_places=3)
    cost = models.DecimalField(max_digits=12, decimal_places=2, default=NOTHING)
    at = models.DateTimeField(default=timezone.now)
    order = models.CharField("key of the order", max_length=12, blank=True, default="")
    into = models.ForeignKey(Packet, on_delete=models.PROTECT, related_name="made_of", null=True, blank=True)
    undoes = models.OneToOneField(
        "self", on_delete=models.PROTECT, related_name="undone_by", null=True, blank=True
    )
    flagged = models.BooleanField("the books said too little; to be asked about", default=False)
    reason = models.CharField(max_length=120, blank=True, default="")
    token = models.CharField(max_length=64, blank=True, default="")

    class Meta:
        ordering = ["at", "pk"]
        indexes = [
            models.Index(fields=["packet", "at"]),
            models.Index(fields=["order"], condition=~Q(order=""), name="moves_of_an_order"),
            models.Index(fields=["at"]),
            models.Index(fields=["flagged"], condition=Q(flagged=True), name="moves_to_ask_about"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["token", "packet", "kind"], condition=~Q(token=""), name="a_token_moves_a_packet_once"
            ),
        ]

    def __str__(self):
        return f"{self.get_kind_display()}, {self.quantity}"


class Reserve(models.Model):
    """What an order will want of an item: softly on a quote or while held, firmly once it is booked."""

    item = models.ForeignKey(StockItem, on_delete=models.CASCADE, related_name="reserves")
    order = models.CharField("key of the order", max_length=12)
    quantity = models.DecimalField(max_digits=12, decimal_places=3, validators=[MinValueValidator(0)])
    wanted_at = models.DateTimeField("when the first job needs it", null=True, blank=True)
    firm = models.BooleanField(default=False)
    days = models.JSONField("what it takes by the day: moment and quantity", blank=True, default=list)

    class Meta:
        ordering = ["wanted_at", "pk"]
        constraints = [models.UniqueConstraint(fields=["item", "order"], name="one_reserve_an_order")]
        indexes = [models.Index(fields=["order"])]

    def __str__(self):
        return f"{self.quantity} for {self.order}"

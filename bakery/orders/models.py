"""Orders: what is wanted, for what and when, how far it is, what was quoted and paid."""

import uuid

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from bakery.customers.models import Customer
from bakery.designs.models import Design, Kind, Variation

from .ways import check_changes, check_ways

MOST_COOKIES = 5000


class State(models.TextChoices):
    ENQUIRY = "enquiry", "Enquiry"
    QUOTED = "quoted", "Quoted"
    HELD = "held", "Held"
    BOOKED = "booked", "Booked"
    APPROVED = "approved", "Proof approved"
    KITCHEN = "kitchen", "In the kitchen"
    READY = "ready", "Ready"
    HANDED_OVER = "handed_over", "Handed over"
    DECLINED = "declined", "Declined"
    LAPSED = "lapsed", "Lapsed"
    CANCELLED = "cancelled", "Cancelled"
    MOVED = "moved", "Moved"


# An order in one of these is planned; held orders keep their place softly.
PLANNED_STATES = (State.HELD, State.BOOKED, State.APPROVED, State.KITCHEN, State.READY)
OPEN_STATES = (State.ENQUIRY, State.QUOTED, *PLANNED_STATES)
CLOSED_STATES = (State.HANDED_OVER, State.DECLINED, State.LAPSED, State.CANCELLED, State.MOVED)


class Order(models.Model):
    class Way(models.TextChoices):
        COLLECTED = "collected", "collected here"
        DELIVERED = "delivered", "delivered"
        POSTED = "posted", "posted"
        STALL = "stall", "for the stall"

    class Allergy(models.TextChoices):
        NOT_ASKED = "not_asked", "not asked yet"
        NONE = "none", "none, they say"
        TOLD = "told", "told us"

    number = models.PositiveIntegerField(unique=True)
    token = models.UUIDField("of the form that made it", unique=True, default=uuid.uuid4, editable=False)
    customer = models.ForeignKey(
        Customer, on_delete=models.PROTECT, related_name="orders", null=True, blank=True
    )
    title = models.CharField(max_length=120)
    event_at = models.DateTimeField("worthless after", null=True, blank=True)
    hand_over_at = models.DateTimeField()
    way = models.CharField(max_length=10, choices=Way.choices, default=Way.COLLECTED)
    place = models.CharField(max_length=120, blank=True, default="")
    travel_minutes = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(600)])
    distance_km = models.DecimalField(
        "to the door, one way", max_digits=6, decimal_places=1, null=True, blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(2000)],
    )  # fmt: skip
    transit_days = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(14)])
    state = models.CharField(max_length=12, choices=State.choices, default=State.ENQUIRY)
    for_stock = models.BooleanField("made for stock: soft", default=False)
    bake_ahead = models.BooleanField("blanks baked ahead and frozen", default=False)
    platter_holds = models.PositiveSmallIntegerField(
        "cookies on one platter", null=True, blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(5000)],
    )  # fmt: skip
    allergy_state = models.CharField(max_length=10, choices=Allergy.choices, default=Allergy.NOT_ASKED)
    allergies = models.CharField(max_length=200, blank=True, default="")
    deposit_paid = models.BooleanField(default=False)
    budget = models.DecimalField(
        max_digits=9, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(0)]
    )
    own_price = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True,
                                    validators=[MinValueValidator(0)])  # fmt: skip
    their_words = models.TextField("what they wrote", blank=True, default="", max_length=8000)
    note = models.TextField(blank=True, default="", max_length=8000)
    held_until = models.DateTimeField(null=True, blank=True)
    made_again_from = models.ForeignKey(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="again"
    )
    revision = models.PositiveIntegerField(default=1)
    lines_ever = models.PositiveSmallIntegerField("highest place a line ever had", default=0, editable=False)
    created_at = models.DateTimeField(default=timezone.now)
    updated_at = models.DateTimeField(auto_now=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["hand_over_at", "number"]
        indexes = [
            models.Index(fields=["state", "hand_over_at"]),
            models.Index(fields=["hand_over_at"]),
        ]

    def __str__(self):
        return f"{self.title}, {self.number}"

    @property
    def is_open(self):
        return self.state in OPEN_STATES

    @property
    def is_planned(self):
        return self.state in PLANNED_STATES

    @property
    def key(self):
        """The planner's name for this order."""
        return f"o{self.number}"


class OrderLine(models.Model):
    class Stage(models.TextChoices):
        NOTHING = "nothing", "nothing yet"
        DOUGH = "dough", "dough made"
        BAKED = "baked", "baked"
        FLOODED = "flooded", "flooded"
        SPRAYED = "sprayed", "sprayed"
        DECORATED = "decorated", "all icing on"
        PACKED = "packed", "packed"

    class Packaging(models.TextChoices):
        BAG = "bag", "each in a sealed bag"
        BOX = "box", "boxed"
        PLATTER = "platter", "on a platter"
        NONE = "none", "loose"

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    kind = models.ForeignKey(Kind, on_delete=models.PROTECT, related_name="+")
    design = models.ForeignKey(Design, on_delete=models.PROTECT, null=True, blank=True, related_name="lines")
    variation = models.ForeignKey(
        Variation, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    quantity = models.PositiveIntegerField(validators=[MinValueValidator(1), MaxValueValidator(MOST_COOKIES)])
    designs = models.PositiveSmallIntegerField(
        default=1, validators=[MinValueValidator(1), MaxValueValidator(200)]
    )
    colours = models.PositiveSmallIntegerField(
        default=1, validators=[MinValueValidator(1), MaxValueValidator(30)]
    )
    spares = models.PositiveSmallIntegerField(null=True, blank=True)
    packaging = models.CharField(max_length=8, choices=Packaging.choices, default=Packaging.BAG)
    stage = models.CharField("where is it now", max_length=10, choices=Stage.choices, default=Stage.NOTHING)
    stage_at = models.DateTimeField(null=True, blank=True)
    ways = models.JSONField(
        "made simpler: codes of craft.costing.made_simpler", default=list, blank=True, validators=[check_ways]
    )

    class Meta:
        ordering = ["order", "position"]
        constraints = [models.UniqueConstraint(fields=["order", "position"], name="one_line_a_position")]

    def __str__(self):
        return f"{self.quantity} {self.title}"

    @property
    def key(self):
        return f"{self.order.key}.l{self.position}"

    @property
    def title(self):
        name = self.design.name if self.design else self.kind.name
        return f"{name}, {self.variation.base.name}" if self.variation else name


class Option(models.Model):
    """Another version of an order, for the customer to choose from: what differs, and nothing else.

    `changes` names lines by their place, {"1": {"quantity": 24, "ways": ["without.piped.1"]}}, so that all
    that changes in the order later changes here too. Chosen or put away, it stays to be taken again.
    """

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="options")
    title = models.CharField(max_length=80)
    changes = models.JSONField(default=dict, validators=[check_changes])
    offered = models.BooleanField("stands beside the order", default=True)
    chosen_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self):
        return self.title


class Name(models.Model):
    """One name to letter, exactly as it was given."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="names")
    position = models.PositiveSmallIntegerField()
    text = models.CharField(max_length=60)

    class Meta:
        ordering = ["order", "position"]
        constraints = [models.UniqueConstraint(fields=["order", "position"], name="one_name_a_position")]

    def __str__(self):
        return self.text


class StateChange(models.Model):
    """How an order went. Only ever added to."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="changes")
    before = models.CharField(max_length=12, choices=State.choices, blank=True, default="")
    state = models.CharField(max_length=12, choices=State.choices)
    at = models.DateTimeField(default=timezone.now)
    note = models.CharField(max_length=200, blank=True, default="")

    class Meta:
        ordering = ["order", "at", "pk"]

    def __str__(self):
        return f"{self.get_state_display()}, {self.at:%d %B %Y}"


class Quote(models.Model):
    """A numbered snapshot. Never changed once made; a new version is a new row."""

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="quotes")
    version = models.PositiveSmallIntegerField(default=1)
    made_at = models.DateTimeField(default=timezone.now)
    valid_until = models.DateTimeField()
    total = models.DecimalField(max_digits=9, decimal_places=2)
    deposit = models.DecimalField(max_digits=9, decimal_places=2)
    snapshot = models.JSONField()

    class Meta:
        ordering = ["order", "version"]
        constraints = [models.UniqueConstraint(fields=["order", "version"], name="one_quote_a_version")]

    def __str__(self):
        return f"Quote {self.order.number}, version {self.version}"

    def save(self, *args, **kwargs):
        if self.pk and not self._state.adding:
            raise ValueError("A quote is never changed; make a new version.")
        super().save(*args, **kwargs)


class Payment(models.Model):
    """Money that came in: recorded, never processed."""

    class What(models.TextChoices):
        DEPOSIT = "deposit", "deposit"
        BALANCE = "balance", "balance"
        REFUND = "refund", "given back"

    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="payments")
    what = models.CharField(max_length=8, choices=What.choices)
    amount = models.DecimalField(max_digits=9, decimal_places=2, validators=[MinValueValidator(0)])
    on = models.DateField()
    note = models.CharField(max_length=120, blank=True, default="")

    class Meta:
        ordering = ["on", "pk"]
        indexes = [models.Index(fields=["on", "what", "amount"], name="payments_by_day")]

    def __str__(self):
        return f"{self.get_what_display()} {self.amount}, {self.on:%d %B %Y}"

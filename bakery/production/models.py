"""The plan on the wall, proposals, her jobs, and what she said about an evening."""

from django.db import models
from django.utils import timezone

from bakery.orders.models import Order, OrderLine


class Plan(models.Model):
    """One checked plan. At most one is on the wall and at most one is proposed."""

    class State(models.TextChoices):
        WALL = "wall", "on the wall"
        PROPOSED = "proposed", "proposed"
        LEFT = "left", "left"
        PAST = "past", "past"

    state = models.CharField(max_length=8, choices=State.choices)
    made_at = models.DateTimeField(default=timezone.now)
    settled_at = models.DateTimeField("taken or left", null=True, blank=True)
    reason = models.CharField("what it answers", max_length=200, blank=True, default="")
    problem = models.JSONField()
    plan = models.JSONField()
    moves = models.JSONField("what moves and why, in words", default=list, blank=True)
    tonight = models.JSONField("verdicts, kept until something is done", null=True, blank=True)
    fingerprint = models.CharField("of what it was made from", max_length=64, blank=True, default="")
    shares = models.JSONField("what goes together in it", default=list, blank=True)

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["state"], condition=models.Q(state="wall"), name="one_plan_on_the_wall"
            ),
            models.UniqueConstraint(
                fields=["state"], condition=models.Q(state="proposed"), name="one_proposal"
            ),
        ]

    def __str__(self):
        return f"{self.get_state_display()}, made {self.made_at:%d %B %H:%M}"


class Job(models.Model):
    """One piece of the baker's work. `key` stays the same from plan to plan."""

    class State(models.TextChoices):
        PLANNED = "planned", "planned"
        STARTED = "started", "started"
        DONE = "done", "done"

    key = models.CharField(max_length=80, unique=True)
    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="jobs")
    line = models.ForeignKey(OrderLine, on_delete=models.SET_NULL, null=True, blank=True, related_name="jobs")
    kind = models.CharField(max_length=12)
    title = models.CharField(max_length=160)
    layer = models.PositiveSmallIntegerField(null=True, blank=True)
    tray = models.PositiveSmallIntegerField(null=True, blank=True)
    trays = models.PositiveSmallIntegerField(default=0)
    cookies = models.PositiveIntegerField(default=0)
    colours = models.JSONField(default=list, blank=True)
    grams = models.FloatField(default=0)
    minutes = models.FloatField("as thought, without padding")
    attended = models.FloatField()
    uses = models.JSONField(default=dict, blank=True)
    state = models.CharField(max_length=8, choices=State.choices, default=State.PLANNED)
    planned_start = models.DateTimeField(null=True, blank=True)
    planned_end = models.DateTimeField(null=True, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    done_at = models.DateTimeField(null=True, blank=True)
    done_count = models.PositiveIntegerField(null=True, blank=True)
    stands_for = models.JSONField("jobs of single orders it took the place of", default=list, blank=True)
    saved = models.PositiveSmallIntegerField("minutes spared by sharing", default=0)
    said = models.BooleanField("she said so herself", default=False)
    pinned = models.BooleanField(default=False)

    class Meta:
        ordering = ["planned_start", "key"]
        indexes = [
            models.Index(fields=["state", "planned_start"]),
            models.Index(fields=["order", "state"]),
            models.Index(fields=["planned_start"]),
            models.Index(fields=["started_at"]),
        ]

    def __str__(self):
        return self.title

    @property
    def served(self) -> list[Order]:
        """Every order it works for; shared work knows several. Prefetch `shares__order` for lists."""
        return [share.order for share in self.shares.all()] or [self.order]

    @property
    def counts(self) -> list[tuple[Order, int]]:
        """How many cookies of each order are in it."""
        shares = list(self.shares.all())
        if not shares:
            return [(self.order, self.cookies if self.done_count is None else self.done_count)]
        return [(share.order, share.cookies) for share in shares]


class JobShare(models.Model):
    """One order's part in a job that serves several."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="shares")
    order = models.ForeignKey(Order, on_delete=models.CASCADE, related_name="job_shares")
    cookies = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["job", "order"], name="one_share_an_order")]

    def __str__(self):
        return f"{self.cookies} for {self.order}"


class KeptApart(models.Model):
    """What she wants made apart although it could be shared."""

    key = models.CharField(max_length=80, unique=True)
    share = models.JSONField("who and what", default=dict)
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return self.key


class Evening(models.Model):
    """A day of baking: the list as it was shown or printed, and what she said about it afterwards."""

    class Answer(models.TextChoices):
        ALL = "all", "all done"
        BUT = "but", "all but some"
        NOTHING = "nothing", "nothing"

    date = models.DateField(unique=True)
    frozen = models.JSONField("the list as first shown", null=True, blank=True)
    frozen_at = models.DateTimeField(null=True, blank=True)
    printed_at = models.DateTimeField(null=True, blank=True)
    answer = models.CharField(max_length=8, choices=Answer.choices, blank=True, default="")
    answered_at = models.DateTimeField(null=True, blank=True)
    finished_at = models.TimeField(null=True, blank=True)

    class Meta:
        ordering = ["-date"]

    def __str__(self):
        return f"{self.date:%d %B %Y}: {self.get_answer_display() or 'not said'}"


class JobEvent(models.Model):
    """What was said about a job and what it was before, so that everything can be undone."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="events")
    what = models.CharField(max_length=12)
    at = models.DateTimeField(default=timezone.now)
    before = models.JSONField(default=dict)
    undone = models.BooleanField(default=False)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self):
        return f"{self.what}, {self.at:%d %B %H:%M}"


class Setback(models.Model):
    """One thing that went wrong, as she said it: what the plan is then made from, and how to take it back."""

    class Kind(models.TextChoices):
        OFF = "off", "no baking"
        HALF = "half", "shorter hours"
        TOOL = "tool", "a tool is out"
        WET = "wet", "not dry yet"
        BROKE = "broke", "broken"
        RAN_OUT = "ran_out", "ran out"
        WAY = "way", "another way"

    kind = models.CharField(max_length=8, choices=Kind.choices)
    at = models.DateTimeField(default=timezone.now)
    words = models.CharField("as a sentence", max_length=200)
    data = models.JSONField("what it is about", default=dict)
    until = models.DateTimeField(null=True, blank=True)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]
        indexes = [models.Index(fields=["undone_at", "kind"])]

    def __str__(self):
        return self.words

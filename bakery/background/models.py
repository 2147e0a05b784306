"""One long computation as a durable row: the row is the queue, the broker only wakes a worker."""

from django.db import models
from django.db.models import Q


class Computation(models.Model):
    """A computation that was asked for; it takes effect once, whatever is killed meanwhile."""

    class State(models.TextChoices):
        QUEUED = "queued", "waiting its turn"
        RUNNING = "running", "being worked out"
        DONE = "done", "done"
        FAILED = "failed", "did not work"
        CANCELLED = "cancelled", "called off"

    ACTIVE = (State.QUEUED, State.RUNNING)

    kind = models.CharField(max_length=60)
    key = models.CharField(max_length=120, blank=True)
    args = models.JSONField(default=dict, blank=True)
    state = models.CharField(max_length=10, choices=State.choices, default=State.QUEUED)
    attempt = models.PositiveSmallIntegerField(default=0)
    owner = models.CharField(max_length=120, blank=True)
    heartbeat = models.DateTimeField(null=True, blank=True)
    sent = models.DateTimeField(null=True, blank=True)
    due = models.DateTimeField(help_text="Not before this moment: a failed attempt waits before the next.")
    rerun = models.BooleanField(
        default=False, help_text="Asked for again while running: run once more after."
    )
    rerun_args = models.JSONField(null=True, blank=True)
    progress = models.FloatField(default=0)
    note = models.CharField(max_length=200, blank=True)
    error = models.TextField(blank=True, help_text="What went wrong, in words for the baker.")
    details = models.TextField(blank=True, help_text="The traceback, for whoever mends it.")
    result = models.JSONField(null=True, blank=True)
    created = models.DateTimeField(auto_now_add=True)
    finished = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "key"],
                condition=Q(state__in=["queued", "running"]),
                name="one_active_computation_per_key",
            ),
        ]
        indexes = [
            models.Index(
                fields=["state", "due"],
                condition=Q(state__in=["queued", "running"]),
                name="active_computations",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.key} ({self.state})".replace("  ", " ")

    @property
    def is_over(self) -> bool:
        return self.state not in self.ACTIVE

    @property
    def percent(self) -> int:
        return round(100 * min(1.0, max(0.0, self.progress)))

    @property
    def title(self) -> str:
        from .kinds import title_of

        return title_of(self.kind)

"""What was printed, exactly as it was printed."""

from django.db import models
from django.utils import timezone


class Paper(models.Model):
    """The content of one printed paper. Printing again gives the same page until she asks for a fresh one."""

    class Kind(models.TextChoices):
        DAY_SHEET = "day_sheet", "day sheet"
        QUOTE = "quote", "quote"

    kind = models.CharField(max_length=10, choices=Kind.choices)
    key = models.CharField("the date or the quote", max_length=40)
    version = models.PositiveSmallIntegerField(default=1)
    content = models.JSONField()
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["kind", "key", "-version"]
        constraints = [models.UniqueConstraint(fields=["kind", "key", "version"], name="one_paper_a_version")]

    def __str__(self):
        return f"{self.get_kind_display()} {self.key}, version {self.version}"

"""What the kill tests count."""

from django.db import models


class Ask(models.Model):
    """Somebody asked for a computation, in the same transaction as this row."""

    key = models.CharField(max_length=40, unique=True)

    class Meta:
        app_label = "probe"

    def __str__(self):
        return self.key


class Mark(models.Model):
    """One effect of one computation: there must be exactly one for every ask."""

    key = models.CharField(max_length=40)
    attempt = models.IntegerField()

    class Meta:
        app_label = "probe"

    def __str__(self):
        return self.key

"""The people who order."""

from django.db import models
from simple_history.models import HistoricalRecords


class Customer(models.Model):
    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True, default="")
    email = models.EmailField(blank=True, default="")
    address = models.CharField(max_length=200, blank=True, default="")
    allergies = models.CharField(max_length=200, blank=True, default="")
    note = models.TextField(blank=True, default="", max_length=4000)
    created_at = models.DateTimeField(auto_now_add=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]
        indexes = [models.Index(fields=["name"])]

    def __str__(self):
        return self.name

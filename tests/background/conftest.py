"""Computations of the tests' own, which exist for one test only."""

import pytest

from bakery.background import kinds
from bakery.background.models import Computation


@pytest.fixture
def register(monkeypatch):
    """`register(function)` makes a computation called "probe" out of the function."""
    monkeypatch.setattr(kinds, "_kinds", dict(kinds._kinds))

    def register(function, name="probe", title="Probing"):
        return kinds.computation(name, title=title)(function)

    return register


@pytest.fixture
def effects(register):
    """A probe whose effect is a mark in the returned list."""
    marks = []
    register(lambda args, report: lambda: marks.append(args))
    return marks


@pytest.fixture
def silence(db):
    """Make a running row look as if its worker had fallen silent long ago."""
    from datetime import timedelta

    from django.utils import timezone

    def silence(row):
        Computation.objects.filter(pk=row.pk).update(heartbeat=timezone.now() - timedelta(hours=1))

    return silence

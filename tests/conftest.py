"""What every test may ask for."""

import pytest
from hypothesis import settings

# A deadline for one example would measure how busy the machine is.
settings.register_profile("dryby", deadline=None)
settings.load_profile("dryby")


@pytest.fixture(autouse=True)
def one_kitchen_all_year(monkeypatch):
    """Tests that read the clock must not dry slower in August than in November."""
    from bakery.craft.drying import months

    monkeypatch.setattr(months, "TYPICAL", (0.50,) * 12)


@pytest.fixture
def baker(django_user_model):
    """The one user of a studio, with a known password."""
    return django_user_model.objects.create_superuser("baker", password="tray-lemon-fern")


@pytest.fixture
def signed_in(client, baker):
    """A client of the baker, signed in."""
    client.force_login(baker)
    return client


@pytest.fixture
def run_queued(db):
    """Run the queued computations here and now: `run_queued("replan")` or all of them with `run_queued()`."""
    from bakery.background.testing import run_queued

    return run_queued

"""A studio with one order planned, and PDFs read back."""

from datetime import datetime, timedelta
from io import BytesIO
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
import time_machine

from tests import factories as make

NOW = datetime(
    2026, 11, 24, 17, 30, tzinfo=ZoneInfo("Europe/London")
)  # a Tuesday with baking hours from 18:30


class Read:
    """A PDF as the tests look at it."""

    def __init__(self, content: bytes):
        from pypdf import PdfReader

        self.reader = PdfReader(BytesIO(content))
        self.pages = [" ".join(page.extract_text().split()) for page in self.reader.pages]
        self.text = " ".join(self.pages)

    @property
    def catalog(self):
        return self.reader.trailer["/Root"]


@pytest.fixture
def read_pdf():
    return Read


@pytest.fixture
def evening():
    """The clock stands on a Tuesday, an hour before baking hours."""
    with time_machine.travel(NOW, tick=False):
        yield NOW


@pytest.fixture
def studio(db):
    return make.StudioFactory(name="Lantern Steps", address="4 Lantern Steps", terms="Pay by card or cash.")


@pytest.fixture
def place_cards(studio, evening):
    """24 lettered place cards for Saturday week, booked, with three names and a nut allergy."""
    from bakery.orders.data import LineData, OrderData
    from bakery.orders.services import set_state, take_order

    data = OrderData(
        hand_over_at=evening.replace(hour=12, minute=0) + timedelta(days=4),
        lines=(LineData(kind="lettered", quantity=24),),
        who="Boathouse long table",
        title="Place cards",
        names=("Ada", "<b>Bryn</b>", "Zoë & Co"),
        allergy_state="told",
        allergies="one guest, no nuts",
    )
    order = take_order(token=uuid4(), data=data)
    return set_state(order=order, state="booked")


@pytest.fixture
def planned(place_cards, evening):
    """The same with a plan on the wall."""
    from bakery.production.services.plans import make_plan

    assert make_plan(now=evening, reason="test") == "wall"
    return place_cards

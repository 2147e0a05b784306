"""What the order tests share: a fixed evening, an order's data, kinds as rows."""

from dataclasses import replace
from datetime import datetime, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest

from bakery.orders.data import LineData, OrderData
from bakery.orders.services import take_order

NOW = datetime(2026, 11, 24, 17, 30, tzinfo=ZoneInfo("Europe/London"))  # a Tuesday


def some_data(**more) -> OrderData:
    """24 lettered place cards for a week on Saturday, unless told otherwise."""
    plain = OrderData(
        hand_over_at=NOW.replace(hour=12, minute=0) + timedelta(days=11),
        lines=(LineData(kind="lettered", quantity=24),),
        who="Boathouse long table",
        title="Place cards",
        allergy_state="none",
    )
    return replace(plain, **more)


@pytest.fixture
def order(db):
    return take_order(token=uuid4(), data=some_data())

"""Times as she is told them."""

from datetime import UTC, datetime, timedelta

import pytest

from bakery.production import words

DAY = datetime(2026, 12, 1, tzinfo=UTC)


@pytest.mark.parametrize(
    ("minutes", "seconds", "told"), [(638, 0, 640), (640, 0, 640), (640, 1, 645), (1439, 59, 1440)]
)
def test_nothing_is_dry_to_the_minute(minutes, seconds, told):
    moment = DAY + timedelta(minutes=minutes, seconds=seconds)
    assert words.on_five(moment) == DAY + timedelta(minutes=told)

"""Whoever only asks for the head of a page gets it, and nothing is changed or kept by it."""

import pytest
from django.urls import reverse

from bakery.background.models import Computation
from bakery.production.models import Evening

pytestmark = pytest.mark.django_db

PAGES = (
    "tonight", "morning", "week", "week_table", "week_ahead", "order_list", "order_closed", "new_order",
    "wrong", "half_evening", "tool_out", "design_list", "cupboard", "setup",
)  # fmt: skip


@pytest.mark.parametrize("name", PAGES)
def test_every_page_answers_head_as_it_answers_get(planned, signed_in, name):
    found = signed_in.head(reverse(name))
    assert found.status_code in (200, 302)
    assert found.content == b""
    assert found.status_code == signed_in.get(reverse(name)).status_code


def test_head_of_tonight_freezes_nothing_and_asks_for_nothing(planned, signed_in):
    Evening.objects.all().delete()
    before = Computation.objects.count()
    assert signed_in.head(reverse("tonight")).status_code == 200
    assert not Evening.objects.exists()
    assert Computation.objects.count() == before
    signed_in.get(reverse("tonight"))
    assert Evening.objects.exists()

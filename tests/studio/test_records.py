"""The records for staff: every list opens, a row of each too, and what is only added to stays as it is."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.contrib import admin
from django.urls import reverse

from bakery.orders.models import Payment, Quote, StateChange
from bakery.production.models import Evening, Job, JobEvent, Plan
from bakery.stock.models import LevelMark
from bakery.studio.example import fill_example

pytestmark = pytest.mark.django_db
OURS = [model for model in admin.site._registry if model.__module__.startswith("bakery.")]
ONLY_ADDED_TO = [Payment, Quote, StateChange, Plan, Job, Evening, JobEvent, LevelMark]


@pytest.fixture
def filled():
    fill_example(datetime(2026, 11, 24, 14, tzinfo=ZoneInfo("Europe/London")))


def address(model, what, *args):
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_{what}", args=args)


def test_there_are_records_of_every_room():
    rooms = {model._meta.app_label for model in OURS}
    assert rooms >= {"studio", "customers", "stock", "designs", "orders", "production", "paperwork"}


def test_every_list_and_a_row_of_it_opens(signed_in, filled, django_assert_max_num_queries):
    for model in OURS:
        with django_assert_max_num_queries(15, info=model.__name__):
            assert signed_in.get(address(model, "changelist")).status_code == 200, model
        row = model._default_manager.first()
        if row is not None:
            assert signed_in.get(address(model, "change", row.pk)).status_code == 200, model


def test_what_is_only_added_to_cannot_be_touched(signed_in, filled):
    for model in ONLY_ADDED_TO:
        assert signed_in.get(address(model, "add")).status_code == 403, model
        row = model._default_manager.first()
        if row is not None:
            assert signed_in.post(address(model, "change", row.pk), {}).status_code == 403, model
            assert signed_in.post(address(model, "delete", row.pk), {"post": "yes"}).status_code == 403, model
            assert type(row)._default_manager.filter(pk=row.pk).exists()

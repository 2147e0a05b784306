"""Nothing of the studio can be seen or done without logging in: every address there is, tried."""

import re

import pytest
from django.urls import get_resolver
from django.urls.resolvers import RoutePattern, URLPattern

pytestmark = pytest.mark.django_db
SAMPLES = {"day": "2026-11-24", "int": "1", "slug": "x", "str": "x", "path": "x", "date": "2026-11-24",
           "uuid": "00000000-0000-0000-0000-000000000000"}  # fmt: skip
OPEN = {"login", "admin:login"}


def sample(found) -> str:
    return SAMPLES.get(found[1] or "str", "x")


def addresses(patterns=None, before=""):
    """Every address pattern of the site with sample values in it, and its name."""
    for entry in get_resolver().url_patterns if patterns is None else patterns:
        if not isinstance(entry.pattern, RoutePattern):
            continue  # the admin's own catch-all
        here = before + re.sub(
            r"<(?:(\w+):)?\w+>", lambda m: SAMPLES.get(m[1] or "str", "x"), str(entry.pattern)
        )
        if isinstance(entry, URLPattern):
            yield "/" + here, entry.name
        else:
            yield from addresses(entry.url_patterns, here)


def test_the_walk_finds_the_pages():
    names = {name for _, name in addresses()}
    assert {"first", "start", "setup", "tonight", "new_order", "week", "example_enter", "quote_pdf"} <= names


BY_SECRET = {"calendar_feed"}
"""Answered without logging in, to the right secret only: tests/production/test_calendar.py."""


@pytest.mark.parametrize("method", ["get", "post"])
def test_every_address_asks_for_the_login(client, method):
    seen = 0
    for address, name in addresses():
        if address in ("/login/", "/admin/login/") or name in ("jsi18n", *BY_SECRET):
            continue
        answer = getattr(client, method)(address)
        assert answer.status_code == 302, f"{method} {address} answers {answer.status_code}"
        assert "/login/" in answer.url, f"{method} {address} goes to {answer.url}"
        seen += 1
    assert seen > 40


def test_only_staff_see_the_patterns_and_the_records(client, django_user_model):
    client.force_login(django_user_model.objects.create_user("helper"))
    for address in ("/patterns/", "/admin/"):
        assert client.get(address).status_code == 302

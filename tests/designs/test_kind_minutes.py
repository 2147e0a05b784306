"""The minutes of the kinds: the rough price stands for her designs, and what she types reaches the plan."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from bakery.craft.costing import fit_of
from bakery.craft.work import KINDS
from bakery.designs.kinds import USUAL_COLOURS
from bakery.designs.models import Design, Kind
from bakery.designs.queries import with_layers
from bakery.designs.reckoning import line_of
from bakery.studio import adapters
from bakery.studio.emptying import empty_studio
from bakery.studio.example.fill import fill_example

pytestmark = pytest.mark.django_db
TUESDAY = datetime(2026, 11, 24, 14, tzinfo=UTC)


def test_rough_prices_lie_within_15_per_cent_of_every_example_design():
    fill_example(TUESDAY)
    shop, prices = adapters.shop(), adapters.prices()
    designs = list(with_layers(Design.objects.select_related("kind")))
    assert len(designs) == 12
    held = 0
    for kind in KINDS:
        lines = [line_of(design, 24) for design in designs if design.kind.key == kind]
        if lines:
            fit = fit_of(kind, lines, shop, prices, colours=USUAL_COLOURS[kind])
            assert fit.off <= 0.15, (kind, fit)
            held += len(lines)
    assert held == 12


def test_without_the_mended_minutes_they_do_not():
    fill_example(TUESDAY)
    Kind.objects.update(minutes=None)
    lines = [line_of(design, 24) for design in Design.objects.filter(kind__key="very_detailed")]
    assert not fit_of("very_detailed", lines, adapters.shop(), adapters.prices(), colours=4).good


def test_leaving_the_example_forgets_its_minutes():
    fill_example(TUESDAY)
    empty_studio()
    assert not Kind.objects.exclude(minutes=None).exists()


def test_what_she_types_reaches_the_core_and_can_be_taken_back(admin_client):
    fill_example(TUESDAY)
    url = reverse("kind_minutes")
    assert admin_client.post(url, {"stencil": "7.25", "plain": ""}).status_code == 302
    assert adapters.shop().kind_minutes["stencil"] == 7.25
    text = admin_client.get(url).content.decode()
    assert "off your designs of this kind" in text
    admin_client.post(url, {"stencil": ""})
    assert "stencil" not in adapters.shop().kind_minutes


@pytest.mark.parametrize("typed", ["-1", "a lot", "9999", "1.234", "NaN", "1" * 400])
def test_bad_minutes_get_a_sentence_and_stay_in_the_field(admin_client, typed):
    reply = admin_client.post(reverse("kind_minutes"), {"stencil": typed})
    assert reply.status_code == 200
    assert "field__error" in reply.content.decode()
    assert not Kind.objects.exclude(minutes=None).exists()

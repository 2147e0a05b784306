"""Set-up, Prices: what a price is made of, on one screen."""

import re
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from bakery.studio import adapters
from bakery.studio.example.fill import fill_example
from bakery.studio.forms import PricesForm
from bakery.studio.models import Studio
from bakery.studio.queries import the_studio
from bakery.studio.services import change_settings

pytestmark = pytest.mark.django_db
TUESDAY = datetime(2026, 11, 24, 14, tzinfo=UTC)
URL = "/set-up/prices/"


def fields(**said):
    form = PricesForm(instance=the_studio())
    return {name: form[name].value() for name in form.fields} | said


def words_of(reply) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", reply.content.decode()).split())


def test_what_she_puts_in_reaches_every_price(admin_client):
    said = fields(tax_percent="20", tax_included="False", fee_percent="1.5", fee_fixed="0.20", oven_kw="2",
                  rush_days="5", round_to="0.50", price_rule="wage", target_wage="24")  # fmt: skip
    assert admin_client.post(URL, said).status_code == 302
    found = adapters.prices()
    assert (found.tax_percent, found.tax_included, found.fee_percent) == (20, False, Decimal("1.5"))
    assert (found.rule, found.target_wage, found.rush_days) == ("wage", 24, 5)
    assert (found.oven_kw, found.round_to, found.fee_fixed) == (2, Decimal("0.5"), Decimal("0.2"))


def test_a_figure_is_an_example_until_it_is_hers(admin_client):
    text = words_of(admin_client.get(URL))
    assert text.count("An example: put in yours.") == len(PricesForm.EXAMPLES)
    admin_client.post(URL, fields(hourly_wage="17"))
    assert words_of(admin_client.get(URL)).count("An example: put in yours.") == len(PricesForm.EXAMPLES) - 1


def test_every_field_stands_in_one_group():
    named = [name for _, names in PricesForm.GROUPS for name in names]
    assert sorted(named) == sorted(PricesForm.base_fields)


@pytest.mark.parametrize("typed", ["-3", "NaN", "1e99", "much", "<b>", pytest.param("9" * 300, id="long")])
def test_bad_figures_get_a_sentence_each_and_change_nothing(admin_client, typed):
    change_settings(values={"hourly_wage": Decimal(17)}, reason="so that there is a row")
    before = Studio.objects.values().get()
    figures = [name for name in PricesForm.base_fields if name not in ("currency", "currency_sign")]
    reply = admin_client.post(URL, fields(**dict.fromkeys(figures, typed)))
    assert reply.status_code == 200
    assert reply.content.decode().count('class="field__error"') >= len(figures)
    assert Studio.objects.values().get() == before


def test_what_things_cost_says_whose_figure_it_is(admin_client):
    text = words_of(admin_client.get(URL))
    assert "Butter an example: put in yours 8.80 for 1000 g" in text
    fill_example(TUESDAY)
    text = words_of(admin_client.get(URL))
    assert re.search(r"Butter Butter, packet P\d+ 2.20 for 250 g", text)
    assert "Salt an example: put in yours" in text


def test_the_cupboard_prices_take_a_bounded_number_of_queries(django_assert_max_num_queries):
    fill_example(TUESDAY)
    with django_assert_max_num_queries(13):
        adapters.prices()


def test_set_up_says_how_a_price_is_made(admin_client):
    assert "Your hour earns £16.00, 10 % on top; rounded to £1.00." in words_of(
        admin_client.get(reverse("setup"))
    )

"""A page whose login has run out leads to the login as a whole, and back."""

import pytest
from django.urls import reverse

from tests.factories import StudioFactory

pytestmark = pytest.mark.django_db


def test_a_press_from_a_page_whose_login_has_run_out_leads_to_the_login_and_back(client):
    StudioFactory()
    page = "http://testserver" + reverse("tonight")
    answer = client.post(
        reverse("run_start"), {"key": "o1.flood"}, headers={"HX-Request": "true", "HX-Current-URL": page}
    )
    assert answer.status_code == 200
    assert answer["HX-Redirect"] == f"{reverse('login')}?next=%2Ftonight%2F"


def test_a_page_opened_without_a_login_is_sent_there_plainly(client):
    answer = client.get(reverse("tonight"))
    assert (answer.status_code, answer.headers.get("HX-Redirect")) == (302, None)


def test_an_address_elsewhere_is_never_led_back_to(client):
    answer = client.post(
        reverse("run_start"), headers={"HX-Request": "true", "HX-Current-URL": "https://elsewhere.invalid/x"}
    )
    assert answer["HX-Redirect"] == f"{reverse('login')}?next=%2F"

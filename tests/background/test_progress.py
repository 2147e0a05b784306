"""The progress fragment: polled while it goes on, status 286 when it is over."""

import pytest

from bakery.background.models import Computation
from bakery.background.services import enqueue

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def test_the_fragment_asks_for_itself_until_it_is_over(effects, signed_in, run_queued):
    row = enqueue("probe")
    Computation.objects.filter(pk=row.pk).update(state="running", progress=0.4, note="the rack")
    page = signed_in.get(f"/background/{row.pk}/", headers=HTMX)
    assert page.status_code == 200
    assert "40 of 100, the rack" in page.text
    assert 'hx-trigger="every 1s"' in page.text

    Computation.objects.filter(pk=row.pk).update(state="queued")
    run_queued()
    over = signed_in.get(f"/background/{row.pk}/", headers=HTMX)
    assert over.status_code == 286
    assert "hx-trigger" not in over.text
    assert '"computation-over"' in over.headers["HX-Trigger"]


def test_a_failure_is_told_and_can_be_tried_again(register, signed_in, run_queued):
    register(lambda args, report: 1 / 0)
    row = enqueue("probe")
    run_queued()
    page = signed_in.get(f"/background/{row.pk}/", headers=HTMX)
    assert "tried five times" in page.text
    signed_in.post(f"/background/{row.pk}/again/", headers=HTMX)
    assert Computation.objects.filter(kind="probe", state="queued").count() == 1


def test_calling_off_by_button(effects, signed_in):
    row = enqueue("probe")
    page = signed_in.post(f"/background/{row.pk}/cancel/", headers=HTMX)
    assert "called off; nothing was changed" in page.text


def test_a_note_with_markup_is_shown_as_written(effects, signed_in):
    row = enqueue("probe")
    Computation.objects.filter(pk=row.pk).update(state="running", note="<script>1</script>")
    assert "<script>1" not in signed_in.get(f"/background/{row.pk}/", headers=HTMX).text


def test_it_takes_a_login_and_the_right_method(effects, client, signed_in):
    row = enqueue("probe")
    assert signed_in.get(f"/background/{row.pk}/cancel/").status_code == 405
    client.logout()
    assert client.get(f"/background/{row.pk}/").status_code == 302

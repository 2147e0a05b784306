"""A sick night on a phone: one press, the answer, a text to copy, another way, taken and taken back."""

from datetime import timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone

from bakery.background.testing import run_queued
from bakery.craft.planning import problem_from_json, verify
from bakery.production.models import Job, Plan, Setback
from bakery.production.services import make_plan
from bakery.studio import adapters as studio
from bakery.studio.example import fill_example
from bakery.studio.models import HoursChange

from .thumb import Thumb

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def tonight(live_server, client, baker, phone):
    """The example studio on a phone, with its plan on the wall, at a session still to come."""
    now = timezone.now()
    fill_example(now)
    make_plan(now=now)
    run_queued()
    client.force_login(baker)
    cookie = client.cookies["sessionid"].value
    phone.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    phone.goto(live_server.url + reverse("tonight") + "?list")
    return phone


def places():
    return dict(Job.objects.exclude(planned_start=None).values_list("key", "planned_start"))


def faults(page):
    return [f"{v['id']}: {v['nodes'][0]['html'][:90]}" for v in Axe().run(page).response["violations"]]


def test_tonight_is_off_answered_taken_and_undone(tonight):
    page, thumb, before = tonight, Thumb(tonight), places()
    thumb.tap(page.locator(".badnight").get_by_role("button", name="is off"))
    page.wait_for_url("**/tonight/answer/**")
    heading = page.locator("h1").inner_text()
    assert "off." in heading
    assert "hold" in heading
    assert places() == before, "nothing has moved"
    assert page.get_by_text("No food work while it lasts").is_visible()
    assert page.get_by_role("heading", name="What still holds").is_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.problems == []
    page.locator("#answer-ways").wait_for(state="attached")
    plan = Plan.objects.get(state=Plan.State.PROPOSED)
    assert verify(problem_from_json(plan.problem), plan.plan["starts"]) == []
    thumb.tap(page.get_by_role("button", name="Take it"))
    page.get_by_text("You took the changed plan.").wait_for()
    assert thumb.taps == 2
    assert thumb.keys == 0, "ill and tired: nothing to type"
    assert places() != before
    day = HoursChange.objects.get().date
    tomorrow = studio.moment(day, timezone.datetime.min.time(), studio.the_zone()) + timedelta(days=1)
    assert not [at for at in places().values() if at.date() == day and at < tomorrow and at > timezone.now()]
    thumb.tap(page.locator(".banner").get_by_role("button", name="Undo").first)
    page.get_by_text("Undone: the earlier plan is on the wall again.").wait_for()
    assert places() == before


def test_whom_to_ring_first_has_a_text_to_copy_and_undo_takes_it_all_back(tonight):
    page, before = tonight, places()
    page.goto(page.url.split("/tonight/")[0] + reverse("tool_out"))
    until = timezone.localtime(timezone.now() + timedelta(days=3)).strftime("%Y-%m-%dT18:00")
    page.get_by_label("Back by").fill(until)
    page.get_by_role("button", name="Sort out the week").tap()
    page.wait_for_url("**/tonight/answer/**")
    plan = Plan.objects.filter(state=Plan.State.PROPOSED).first()
    if plan is not None and any(
        not o["soft"] for o in plan.problem["orders"] if o["id"] in plan.plan["late"]
    ):
        assert page.get_by_role("heading", name="Ring first").is_visible()
        assert page.locator(".copy__text").first.inner_text().startswith("Hello")
        assert page.get_by_role("button", name="Copy the text").first.is_visible()
    assert page.problems == []
    assert faults(page) == []
    page.get_by_role("button", name="Undo").tap()
    page.wait_for_url("**/tonight/?list")
    assert places() == before
    assert Setback.objects.get().undone_at is not None
    assert not Plan.objects.filter(state=Plan.State.PROPOSED).exists()


@pytest.mark.parametrize("name", ["wrong", "half_evening"])
def test_the_other_troubles_fit_the_phone_and_the_rules(tonight, name):
    page = tonight
    page.goto(page.url.split("/tonight/")[0] + reverse(name))
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.problems == []
    assert faults(page) == []

"""Tonight under a thumb: Start and Done on the page itself, reasons that open, buttons nothing covers."""

from datetime import timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone

from bakery.background.testing import run_queued
from bakery.production.models import Job
from bakery.production.services import make_plan
from bakery.studio.example import fill_example

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def address(live_server, client, baker):
    """The example studio with its plan; a function that opens a page of it, signed in."""
    now = timezone.now()
    fill_example(now)
    make_plan(now=now)
    run_queued()
    client.force_login(baker)
    cookie = client.cookies["sessionid"].value

    def open_at(page, name, *args):
        page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
        page.goto(live_server.url + reverse(name, args=args))

    return open_at


def faults(page) -> list[str]:
    return [f"{v['id']}: {v['nodes'][0]['html'][:90]}" for v in Axe().run(page).response["violations"]]


def first_open(page):
    return page.locator("#tonight-list .run").filter(has=page.locator("button.button")).first


def test_start_and_done_stay_on_the_page(address, phone):
    address(phone, "tonight")
    run = first_open(phone)
    title = run.locator("h3").inner_text()
    run.get_by_role("button", name="Start").tap()
    done = phone.locator("#tonight-list").get_by_role("button", name="Done").first
    done.wait_for()
    assert Job.objects.filter(state=Job.State.STARTED).count() == 1
    done.tap()
    phone.locator(".sofar__line").first.wait_for()
    assert title.split(" ", 1)[1][:10] in phone.locator(".sofar__line").first.inner_text()
    assert phone.url.endswith(reverse("tonight"))
    assert phone.problems == []


def test_every_start_can_be_reached_by_a_thumb(address, phone):
    """Nothing lies over a button: what is at its middle is the button itself."""
    address(phone, "tonight")
    phone.wait_for_load_state("networkidle")
    covered = phone.evaluate(
        """() => [...document.querySelectorAll('#tonight-list button.button')].filter(b => {
            b.scrollIntoView({block: 'center'});
            const r = b.getBoundingClientRect();
            const shown = b.checkVisibility() && r.width;  /* not within what is folded up */
            return shown && !b.contains(document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2));
        }).map(b => b.outerHTML)"""
    )
    assert covered == []


def test_why_tonight_opens_the_chain(address, phone):
    address(phone, "tonight")
    why = phone.locator(".run__reason > summary").first
    why.tap()
    chain = phone.locator(".run__reason[open] .chain").first
    assert chain.locator("li").count() >= 3
    assert "Hand-over" in chain.inner_text()


@pytest.mark.parametrize("name", ["tonight", "week", "week_table", "tool_out"])
def test_nothing_is_wider_than_the_phone_and_nothing_breaks_the_rules(address, phone, name):
    address(phone, name)
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    assert phone.problems == []  # before the checker, which fetches what the policy refuses
    assert faults(phone) == []


def test_the_question_and_a_proposal_fit_the_phone_and_the_rules(address, phone):
    """Yesterday's evening made by moving its jobs a day back; all but one is answered by ticking it."""
    for job in Job.objects.exclude(planned_start=None).order_by("planned_start")[:6]:
        start = job.planned_start - (job.planned_start - timezone.now()) - timedelta(days=1)
        Job.objects.filter(pk=job.pk).update(planned_start=start, planned_end=start + timedelta(minutes=20))
    address(phone, "tonight")
    assert "all done?" in phone.locator("h1").inner_text()
    assert faults(phone) == []
    phone.get_by_role("button", name="All but").tap()
    phone.locator("input[name=not_done]").first.check()
    assert faults(phone) == []
    phone.get_by_role("button", name="That is how it was").tap()
    phone.wait_for_url("**/proposal/")
    run_queued("replan")
    phone.get_by_role("button", name="Take it").or_(phone.locator("#tonight-list")).first.wait_for()
    assert faults(phone) == []

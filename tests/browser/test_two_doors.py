"""The first minutes in a real browser, on a phone: log in, tap five answers, see what they come to, start."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe

from bakery.studio.models import BakingHours, Studio

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def at_the_door(phone, live_server, baker):
    phone.goto(f"{live_server.url}/login/")
    phone.fill("[name=username]", "baker")
    phone.fill("[name=password]", "tray-lemon-fern")
    phone.click("button:has-text('Log in')")
    return phone


def faults(page) -> list[str]:
    return [f"{v['id']}: {v['nodes'][0]['html'][:80]}" for v in Axe().run(page).response["violations"]]


def test_five_answers_are_taps_and_say_at_once_what_they_come_to(at_the_door):
    page = at_the_door
    page.click("a:has-text('Start')")
    assert "22 h a week" in page.text_content("#result").replace("\u00a0", " ")
    with page.expect_response("**/start/result/"):
        page.tap("label:has([value='1-evening'])")
    page.wait_for_selector("#result:has-text('18')")
    assert not page.is_visible("#id_rack_other")
    page.tap("label:has([name='rack'][value='other'])")
    page.fill("#id_rack_other", "9")
    page.click("text=Take in my first order")
    page.wait_for_url(re.compile("/orders/new/"))
    studio = Studio.objects.get()
    assert studio.rack_places == 9
    assert BakingHours.objects.count() == 4
    assert sorted(set(page.problems)) == []


def test_the_example_is_one_press_in_and_one_press_out(at_the_door, monkeypatch, tmp_path):
    monkeypatch.setattr("bakery.studio.backup.make_copy", lambda reason: tmp_path / "dryby-copy.zip")
    page = at_the_door
    page.click("text=Go in")
    page.wait_for_url(re.compile("/tonight/"))
    assert "This is the example studio." in page.text_content(".banner")
    page.click("text=Leave the example")
    page.wait_for_selector("text=What must be iced tonight?")
    assert "a copy is kept" in page.text_content("[role=status]")
    assert not Studio.objects.exists()


def test_no_page_has_a_fault_that_a_checker_can_find(at_the_door, live_server):
    page = at_the_door
    groups = ("", "hours/", "tools/", "room/", "kitchen/", "dates/", "copies/", "password/")
    for path in ("", "start/", "on-a-phone/", *(f"set-up/{group}" for group in groups)):
        page.goto(f"{live_server.url}/{path}")
        assert faults(page) == [], path
        wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
        assert not wide, path

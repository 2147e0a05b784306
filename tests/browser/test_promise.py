"""An order that cannot be done as asked becomes a yes with one press, on the desk and in the hand."""

import re

import pytest
from playwright.sync_api import expect

from .test_main_job import monday_morning, sign_in, start_mine  # noqa: F401
from .thumb import Thumb

WORDS = "60 cookies, fern stencil with dots, three colours, Saturday 10:00"

ABANDONED = ("htmx:afterRequest", "htmx:sendAbort")  # looking for more ends when a change is taken


def ask_for_too_much(page, live_server):
    sign_in(page, live_server)
    start_mine(page)
    thumb = Thumb(page)
    thumb.write(page.get_by_label("What did they write?"), WORDS)
    page.get_by_role("heading", name="Who, and for what").click()
    answer = page.locator("#verdict")
    expect(answer).to_contain_text("No, not by Saturday 10:00", timeout=15_000)
    return thumb, answer


def press_the_first(page, thumb, answer):
    """Changes come one after the other; the first that is there is taken while others are looked for."""
    expect(answer).to_contain_text("Any one of these makes it fit", timeout=10_000)
    first = answer.locator(".way").first
    words = first.locator(".ways__words").inner_text()
    thumb.tap(first.get_by_role("button", name=re.compile("Use this")))
    expect(answer).to_contain_text("Yes, ", timeout=15_000)
    return words


def becomes_a_yes(page, live_server):
    thumb, answer = ask_for_too_much(page, live_server)
    assert re.search(r"\d+\s(h|min)", answer.inner_text()), "the no comes with its arithmetic"
    press_the_first(page, thumb, answer)
    page.wait_for_timeout(500)  # the page moves to the answer a moment after its words have changed
    top = answer.bounding_box()["y"]
    assert 0 <= top < page.viewport_size["height"] / 2, f"the yes is what she sees next, not {top} px down"
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]
    assert [one for one in page.problems if not one.startswith(ABANDONED)] == []


@pytest.mark.django_db(transaction=True)
def test_a_no_becomes_a_yes_with_one_press(desktop, live_server, baker, monday_morning):  # noqa: F811
    becomes_a_yes(desktop, live_server)


@pytest.mark.django_db(transaction=True)
def test_the_same_on_a_phone(phone, live_server, baker, monday_morning):  # noqa: F811
    becomes_a_yes(phone, live_server)


@pytest.mark.django_db(transaction=True)
def test_an_hour_more_is_counted_on_and_stored_only_with_the_order(
    phone,
    live_server,
    baker,
    monday_morning,  # noqa: F811
):
    from bakery.studio.models import HoursChange

    thumb, answer = ask_for_too_much(phone, live_server)
    hers = answer.locator(".way").filter(has_text=re.compile("Work .* too|second pair of hands"))
    expect(hers.first).to_be_visible(timeout=15_000)
    thumb.tap(hers.first.get_by_role("button", name=re.compile("Use this")))
    expect(answer).to_contain_text("Yes, Saturday 10:00", timeout=15_000)
    expect(answer).to_contain_text("when you keep, quote or book this order, not before")
    assert not HoursChange.objects.exists()
    thumb.tap(phone.get_by_role("button", name="Keep", exact=True).locator("visible=true"))
    phone.wait_for_url(re.compile(r"/orders/\d+/"))
    expect(phone.locator("body")).to_contain_text("Your baking hours now have")
    assert HoursChange.objects.filter(kind=HoursChange.Kind.EXTRA).count() == 1

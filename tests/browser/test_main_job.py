"""The whole job in a real browser: an order in the customer's words, its flood coat, its papers."""

import re
import subprocess
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.conf import settings
from playwright.sync_api import expect

from .thumb import Thumb

WORDS = "24 cookies, fern stencil look, three colours, Saturday noon"


@pytest.fixture
def monday_morning():
    """The next Monday at 10:00 of the kitchen's clock: near today, so that the browser keeps its cookies."""
    here = datetime.now(ZoneInfo(settings.TIME_ZONE))
    monday = (here + timedelta(days=7 - here.weekday())).replace(hour=10, minute=0, second=0, microsecond=0)
    with time_machine.travel(monday, tick=True):
        yield monday


def sign_in(page, live_server):
    page.goto(live_server.url)
    page.get_by_label("Name").fill("baker")
    page.get_by_label("Password").fill("tray-lemon-fern")
    page.keyboard.press("Enter")
    page.wait_for_url(live_server.url + "/")


def start_mine(page):
    """Take the usual answers: the five questions come filled in."""
    page.get_by_role("link", name="Start").or_(page.get_by_role("button", name="Start")).first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Five questions")
    page.get_by_role("button", name="Take in my first order").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("New order")


def pdf_text(page, address, tmp_path):
    """The text of a PDF, read by a program that is not ours."""
    answer = page.request.get(address)
    assert answer.headers["content-type"] == "application/pdf"
    paper = tmp_path / "paper.pdf"
    paper.write_bytes(answer.body())
    return subprocess.run(
        ["pdftotext", "-layout", paper, "-"], check=True, capture_output=True, text=True
    ).stdout


def whole_job(page, live_server, run_queued, tmp_path, monday):
    sign_in(page, live_server)
    start_mine(page)

    thumb = Thumb(page)
    thumb.write(page.get_by_label("What did they write?"), WORDS)
    page.get_by_role("heading", name="Who, and for what").click()
    answer = page.locator("#answer, #verdict").first
    expect(answer).to_contain_text("Yes, Saturday 12:00", timeout=15_000)
    expect(answer).to_contain_text("to spare")
    expect(page.get_by_text("an hour").first).to_be_visible()
    thumb.write(page.get_by_label("Who", exact=True), "Fen Walkers")
    thumb.choose(page.get_by_label("Allergies"), "none")
    thumb.tap(page.get_by_role("button", name="Make a quote").locator("visible=true"))
    page.wait_for_url(re.compile(r"/orders/\d+/"))
    assert thumb.seconds < 60, f"{thumb.seconds:.0f} s of thumbs for one order"
    order_page = page.url
    number = re.search(r"/orders/(\d+)/", order_page)[1]

    quote = (
        page.get_by_role("link", name=re.compile("Quote"))
        .or_(page.locator("a[href*='/papers/quote/']"))
        .first
    )
    quote_address = re.sub(
        r"(/papers/quote/\d+/\d+/).*", r"\1quote.pdf", live_server.url + quote.get_attribute("href")
    )
    text = pdf_text(page, quote_address, tmp_path)
    for word in (f"Quote {number}", "24", "Saturday", "Fen Walkers"):
        assert word in text, word
    assert "hour" not in text.replace("hours", ""), "the wage stays out of the customer's paper"

    page.get_by_role("button", name=re.compile("book|deposit", re.I)).locator("visible=true").first.click()
    page.wait_for_load_state()
    run_queued()

    flood_evening = find_flood(page, live_server, run_queued)
    assert monday.date() <= flood_evening < monday.date() + timedelta(days=5)

    sheet = pdf_text(page, f"{live_server.url}/papers/day/{flood_evening:%Y-%m-%d}/day-sheet.pdf", tmp_path)
    assert re.search("flood", sheet, re.I)
    assert "Fen Walkers" in sheet
    return order_page


def find_flood(page, live_server, run_queued):
    """The evening of its flood coat, from the order's own page, and the reason on that evening's list."""
    from django.utils import timezone

    from bakery.production.models import Job

    flood = Job.objects.filter(kind="flood").earliest("planned_start")
    evening = timezone.localtime(flood.planned_start).date()
    page.goto(live_server.url + "/week/")
    expect(page.locator("main")).to_contain_text(re.compile("flood", re.I))
    with time_machine.travel(
        datetime(evening.year, evening.month, evening.day, 17, 30, tzinfo=ZoneInfo(settings.TIME_ZONE)),
        tick=True,
    ):
        page.goto(live_server.url + "/tonight/")
        if page.get_by_role("button", name="All done").count():
            page.get_by_role("button", name="All done").click()
        run_queued()  # what can wait is worked out beside the page
        page.goto(live_server.url + "/tonight/")
        run = page.locator("article, li, .run").filter(has_text=re.compile("flood", re.I)).first
        expect(run).to_be_visible()
        page.get_by_text("Why tonight").first.click()
        expect(page.locator("main")).to_contain_text(re.compile("Hand-over"))
        expect(page.locator("main")).to_contain_text(re.compile("dries|dry", re.I))
    return evening


@pytest.mark.django_db(transaction=True)
def test_an_order_in_the_customers_words_becomes_a_plan_and_papers(
    desktop, live_server, baker, run_queued, tmp_path, monday_morning
):
    whole_job(desktop, live_server, run_queued, tmp_path, monday_morning)
    assert desktop.problems == []


@pytest.mark.django_db(transaction=True)
def test_the_same_on_a_phone_without_scrolling_sideways(
    phone, live_server, baker, run_queued, tmp_path, monday_morning
):
    order_page = whole_job(phone, live_server, run_queued, tmp_path, monday_morning)
    for address in (order_page, f"{live_server.url}/tonight/", f"{live_server.url}/orders/new/"):
        phone.goto(address)
        assert phone.evaluate("document.documentElement.scrollWidth") <= 390, address
    assert phone.problems == []

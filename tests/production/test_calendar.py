"""The subscribed calendar, read back by a parser: what stands in it, what never may, and who may read it."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from bakery.orders.models import Order, State
from bakery.production.models import Job
from bakery.production.services import make_plan
from bakery.studio.calendar_address import calendar_address, renew_calendar, shut_calendar
from tests.factories import CustomerFactory, OrderFactory

from .conftest import LONDON, NOW

pytestmark = pytest.mark.django_db
HOSTILE = 'Tea; "x", \\n\r\nBEGIN:VEVENT\r\nSUMMARY:no \x00\u2028 🍪' + "ö" * 90


@pytest.fixture
def address(planned):
    return reverse("calendar_feed", args=[renew_calendar(now=NOW).secret])


def events(answer) -> dict:
    """By uid without the house's part; the stream is parsed whole."""
    assert answer.status_code == 200
    found = Calendar.from_ical(answer.content).walk("VEVENT")
    return {str(event["uid"]).split("@")[0]: event for event in found}


def test_sessions_with_their_runs_and_hand_overs(client, address):
    found = events(client.get(address))
    assert {"hand-over-118", "hand-over-119"} <= set(found)
    assert found["hand-over-118"]["summary"] == "Hand-over: Botanical supper, 24"
    assert found["hand-over-118"].decoded("dtstart") == datetime(2026, 11, 27, 15, tzinfo=UTC)
    tonight = found["baking-2026-11-24-1830"]
    jobs = Job.objects.filter(planned_start__gte=NOW, planned_start__lt=NOW + timedelta(hours=5))
    inside = [j for j in jobs if 18 <= j.planned_start.astimezone(LONDON).hour < 23]
    assert tonight.decoded("dtstart") == min(j.planned_start for j in inside)
    assert tonight.decoded("dtend") >= max(j.planned_end for j in inside)
    assert len(str(tonight["description"]).splitlines()) <= len(inside)
    assert re.match(r"18:\d\d \w+", str(tonight["description"]))


def test_every_planned_job_lies_in_an_entry(client, address):
    spans = [(e.decoded("dtstart"), e.decoded("dtend")) for uid, e in events(client.get(address)).items()
             if not uid.startswith("hand-over")]  # fmt: skip
    for job in Job.objects.filter(planned_start__gte=NOW):
        assert any(start <= job.planned_start and job.planned_end <= end for start, end in spans), job


def test_the_stream_is_well_formed(client, address):
    answer = client.get(address)
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    lines = answer.content.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert all(len(line) <= 75 for line in lines)  # RFC 5545, section 3.1
    assert b"\n" not in answer.content.replace(b"\r\n", b"")
    for event in Calendar.from_ical(answer.content).walk("VEVENT"):
        assert {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY"} <= set(event)  # section 3.6.1
        assert event.decoded("dtstart") < event.decoded("dtend")


def test_uids_stay_while_times_move(client, address):
    before = set(events(client.get(address)))
    Order.objects.filter(number=119).update(hand_over_at=NOW + timedelta(days=12), title="Other words")
    after = events(client.get(address))
    assert set(after) == before
    assert after["hand-over-119"]["summary"] == "Hand-over: Other words, 24"


def test_a_hostile_title_stays_a_title(client, address):
    # PostgreSQL takes neither the sign nor the length.
    title = HOSTILE if connection.vendor == "sqlite" else HOSTILE.replace("\x00", "")[:120]
    Order.objects.filter(number=119).update(title=title)
    answer = client.get(address)
    found = events(answer)
    said = str(found["hand-over-119"]["summary"])
    assert said.startswith('Hand-over: Tea; "x", \\n BEGIN:VEVENT SUMMARY:no 🍪öö')
    assert said.endswith("ö, 24")
    assert answer.content.count(b"\r\nBEGIN:VEVENT\r\n") == len(found)
    assert b"\x00" not in answer.content


def test_nothing_private_is_told(client, address):
    who = CustomerFactory(name="Ottoline Privet", phone="01632 960999", email="ottoline@privet.example")
    Order.objects.filter(number=119).update(
        customer=who, allergies="sesame, badly", allergy_state="yes", own_price="123.45",
        place="3 Hidden Row", note="gate code 4411",
    )  # fmt: skip
    text = client.get(address).content.decode().replace("\r\n ", "")
    for secret in ("Ottoline", "Privet", "960999", "sesame", "123.45", "Hidden Row", "4411", "£"):
        assert secret not in text


@pytest.mark.parametrize(("day", "utc_hour"), [
    ((2027, 3, 27), 15), ((2027, 3, 28), 14), ((2027, 3, 29), 14),
    ((2026, 10, 24), 14), ((2026, 10, 25), 15), ((2026, 10, 26), 15),
])  # fmt: skip
def test_three_o_clock_stays_three_o_clock_when_clocks_change(client, kitchen, clock, day, utc_hour):
    at = datetime(*day, 15, tzinfo=LONDON)
    clock.move_to(at - timedelta(days=3))
    OrderFactory(number=160, title="Change", hand_over_at=at)
    Job.objects.create(
        key="o160.x", order=Order.objects.get(number=160), kind="bake", title="Bake", minutes=30, attended=30,
        planned_start=at, planned_end=at + timedelta(minutes=30),
    )  # fmt: skip
    found = events(client.get(reverse("calendar_feed", args=[renew_calendar().secret])))
    work = next(e for uid, e in found.items() if uid.startswith(("small-", "baking-")))
    for event in (found["hand-over-160"], work):
        begins = event.decoded("dtstart")
        assert (begins.hour, begins.utcoffset()) == (utc_hour, timedelta(0))
        assert begins.astimezone(LONDON).hour == 15
    assert "15:00 Roll and bake" in str(work["description"])


def test_held_is_tentative_and_closed_orders_are_gone(client, address):
    Order.objects.filter(number=119).update(state=State.HELD)
    assert events(client.get(address))["hand-over-119"]["status"] == "TENTATIVE"
    Order.objects.filter(number=119).update(state=State.CANCELLED)
    assert "hand-over-119" not in events(client.get(address))


def test_unchanged_is_not_sent_again(client, address, clock):
    first = client.get(address)
    clock.move_to(NOW + timedelta(minutes=30))
    again = client.get(address, headers={"if-none-match": first["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert again["Last-Modified"] == first["Last-Modified"]
    since = {"if-modified-since": first["Last-Modified"]}
    assert client.get(address, headers=since).status_code == 304
    assert client.get(address).content == first.content
    Order.objects.filter(number=119).update(title="Other words")
    changed = client.get(address, headers={"if-none-match": first["ETag"]} | since)
    assert changed.status_code == 200
    assert changed["ETag"] != first["ETag"]
    assert changed["Last-Modified"] != first["Last-Modified"]
    assert client.get(address, headers=since).status_code == 200
    assert client.head(address)["ETag"] == changed["ETag"]


def test_only_the_secret_address_answers(client, address, planned):
    assert client.get(address).status_code == 200  # without logging in
    wrong = reverse("calendar_feed", args=["x" * 43])
    assert client.get(wrong).status_code == 404
    assert client.get(reverse("calendar_feed", args=["ü\u2028" * 10])).status_code == 404
    assert client.post(address).status_code == 405
    renew_calendar()
    assert client.get(address).status_code == 404
    new = reverse("calendar_feed", args=[calendar_address().secret])
    assert client.get(new).status_code == 200
    shut_calendar()
    assert client.get(new).status_code == 404


def test_a_new_address_keeps_the_entries_their_names(client, address):
    before = {e["uid"] for e in events(client.get(address)).values()}
    new = reverse("calendar_feed", args=[renew_calendar().secret])
    assert {e["uid"] for e in events(client.get(new)).values()} == before


def test_the_secret_is_long_and_unlike_the_last():
    secrets = {renew_calendar().secret for _ in range(20)}
    assert len(secrets) == 20
    assert all(len(secret) >= 43 for secret in secrets)  # 32 bytes


def test_set_up_makes_renews_and_shuts_it(signed_in, kitchen):
    page = reverse("setup_group", args=["calendar"])
    assert "Make an address" in signed_in.get(page).content.decode()
    signed_in.post(page, {"do": "new"})
    first = calendar_address().secret
    told = signed_in.get(page, headers={"host": "testserver"}).content.decode()
    assert told.count(first) >= 2
    assert "webcal://" in told
    assert "data:image/svg+xml" in told
    signed_in.post(page, {"do": "new"})
    assert calendar_address().secret != first
    signed_in.post(page, {"do": "shut"})
    assert calendar_address() is None
    assert "Not in your own calendar yet." in signed_in.get(reverse("setup")).content.decode()


def test_when_it_was_fetched_is_written_down(client, address, signed_in):
    assert calendar_address().read_at is None
    client.get(address)
    assert calendar_address().read_at == timezone.now()


def test_queries_stay_bounded(client, address, django_assert_max_num_queries):
    client.get(address)
    for number in range(200, 208):
        OrderFactory(number=number, title=f"Tea {number}", hand_over_at=NOW + timedelta(3 * number - 580))
    make_plan(now=NOW)
    with django_assert_max_num_queries(14):
        client.get(address)

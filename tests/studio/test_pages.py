"""The pages of the studio: two doors, five questions, set-up; bad input gets a sentence."""

import re
from datetime import timedelta

import pytest
from django.contrib.sessions.backends.base import UpdateError
from django.contrib.sessions.backends.db import SessionStore
from django.db import OperationalError
from django.urls import reverse
from django.utils import timezone

from bakery.studio.models import BakingHours, HoursChange, Outage, Reading, Studio
from tests.factories import HoursChangeFactory, OutageFactory, StudioFactory

pytestmark = pytest.mark.django_db
USUAL = {
    "tiles": ["1-evening", "2-evening", "3-evening", "4-evening", "5-morning", "5-midday"],
    "sheet": "14", "rack": "12", "batch": "20", "wage": "16",
}  # fmt: skip
GROUPS = ["hours", "dates", "tools", "room", "kitchen", "habits", "prices", "terms", "food", "about",
          "password", "copies"]  # fmt: skip


def words(answer) -> str:
    return answer.content.decode().replace("\u00a0", " ")


def group(key):
    return reverse("setup_group", args=[key])


def test_an_empty_studio_shows_two_doors(signed_in):
    page = words(signed_in.get("/"))
    assert "Look at the example studio" in page
    assert "Start mine" in page


def test_a_started_studio_goes_straight_to_tonight(signed_in):
    StudioFactory()
    assert signed_in.get("/").url == reverse("tonight")
    assert signed_in.get("/start/").url == reverse("first")


def test_the_usual_answers_come_to_22_hours_and_21_dozen(signed_in):
    page = words(signed_in.get("/start/"))
    assert "22 h a week" in page
    assert "about 21 dozen plain cookies" in page


def test_starting_takes_her_to_her_first_order(signed_in):
    assert signed_in.post("/start/", USUAL).url == reverse("new_order")
    assert Studio.objects.get().started
    assert BakingHours.objects.count() == 5


def test_fewer_evenings_are_fewer_cookies_while_she_taps(signed_in):
    page = words(signed_in.post(reverse("start_result"), USUAL | {"tiles": ["1-evening"]}))
    assert "4 h a week" in page
    assert "<html" not in page
    assert not Studio.objects.exists()


def test_other_hours_count(signed_in):
    hours = {"evening_from": "20:00", "evening_until": "21:30"}
    page = words(signed_in.post(reverse("start_result"), USUAL | {"tiles": ["1-evening"]} | hours))
    assert "1 h 30 a week" in page


@pytest.mark.parametrize(
    ("answers", "sentence"),
    [
        ({"tiles": []}, "Tick at least one square"),
        ({"tiles": ["9-evening"]}, "Pick one of these."),
        ({"rack": "other"}, "Type the number, or pick one of the others."),
        ({"rack": "other", "rack_other": "0"}, "At least 1."),
        ({"batch": "other", "batch_other": "99999"}, "At most 500."),
        ({"wage": "other", "wage_other": "lots"}, "Give a number, in figures."),
        ({"sheet": "<b>"}, "Pick one of these."),
        ({"evening_from": "23:00"}, "would end before it begins"),
        ({"evening_from": "half past"}, "A time looks like 18:30."),
        ({"wage": ""}, "Pick one."),
    ],
)
def test_a_bad_answer_gets_a_sentence_and_starts_nothing(signed_in, answers, sentence):
    answer = signed_in.post("/start/", USUAL | answers)
    assert answer.status_code == 200
    assert sentence in words(answer)
    assert not Studio.objects.filter(started_at__isnull=False).exists()
    assert signed_in.post(reverse("start_result"), USUAL | answers).status_code == 200


def test_what_was_tapped_is_still_there_beside_the_sentence(signed_in):
    page = words(signed_in.post("/start/", USUAL | {"tiles": ["0-morning"], "wage": "other"}))
    assert 'value="0-morning" class="" id="id_tiles_0" checked' in page or 'id="id_tiles_0" checked' in page


def test_counting_again_without_javascript_starts_nothing(signed_in):
    assert "22 h a week" in words(signed_in.post("/start/", USUAL | {"count": "1"}))
    assert not Studio.objects.exists()


@pytest.mark.parametrize("key", GROUPS)
def test_every_group_opens_before_and_after_she_started(signed_in, key):
    assert signed_in.get(group(key)).status_code == 200
    StudioFactory()
    HoursChangeFactory()
    OutageFactory()
    assert signed_in.get(group(key)).status_code == 200


def test_a_group_that_is_none_is_not_found(signed_in):
    assert "There is nothing at this address." in words(signed_in.get(group("secrets")))


def test_set_up_says_how_everything_stands(signed_in):
    StudioFactory()
    OutageFactory(end=timezone.now() + timedelta(days=1))
    page = words(signed_in.get(reverse("setup")))
    assert "22 h a week, about 21 dozen plain cookies." in page
    assert re.search(r"The airbrush is out until [A-Z][a-z]+ \d+ [A-Z]", page), "no name of a day goes small"


def test_set_up_takes_a_bounded_number_of_queries(signed_in, django_assert_max_num_queries):
    StudioFactory()
    for days in range(60):
        HoursChangeFactory(date=timezone.localdate() + timedelta(days=days))
        OutageFactory()
    with django_assert_max_num_queries(30):
        signed_in.get(reverse("setup"))


def test_a_setting_is_kept(signed_in):
    StudioFactory()
    values = {
        "deposit_percent": 30,
        "quote_hours": 24,
        "balance_days": 3,
        "change_days": 7,
        "terms": "Be kind.",
    }
    assert signed_in.post(group("terms"), values).url == reverse("setup")
    assert Studio.objects.get().deposit_percent == 30


@pytest.mark.parametrize(
    ("key", "field", "value"),
    [
        ("kitchen", "rack_places", "0"),
        ("kitchen", "rack_places", "many"),
        ("habits", "padding", "0.2"),
        ("prices", "hourly_wage", "-3"),
        ("prices", "hourly_wage", "NaN"),
        ("terms", "deposit_percent", "101"),
        ("about", "email", "not an address"),
        ("about", "name", "x" * 5000),
        ("habits", "waking_from", "25:00"),
    ],
)
def test_a_bad_setting_gets_a_sentence_beside_it(signed_in, key, field, value):
    studio = StudioFactory()
    answer = signed_in.post(group(key), {field: value})
    assert answer.status_code == 200
    assert answer.context["form"].errors[field]
    assert "field__error" in words(answer)
    before = getattr(studio, field)
    assert str(getattr(Studio.objects.get(), field))[:5] == str(before)[:5]


def test_the_week_is_kept_as_given(signed_in):
    StudioFactory()
    week = {"0_0_start": "09:00", "0_0_end": "11:00", "0_1_start": "18:00", "0_1_end": "20:00", "0_two": "on"}
    assert signed_in.post(group("hours"), week).url == reverse("setup")
    assert [(b.weekday, b.start.hour, b.hands) for b in BakingHours.objects.all()] == [(0, 9, 2), (0, 18, 2)]


@pytest.mark.parametrize(
    ("week", "sentence"),
    [
        ({}, "Without baking hours nothing can be planned"),
        ({"0_0_start": "09:00"}, "Give both times, or neither."),
        ({"0_0_start": "09:00", "0_0_end": "08:00"}, "end before they begin"),
        ({"0_0_start": "nine", "0_0_end": "10:00"}, "A time looks like 18:30."),
        (
            {"0_0_start": "09:00", "0_0_end": "12:00", "0_1_start": "11:00", "0_1_end": "13:00"},
            "begins before the first stretch ends",
        ),
    ],
)
def test_a_bad_week_gets_a_sentence_and_the_old_one_stays(signed_in, week, sentence):
    StudioFactory()
    assert sentence in words(signed_in.post(group("hours"), week))
    assert BakingHours.objects.count() == 5


def test_a_date_is_changed_and_forgotten(signed_in):
    StudioFactory()
    day = timezone.localdate() + timedelta(days=3)
    signed_in.post(group("dates"), {"day": day.isoformat(), "kind": "off", "reason": "<b>away</b>"})
    change = HoursChange.objects.get()
    assert "&lt;b&gt;away" in words(signed_in.get(group("dates")))
    signed_in.post(reverse("date_forget", args=[change.pk]))
    signed_in.post(reverse("date_forget", args=[change.pk]))
    assert not HoursChange.objects.exists()


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ({"day": "2020-01-01"}, "That day is past."),
        ({"day": "soon"}, "That is not a date."),
        ({"day": ""}, "Which date?"),
        ({"day": "9999-01-01"}, "more than three years away"),
        ({"kind": "instead"}, "Give a start and a later end."),
        ({"kind": "extra", "start": "12:00", "end": "11:00"}, "end before they begin"),
    ],
)
def test_a_bad_date_gets_a_sentence(signed_in, values, sentence):
    tomorrow = (timezone.localdate() + timedelta(days=1)).isoformat()
    answer = signed_in.post(group("dates"), {"day": tomorrow, "kind": "off"} | values)
    assert sentence in words(answer)
    assert not HoursChange.objects.exists()


def test_a_tool_is_out_and_works_again(signed_in):
    now = timezone.localtime()
    values = {"resource": "airbrush", "amount": "1", "start": f"{now - timedelta(hours=1):%Y-%m-%dT%H:%M}",
              "end": f"{now + timedelta(days=1):%Y-%m-%dT%H:%M}"}  # fmt: skip
    signed_in.post(group("tools"), values)
    outage = Outage.objects.get()
    signed_in.post(reverse("tool_back", args=[outage.pk]))
    assert Outage.objects.get().end <= timezone.now()


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ({"end": "2020-01-01T10:00"}, "It cannot be back before it broke."),
        ({"start": "2020-01-01T10:00", "end": "2020-01-02T10:00"}, "It would be back already."),
        ({"end": "9999-01-01T10:00"}, "more than a year"),
        ({"resource": "the cat"}, "Pick one of these."),
        ({"start": ""}, "Since when?"),
        ({"amount": "-1"}, "At least 1."),
    ],
)
def test_a_bad_outage_gets_a_sentence(signed_in, values, sentence):
    now = timezone.localtime()
    good = {"resource": "oven", "amount": "1", "start": f"{now:%Y-%m-%dT%H:%M}",
            "end": f"{now + timedelta(days=1):%Y-%m-%dT%H:%M}"}  # fmt: skip
    assert sentence in words(signed_in.post(group("tools"), good | values))
    assert not Outage.objects.exists()


@pytest.mark.parametrize(
    "values",
    [{"temperature_c": "900"}, {"humidity_percent": "0"}, {"humidity_percent": "wet"}, {"where": "the moon"}],
)
def test_a_bad_reading_gets_a_sentence(signed_in, values):
    good = {"temperature_c": "20", "humidity_percent": "50", "where": "trays"}
    answer = signed_in.post(group("room"), good | values)
    assert answer.context["form"].errors
    assert not Reading.objects.exists()
    signed_in.post(group("room"), good)
    assert "20 °C, 50 %: a base coat is usually dry in" in words(signed_in.get(group("room")))


def test_wet_air_names_what_would_help(signed_in):
    signed_in.post(group("room"), {"temperature_c": "20", "humidity_percent": "85", "where": "trays"})
    assert "never gets hard in this air" in words(signed_in.get(group("room")))


def test_the_password_is_changed_and_she_stays_logged_in(signed_in, baker):
    values = {
        "old_password": "tray-lemon-fern",
        "new_password1": "oven-glove-blue",
        "new_password2": "oven-glove-blue",
    }
    assert signed_in.post(group("password"), values).url == reverse("setup")
    baker.refresh_from_db()
    assert baker.check_password("oven-glove-blue")
    assert signed_in.get(reverse("setup")).status_code == 200


def test_a_copy_is_taken_home_and_nothing_else_is(signed_in, monkeypatch, tmp_path):
    monkeypatch.setattr("bakery.studio.backup.folder", lambda: tmp_path)
    (tmp_path / "dryby-20261124-030000.zip").write_bytes(b"a copy")
    (tmp_path / "secret").write_bytes(b"not a copy")
    assert "Take it home" in words(signed_in.get(group("copies")))
    answer = signed_in.get(reverse("copy_download", args=["dryby-20261124-030000.zip"]))
    assert b"".join(answer.streaming_content) == b"a copy"
    for name in ("secret", "dryby-20261124-030001.zip", "..%2Fsecret"):
        assert signed_in.get(f"/set-up/copies/{name}").status_code == 404
    answer.close()  # last: on PostgreSQL it closes the connection of the test as well


def test_the_example_is_named_on_every_page_with_one_press_to_leave(signed_in):
    StudioFactory(is_example=True)
    page = words(signed_in.get(reverse("setup")))
    assert "This is the example studio." in page
    assert f'action="{reverse("example_leave")}"' in page


def test_going_in_from_a_started_studio_says_why_not(signed_in):
    StudioFactory()
    answer = signed_in.post(reverse("example_enter"))
    assert answer.url == reverse("first")
    assert not Studio.objects.get().is_example


def test_nothing_here_and_a_stale_form_say_so_plainly(signed_in, baker):
    from django.test import Client

    assert "There is nothing at this address." in words(signed_in.get("/nowhere/"))
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(baker)
    answer = strict.post(reverse("example_enter"))
    assert answer.status_code == 403
    assert "This page was open too long." in words(answer)


def test_ten_wrong_passwords_shut_the_door_with_a_sentence(client, baker):
    for _ in range(11):
        answer = client.post("/login/", {"username": "baker", "password": "wrong"}, REMOTE_ADDR="10.0.0.9")
    assert answer.status_code == 429
    assert "Too many wrong passwords." in words(answer)


def test_an_example_of_another_day_can_begin_again_today(signed_in):
    StudioFactory(is_example=True, started_at=timezone.now() - timedelta(days=3))
    assert "Begin it again today" in words(signed_in.get(reverse("setup")))
    assert signed_in.post(reverse("example_again")).url == reverse("tonight")
    assert "Begin it again today" not in words(signed_in.get(reverse("setup")))
    assert timezone.localdate(Studio.objects.get().started_at) == timezone.localdate()


def test_beginning_again_never_touches_her_own_studio(signed_in):
    StudioFactory(started_at=timezone.now() - timedelta(days=3))
    signed_in.post(reverse("example_again"))
    assert BakingHours.objects.count() == 5
    assert not Studio.objects.get().is_example


def test_a_phone_in_the_house_gets_an_address_and_a_code(signed_in, monkeypatch, settings):
    settings.ALLOWED_HOSTS = ["*"]  # as in a kitchen; a deployed studio names its own
    monkeypatch.setattr("bakery.opening.ports.lan_address", lambda: "192.168.7.5")
    page = words(signed_in.get(reverse("on_a_phone"), headers={"host": "localhost:8020"}))
    assert "http://192.168.7.5:8020/" in page
    assert "data:image/svg+xml" in page
    assert "http://dryby.example/" in words(
        signed_in.get(reverse("on_a_phone"), headers={"host": "dryby.example"})
    )


def test_without_a_network_it_says_so(signed_in, monkeypatch, settings):
    settings.ALLOWED_HOSTS = ["*"]
    monkeypatch.setattr("bakery.opening.ports.lan_address", lambda: None)
    page = words(signed_in.get(reverse("on_a_phone"), headers={"host": "[::1]:8020"}))
    assert "This computer is in no network now" in page


@pytest.mark.parametrize("what", ["bakery.studio.queries.the_studio", "bakery.studio.views.sorry.render"])
def test_even_a_broken_database_gets_a_page(client, baker, monkeypatch, what):
    def fail(*args, **kwargs):
        raise RuntimeError("the disk is gone")

    client.force_login(baker)
    client.raise_request_exception = False
    monkeypatch.setattr("bakery.studio.queries.the_studio", fail)
    monkeypatch.setattr(what, fail)
    answer = client.get("/")
    assert answer.status_code == 500
    assert "Something broke here." in words(answer)


def test_a_form_in_an_unknown_writing_gets_a_page_in_words(signed_in):
    kind = "application/x-www-form-urlencoded; charset=utf-7"
    answer = signed_in.post("/start/", b"a=1", content_type=kind)
    assert answer.status_code == 400
    assert "could not be read" in words(answer)


def test_a_host_that_is_none_gets_a_page_in_words(signed_in):
    answer = signed_in.get("/start/", headers={"host": "a b"})
    assert answer.status_code == 400
    assert "could not be read" in words(answer)


@pytest.mark.parametrize(
    ("trouble", "sentence"),
    [
        ("database or disk is full", "no room left on this computer"),
        ("database is locked", "studio is busy"),
        ("attempt to write a readonly database", "may not write"),
    ],
)
def test_what_could_not_be_kept_is_told_with_its_reason(signed_in, monkeypatch, trouble, sentence):
    def refuse(**_):
        raise OperationalError(trouble)

    monkeypatch.setattr("bakery.studio.services.start_studio", refuse)
    answer = signed_in.post("/start/", USUAL)
    assert answer.status_code == 503
    assert sentence in words(answer)
    assert "not saved" in words(answer)


def test_a_session_that_cannot_be_written_is_a_busy_studio(signed_in, monkeypatch):
    def refuse(*_, **__):
        raise UpdateError

    monkeypatch.setattr(SessionStore, "save", refuse)
    answer = signed_in.post(group("about"), {"name": "Quay kitchen"})  # leaves a message in the session
    assert answer.status_code == 503
    assert "The studio is busy." in words(answer)
    assert "nothing is taken twice" in words(answer)


@pytest.mark.parametrize("unseen", ["\u202e", "\x00", "\x1b", "\ufeff", "\u2066"])
def test_signs_that_cannot_be_seen_are_dropped_from_settings(signed_in, unseen):
    StudioFactory()
    assert signed_in.post(group("about"), {"name": f"Quay {unseen}kitchen"}).status_code == 302
    assert Studio.objects.get().name == "Quay kitchen"

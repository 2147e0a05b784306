"""Copies of the studio: whole, made while it runs, checked before they replace anything."""

import hashlib
import json
import sqlite3
import tempfile
import zipfile
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bakery.studio import backup
from tests.platform.harness import Studio


@pytest.fixture(scope="module")
def studio():
    """A studio with one user, one picture and one copy of both."""
    with Studio() as studio:
        assert studio.manage("migrate").returncode == 0
        (studio.home / "media" / "orders").mkdir(parents=True)
        (studio.home / "media" / "orders" / "fern.jpg").write_bytes(b"a picture")
        _add_user(studio, "first")
        done = studio.manage("backup")
        assert done.returncode == 0, done.stderr
        made = next((studio.home / "copies").glob("dryby-*.zip"))
        studio.copy = made.rename(studio.home / "kept aside.zip")
        yield studio


def _add_user(studio, name):
    studio.environment["DJANGO_SUPERUSER_PASSWORD"] = "tray-lemon-fern"
    done = studio.manage("createsuperuser", "--no-input", "--username", name, "--email", "")
    assert done.returncode == 0, done.stderr


def _users(studio):
    return [name for (name,) in studio.rows("SELECT username FROM auth_user ORDER BY id")]


def test_a_copy_put_back_restores_rows_and_pictures_and_keeps_what_it_replaced(studio):
    _add_user(studio, "second")
    picture = studio.home / "media" / "orders" / "fern.jpg"
    picture.write_bytes(b"another picture")
    (studio.home / "media" / "late.jpg").write_bytes(b"later")

    done = studio.manage("restore", str(studio.copy))
    assert done.returncode == 0, done.stderr
    assert _users(studio) == ["first"]
    assert picture.read_bytes() == b"a picture"
    assert not (studio.home / "media" / "late.jpg").exists()

    kept = done.stdout.split("What it replaced is kept: ")[1].strip()
    assert studio.manage("restore", kept).returncode == 0
    assert _users(studio) == ["first", "second"]
    assert picture.read_bytes() == b"another picture"
    assert studio.manage("restore", str(studio.copy)).returncode == 0


def _changed(studio, tmp_path, change):
    """A copy in which `change(files)` has altered the contents."""
    with zipfile.ZipFile(studio.copy) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    change(files)
    path = tmp_path / "changed.zip"
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return path


def _about(files, **changes):
    files["about.json"] = json.dumps({**json.loads(files["about.json"]), **changes}).encode()


def _escape(files):
    about = json.loads(files["about.json"])
    about["files"]["media/../../escaped.txt"] = "0" * 64
    files["about.json"], files["media/../../escaped.txt"] = json.dumps(about).encode(), b"out"


def _bury(files):
    """A picture in a folder so deep that nothing could clear it away."""
    about, name = json.loads(files["about.json"]), "media/" + "d/" * 2000 + "fern.jpg"
    about["files"][name] = hashlib.sha256(b"deep").hexdigest()
    files["about.json"], files[name] = json.dumps(about).encode(), b"deep"


def _without_its_own_history(files):
    """A database that does not say what made it: nothing could bring it up to date."""
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / "database.sqlite3"
        path.write_bytes(files["database.sqlite3"])
        with closing(sqlite3.connect(path)) as database:
            database.execute("DROP TABLE django_migrations")
        files["database.sqlite3"] = path.read_bytes()
    about = json.loads(files["about.json"])
    about["files"]["database.sqlite3"] = hashlib.sha256(files["database.sqlite3"]).hexdigest()
    files["about.json"] = json.dumps(about).encode()


@pytest.mark.parametrize("harm", ["password", "unknown packing", "bad stream"])
def test_a_copy_that_cannot_be_unpacked_changes_nothing(studio, tmp_path, harm):
    bytes_ = bytearray(studio.copy.read_bytes())
    entry, local = bytes_.find(b"PK\x01\x02"), bytes_.find(b"PK\x03\x04")
    if harm == "password":
        bytes_[entry + 8] |= 1
        bytes_[local + 6] |= 1
    elif harm == "unknown packing":
        bytes_[entry + 10] = bytes_[local + 8] = 97
    else:
        bytes_[local + 60 : local + 260] = bytes(range(56, 256))
    path = tmp_path / "harmed.zip"
    path.write_bytes(bytes_)
    done = studio.manage("restore", str(path))
    assert done.returncode == 1
    assert "not a whole copy" in done.stderr
    assert "Traceback" not in done.stderr
    assert _users(studio) == ["first"]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda f: f.update({"media/orders/fern.jpg": b"swapped"}), "not a whole copy"),
        pytest.param(lambda f: f.pop("database.sqlite3"), "not a whole copy", marks=pytest.mark.slow),
        (lambda f: f.pop("about.json"), "not a whole copy"),
        pytest.param(lambda f: f.update({"about.json": b"[1"}), "not a whole copy", marks=pytest.mark.slow),
        (lambda f: _about(f, format=99), "newer Dryby"),
        (lambda f: _about(f, migrations=["orders.9999_of_the_future"]), "newer Dryby"),
        (lambda f: _about(f, database="postgresql"), "of a postgresql database"),
        (_escape, "not a whole copy"),
        pytest.param(_bury, "not a whole copy", marks=pytest.mark.slow),
        pytest.param(
            lambda f: f.update({"about.json": b"[" * 200_000}), "not a whole copy", marks=pytest.mark.slow
        ),
        pytest.param(lambda f: _about(f, made=["x"]), "not a whole copy", marks=pytest.mark.slow),
        pytest.param(lambda f: _about(f, migrations="none"), "not a whole copy", marks=pytest.mark.slow),
        (_without_its_own_history, "cannot be used"),
    ],
)
def test_a_copy_that_is_not_right_changes_nothing(studio, tmp_path, change, words):
    before = (_users(studio), sorted((studio.home / "copies").iterdir()))
    done = studio.manage("restore", str(_changed(studio, tmp_path, change)))
    assert done.returncode == 1
    assert words in done.stderr
    assert "Nothing was changed." in done.stderr
    assert "Traceback" not in done.stderr
    assert (_users(studio), sorted((studio.home / "copies").iterdir())) == before
    assert not (studio.home.parent / "escaped.txt").exists()


def test_a_file_cut_short_and_one_that_is_not_there(studio, tmp_path):
    short = tmp_path / "short.zip"
    short.write_bytes(studio.copy.read_bytes()[:5000])
    assert "not a whole copy" in studio.manage("restore", str(short)).stderr
    assert "There is no file" in studio.manage("restore", str(tmp_path / "none.zip")).stderr


def test_a_damaged_database_is_replaced_and_set_aside(studio):
    live = studio.home / "dryby.sqlite3"
    live.write_bytes(b"no database at all" * 500)
    done = studio.manage("restore", str(studio.copy))
    assert done.returncode == 0, done.stderr
    assert _users(studio) == ["first"]
    assert (studio.home / "dryby.sqlite3.damaged").exists()


def test_an_open_studio_is_not_pulled_from_under_her(studio):
    studio.open()
    try:
        done = studio.manage("restore", str(studio.copy))
        assert (done.returncode, "already open" in done.stderr) == (1, True)
    finally:
        studio.stop()


def test_the_night_makes_a_copy_by_itself():
    # A time zone in which it is noon now; the first tick comes with the worker's start.
    zone = f"Etc/GMT{datetime.now(UTC).hour - 12:+d}"
    with Studio(TIME_ZONE=zone) as studio:
        studio.open()
        studio.wait_for(lambda: list((studio.home / "copies").glob("dryby-*.zip")), 15, "the night's copy")


# Which copies are kept


@pytest.fixture
def shelf(settings, tmp_path):
    settings.HOME = tmp_path
    (tmp_path / "copies").mkdir()
    return tmp_path / "copies"


def _put(shelf, *moments):
    for moment in moments:
        (shelf / f"dryby-{moment:%Y%m%d-%H%M%S}.zip").write_bytes(b"")


def test_fourteen_nights_and_the_first_of_every_month_are_kept(shelf):
    nights = [datetime(2026, 9, 1, 3) + timedelta(days=n) for n in range(80)]  # up to 19 November
    _put(shelf, *nights)
    backup.tidy()
    left = [copy.made.date().isoformat() for copy in backup.copies()]
    assert left == [n.date().isoformat() for n in reversed(nights[-14:])] + [
        "2026-11-01",
        "2026-10-01",
        "2026-09-01",
    ]


def test_many_copies_in_one_day_do_not_push_out_the_nights(shelf):
    nights = [datetime(2026, 11, 1, 3) + timedelta(days=n) for n in range(14)]
    today = [datetime(2026, 11, 15, 10, minute) for minute in range(30)]
    _put(shelf, *nights, *today)
    backup.tidy()
    left = {copy.made.date() for copy in backup.copies()}
    assert len(left) == 15  # thirteen nights, today, and the first of the month
    assert sum(copy.made.date() == today[0].date() for copy in backup.copies()) == 14


def test_strangers_in_the_folder_are_left_alone(shelf):
    (shelf / "holiday.zip").write_bytes(b"")
    backup.tidy(keep=0)
    assert (shelf / "holiday.zip").exists()


@pytest.mark.parametrize(
    ("latest", "now", "due"),
    [
        (None, "2026-11-25 04:00", True),
        (None, "2026-11-25 02:00", False),
        ("2026-11-24 03:05", "2026-11-25 02:59", False),
        ("2026-11-24 03:05", "2026-11-25 03:00", True),
        ("2026-11-25 03:05", "2026-11-25 23:00", False),
        ("2026-11-20 19:00", "2026-11-25 19:00", True),  # a computer that was off for days
    ],
)
def test_when_the_nights_copy_is_due(shelf, settings, latest, now, due):
    zone = ZoneInfo(settings.TIME_ZONE)
    if latest:
        _put(shelf, datetime.fromisoformat(latest))
    assert backup.is_due(datetime.fromisoformat(now).replace(tzinfo=zone)) is due

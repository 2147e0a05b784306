"""`manage.py open` from outside: what it prints, how it ends, and one sentence for each trouble."""

import os
import re
import socket
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

from tests.platform.harness import ROOT, Studio, free_port, is_alive


@pytest.fixture
def studio():
    with Studio() as studio:
        yield studio


def test_it_opens_prints_the_address_and_the_first_login_once_and_closes_cleanly(studio):
    studio.open()
    assert f"http://localhost:{studio.port}/" in studio.output
    assert re.search(r"name baker   password [a-z]+-[a-z]+-[a-z]+-[a-z]+\n", studio.output)
    assert studio.client(sign_in=False).get("/")[0] == 200
    studio.client()  # the printed password works
    password, worker = studio.password, studio.wait_for(studio.worker_pid, 5, "the worker")
    code, seconds = studio.stop()
    assert (code, seconds < 3, is_alive(worker)) == (0, True, False)
    assert "Traceback" not in studio.output

    studio.lines.clear()
    again = studio.open()
    assert again < 10
    assert password not in studio.output
    assert "changepassword baker" in studio.output
    assert password.encode() not in (studio.home / "dryby.sqlite3").read_bytes()


def test_a_phone_in_the_house_gets_an_address_and_a_square_code(studio):
    from bakery.opening import ports

    if not ports.lan_address():
        pytest.skip("this machine has no network address")
    studio.open()
    assert f"http://{ports.lan_address()}:{studio.port}/" in studio.output
    assert "▄▄▄▄▄" in studio.output


def test_a_wished_port_that_is_busy_names_the_next_free_one(studio):
    with socket.socket() as other:
        other.bind(("0.0.0.0", studio.port))
        other.listen()
        done = studio.manage("open", "--port", str(studio.port))
    assert done.returncode == 2
    assert re.fullmatch(
        rf"Port {studio.port} is busy\. Port \d+ is free: python3 manage\.py open --port \d+\n", done.stderr
    )


def test_a_second_opening_of_the_same_home_says_where_the_first_one_is(studio):
    studio.open()
    done = studio.manage("open", "--port", str(free_port()))
    assert done.returncode == 1
    assert done.stderr == (
        f"Dryby is already open at http://localhost:{studio.port}/. Stop that one first, with Ctrl-C.\n"
    )


def test_a_home_that_cannot_be_written_is_said_in_one_sentence(tmp_path):
    file_in_the_way = tmp_path / "home"
    file_in_the_way.write_text("")
    done = Studio(file_in_the_way / "deeper").manage("open")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "may not write into" in done.stderr
    assert "DRYBY_HOME=" in done.stderr


def test_a_damaged_database_points_to_the_copies(studio):
    (studio.home / "dryby.sqlite3").write_bytes(b"no database at all" * 500)
    done = studio.manage("open", "--port", str(studio.port))
    assert done.returncode == 2
    assert "put one back: python3 manage.py restore FILE" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_studio_of_a_newer_dryby_is_left_alone(studio):
    assert studio.manage("migrate").returncode == 0
    with closing(sqlite3.connect(studio.home / "dryby.sqlite3")) as database, database:
        database.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('orders', '9999_x', '2031-01-01')"
        )
    done = studio.manage("open", "--port", str(studio.port))
    assert (done.returncode, "newer Dryby" in done.stderr) == (2, True)


def test_a_worker_that_dies_is_started_again(studio):
    studio.open()
    first = studio.wait_for(studio.worker_pid, 5, "the worker")
    studio.kill_worker()
    assert studio.wait_for(lambda: studio.worker_pid() not in (None, first), 5, "another worker")


def test_an_old_python_is_told_what_is_needed(tmp_path):
    """The set-up code, as an interpreter that calls itself 3.8 runs it."""
    script = (
        "import sys, runpy; sys.version_info = (3, 8, 10, 'final', 0);"
        f"runpy.run_path({str(ROOT / 'bakery' / 'bootstrap.py')!r})['prepare']({str(ROOT)!r}, ['open'])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False,
                          env={**os.environ, "PATH": str(tmp_path)})  # fmt: skip
    assert done.returncode == 2
    assert done.stderr == (
        "Dryby needs Python 3.11 or newer; this one is 3.8. "
        "Install a newer one, then run the same command with it.\n"
    )

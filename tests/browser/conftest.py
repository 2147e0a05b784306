"""A real browser against a live server, with no way out to the network."""

import os
import shutil
import threading
import time

import pytest
from django.core.signals import request_finished, request_started

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # Playwright's loop runs in the test's own thread

FLAGS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE localhost , EXCLUDE 127.0.0.1",
]


def pytest_collection_modifyitems(items):
    for item in items:
        if "/browser/" in str(item.path):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium():
    from playwright.sync_api import sync_playwright

    path = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if path is None:
        pytest.fail(
            "No Chromium here: on Debian, apt-get install chromium (the test command does it as root)."
        )
    flags = FLAGS + (["--no-sandbox"] if os.name == "posix" and os.geteuid() == 0 else [])
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=flags)
        yield browser
        browser.close()


class UnderWay:
    """How many requests the live server is answering: the database is not emptied under their feet."""

    def __init__(self):
        self.count, self.lock = 0, threading.Lock()
        request_started.connect(self.begin, dispatch_uid="browser tests")
        request_finished.connect(self.end, dispatch_uid="browser tests")

    def begin(self, **_):
        with self.lock:
            self.count += 1

    def end(self, **_):
        with self.lock:
            self.count -= 1

    def wait(self, seconds=10.0):
        end = time.monotonic() + seconds
        while self.count > 0 and time.monotonic() < end:
            time.sleep(0.02)


@pytest.fixture(scope="session")
def under_way():
    return UnderWay()


def _page(chromium, width, height, **more):
    context = chromium.new_context(viewport={"width": width, "height": height}, locale="en-GB", **more)
    page = context.new_page()
    page.problems = []
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    page.on(
        "console",
        lambda message: page.problems.append(message.text) if message.type == "error" else None,
    )
    return context, page


@pytest.fixture
def desktop(chromium, under_way):
    context, page = _page(chromium, 1440, 1000)
    yield page
    context.close()
    under_way.wait()


@pytest.fixture
def phone(chromium, under_way):
    context, page = _page(chromium, 390, 844, has_touch=True, is_mobile=True)
    yield page
    context.close()
    under_way.wait()

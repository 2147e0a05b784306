"""The deployed form refuses to start without its secret; the embedded one makes its own."""

import os
import subprocess
import sys


def settings_say(tmp_path, **environment):
    kept = {name: value for name, value in os.environ.items() if name not in ("SECRET_KEY", "DATABASE_URL")}
    return subprocess.run(
        [sys.executable, "-c", "import bakery.settings as s; print(len(s.SECRET_KEY) > 40)"],
        env={**kept, "DRYBY_HOME": str(tmp_path), **environment},
        capture_output=True,
        text=True,
    )


def test_a_deployed_studio_does_not_invent_its_secret(tmp_path):
    said = settings_say(tmp_path, DATABASE_URL="postgres://dryby@localhost/dryby")
    assert said.returncode != 0
    assert "Give SECRET_KEY a long random value" in said.stderr


def test_an_embedded_studio_makes_its_own_and_keeps_it(tmp_path):
    assert settings_say(tmp_path).stdout.strip() == "True"
    first = (tmp_path / "secret").read_text()
    settings_say(tmp_path)
    assert (tmp_path / "secret").read_text() == first

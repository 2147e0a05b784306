"""The set-up before anything is installed: stamps, broken .venv, sentences. No network is used here."""

import os
import runpy
import subprocess
import sys
import venv
from types import SimpleNamespace

import pytest

from tests.platform.harness import ROOT


@pytest.fixture
def bootstrap():
    return SimpleNamespace(**runpy.run_path(str(ROOT / "bakery" / "bootstrap.py")))


@pytest.fixture
def house(tmp_path):
    """A folder with requirement files that ask for nothing."""
    (tmp_path / "tests").mkdir()
    (tmp_path / "requirements.txt").write_text("")
    (tmp_path / "tests" / "requirements.txt").write_text("")
    return tmp_path


def python_of(house):
    return str(house / ".venv" / "bin" / "python")


posix = pytest.mark.skipif(os.name == "nt", reason="paths of a .venv on POSIX")


@posix
def test_a_set_up_is_stamped_and_then_ready(bootstrap, house):
    place, python = str(house / ".venv"), python_of(house)
    assert not bootstrap.is_ready(house, place, python, "run")
    bootstrap.set_up(str(house), place, python, "run")
    assert bootstrap.is_ready(house, place, python, "run")
    assert not bootstrap.is_ready(house, place, python, "tests")


@posix
def test_changed_requirements_are_noticed(bootstrap, house):
    place, python = str(house / ".venv"), python_of(house)
    bootstrap.set_up(str(house), place, python, "run")
    (house / "requirements.txt").write_text("# one more\n")
    assert not bootstrap.is_ready(house, place, python, "run")


@posix
def test_a_venv_whose_python_is_gone_is_made_anew(bootstrap, house):
    place, python = str(house / ".venv"), python_of(house)
    bootstrap.set_up(str(house), place, python, "run")
    for name in ("python", "python3"):
        link = house / ".venv" / "bin" / name
        link.unlink(missing_ok=True)
        link.symlink_to("/nowhere/python3")
    assert not bootstrap.is_ready(house, place, python, "run")
    bootstrap.set_up(str(house), place, python, "run")
    assert bootstrap.is_ready(house, place, python, "run")


@posix
def test_without_network_one_sentence_and_exit_code_2(bootstrap, house, capsys, monkeypatch):
    (house / "requirements.txt").write_text("surely-not-installed-yet==1.0\n")
    venv.create(house / ".venv", with_pip=True, symlinks=True)
    for name in ("PIP_FIND_LINKS", "PIP_EXTRA_INDEX_URL"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
    monkeypatch.setenv("PIP_INDEX_URL", "http://127.0.0.1:9/simple/")  # nothing listens there
    with pytest.raises(SystemExit) as stopped:
        bootstrap.set_up(str(house), str(house / ".venv"), python_of(house), "run")
    assert stopped.value.code == 2
    assert "There is no network" in capsys.readouterr().err


def test_a_read_only_folder_asks_for_a_home(bootstrap, house, capsys, monkeypatch):
    monkeypatch.delenv("DRYBY_HOME", raising=False)
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(SystemExit) as stopped:
        bootstrap.place_of_venv(str(house))
    assert stopped.value.code == 2
    assert "DRYBY_HOME=/a/folder" in capsys.readouterr().err


def test_missing_libraries_are_named_exactly_to_a_plain_user(bootstrap, capsys, monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    assert not bootstrap.install_libraries(["libpango-1.0-0", "chromium"], "The tests need them.")
    assert (
        "sudo apt-get install -y --no-install-recommends libpango-1.0-0 chromium" in capsys.readouterr().out
    )


def test_the_set_up_uses_nothing_but_the_standard_library():
    """Run without site-packages: an import of anything installed would fail."""
    script = f"import runpy; runpy.run_path({str(ROOT / 'bakery' / 'bootstrap.py')!r})"
    assert subprocess.run([sys.executable, "-I", "-S", "-c", script], check=False).returncode == 0


def test_continuous_integration_runs_the_readmes_command():
    script = (ROOT / ".ci" / "run").read_text().splitlines()
    assert script[-1] == 'exec python3 manage.py test "$@"'
    assert "python3 manage.py test" in (ROOT / "README.md").read_text()

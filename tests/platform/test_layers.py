"""Imports run one way, and the trade's computing stands alone: the contracts of pyproject.toml."""

import subprocess
import sys

from tests.platform.harness import ROOT


def test_the_import_contracts_hold():
    from importlinter.cli import lint_imports

    assert lint_imports(config_filename=str(ROOT / "pyproject.toml"), no_cache=True) == 0


def test_the_planner_starts_without_the_web_or_the_solver():
    script = (
        "import sys, bakery.craft.planning;"
        "print([m for m in ('django', 'celery', 'ortools', 'weasyprint') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"

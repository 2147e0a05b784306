#!/usr/bin/env python3
"""Dryby's commands: `python3 manage.py open`, `test`, `backup`, `restore FILE`, `help`."""

import os
import runpy
import sys

if sys.version_info < (3,):
    sys.exit("Dryby needs Python 3.11 or newer: python3 manage.py open")
HERE = os.path.dirname(os.path.abspath(__file__))


def main():
    # By path, not by import: nothing is installed yet, and an old Python must get as far as its one sentence.
    bootstrap = runpy.run_path(os.path.join(HERE, "bakery", "bootstrap.py"))
    bootstrap["prepare"](HERE, sys.argv[1:])
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bakery.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.exit(130)

"""`python3 manage.py restore FILE`: put a copy of the studio back."""

from pathlib import Path

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from bakery.opening import CannotOpen, home
from bakery.studio.backup import CopyFailed
from bakery.studio.restore import restore


class Command(BaseCommand):
    help = "Put a copy of the studio back. It is checked first, and what it replaces is kept as a copy."
    requires_system_checks = []

    def add_arguments(self, parser):
        parser.add_argument("file", type=Path, help="a copy, as `backup` and every night make it")

    def handle(self, *, file, **_):
        try:
            home.make(settings.HOME)
            held = home.hold(settings.HOME) if settings.EMBEDDED else None
            done = restore(file)
        except (CannotOpen, CopyFailed) as error:
            raise CommandError(str(error)) from error
        if held:
            held.close()
        self.stdout.write(f"The studio is as it was at {done.made[:16].replace('T', ' ')} (UTC).")
        if done.kept:
            self.stdout.write(f"What it replaced is kept: {done.kept}")

"""Invented years for an empty studio: `manage.py make_history --years 10 --into FILE`."""

import time
from pathlib import Path

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection, connections
from django.utils import timezone

from bakery.studio.emptying import is_empty

from ...history import fill_history
from ...services import catch_up

A_YEAR = {"orders": 2000, "moves": 30_000}


class Command(BaseCommand):
    help = "Fill an empty studio with the example and invented years before it: to see how pages carry them."

    def add_arguments(self, parser):
        parser.add_argument("--years", type=int, default=10)
        parser.add_argument("--orders", type=int, help="in all (usually 2000 a year)")
        parser.add_argument("--moves", type=int, help="of the cupboard, in all (usually 30,000 a year)")
        parser.add_argument("--seed", type=int, default=1)
        parser.add_argument("--into", metavar="FILE", help="a new database file of its own")

    def handle(self, *, years, orders, moves, seed, into, **options):
        orders = A_YEAR["orders"] * years if orders is None else orders
        moves = A_YEAR["moves"] * years if moves is None else moves
        if not 1 <= years <= 20 or not 0 <= orders <= 200_000 or not 0 <= moves <= 5_000_000:
            raise CommandError("1 to 20 years, up to 200,000 orders and 5,000,000 moves.")
        if into:
            _turn_to(Path(into))
            call_command("migrate", verbosity=0)
        if not is_empty():
            raise CommandError("There is something in this studio already. Give a new file: --into FILE")
        begun, work = time.monotonic(), time.process_time()
        counts = fill_history(
            years=years, orders=orders, moves=moves, seed=seed, now=timezone.now(), say=self._say
        )
        self._say("Adding up what the hours paid.")
        catch_up(most=None)
        if connection.vendor == "postgresql":  # SQLite plans better without: it keeps no count by value
            with connection.cursor() as cursor:
                cursor.execute("ANALYZE")
        rows = ", ".join(f"{count:,} {name.lower()}s" for name, count in counts.items())
        self._say(
            f"{rows}: {time.monotonic() - begun:.0f} s, {time.process_time() - work:.0f} s of them work."
        )

    def _say(self, words):
        self.stdout.write(words)
        self.stdout.flush()


def _turn_to(path: Path) -> None:
    """From here on this process works on another database: a new SQLite file."""
    if path.exists():
        raise CommandError(f"{path} is there already.")
    settings = connections["default"].settings_dict
    if not settings["ENGINE"].endswith("sqlite3"):
        raise CommandError("--into is for SQLite; with another database give an empty one.")
    path.parent.mkdir(parents=True, exist_ok=True)
    connections["default"].close()
    settings["NAME"] = str(path)

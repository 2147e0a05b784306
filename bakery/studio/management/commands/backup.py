"""`python3 manage.py backup`: a copy of the studio, now."""

from django.core.management.base import BaseCommand, CommandError

from bakery.studio.backup import CopyFailed, folder, make_copy


class Command(BaseCommand):
    help = "Make a copy of the whole studio now. One is kept every night anyway."
    requires_system_checks = []

    def handle(self, **_):
        try:
            path = make_copy()
        except CopyFailed as error:
            raise CommandError(f"No copy was made: {error}") from error
        self.stdout.write(f"The copy is {path} ({path.stat().st_size / 1e6:.1f} MB).")
        self.stdout.write(
            f"Keep one outside this computer too. To put it back: python3 manage.py restore {path}"
        )
        self.stdout.write(f"All copies are in {folder()}.")

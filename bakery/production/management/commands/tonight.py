"""`manage.py tonight`: tonight's list as text, from the same view as the page."""

from django.core.management.base import BaseCommand
from django.utils import timezone

from bakery.production.management.ready import needs_a_studio
from bakery.production.queries.tonight import tonight_view
from bakery.production.services import make_plan
from bakery.production.texts import tonight_text


class Command(BaseCommand):
    help = "Print tonight's list."

    def handle(self, *args, **options):
        needs_a_studio()
        now = timezone.now()
        view = tonight_view(now)
        if view.stale:
            # Nobody may be there to work it out: do it here, so that the list is true.
            make_plan(now=now)
            view = tonight_view(now)
        self.stdout.write(tonight_text(view))

"""One look at the studio a request: pages need its sign, its hours and whether it is the example."""

import logging
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import OperationalError
from django.utils import timezone
from django.utils.functional import SimpleLazyObject

logger = logging.getLogger(__name__)


class StudioMiddleware:
    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        from .queries import the_studio

        request.studio = SimpleLazyObject(the_studio)
        with timezone.override(ZoneInfo(settings.TIME_ZONE)):
            return self.get_response(request)

    def process_exception(self, request, exception):
        """A full disk or a database held by somebody else is told as what it is; the rest stays an error."""
        from .views.sorry import not_kept

        if isinstance(exception, OperationalError):
            logger.error("%s could not be answered: %s", request.path, exception)
            return not_kept(request, exception)
        return None

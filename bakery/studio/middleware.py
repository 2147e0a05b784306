"""One look at the studio a request: pages need its sign, its hours and whether it is the example."""

import logging
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import OperationalError
from django.shortcuts import resolve_url
from django.utils import timezone
from django.utils.functional import SimpleLazyObject
from django_htmx.http import HttpResponseClientRedirect

logger = logging.getLogger(__name__)


class StudioMiddleware:
    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        from .queries import the_studio

        request.studio = SimpleLazyObject(the_studio)
        with timezone.override(ZoneInfo(settings.TIME_ZONE)):
            return whole_page_to_sign_in(request, self.get_response(request))

    def process_exception(self, request, exception):
        """A full disk or a database held by somebody else is told as what it is; the rest stays an error."""
        from .views.sorry import not_kept

        if isinstance(exception, OperationalError):
            logger.error("%s could not be answered: %s", request.path, exception)
            return not_kept(request, exception)
        return None


def whole_page_to_sign_in(request, response):
    """A press from a page whose login has run out leads to the login, and back to that page after it;
    a part of a page cannot show it.
    """
    login = resolve_url(settings.LOGIN_URL)
    if not getattr(request, "htmx", False) or not response.get("Location", "").startswith(login):
        return response
    back = urlencode({"next": request.htmx.current_url_abs_path or "/"})
    return HttpResponseClientRedirect(f"{login}?{back}")

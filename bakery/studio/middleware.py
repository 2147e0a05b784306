"""One look at the studio a request: pages need its sign, its hours and whether it is the example."""

from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import timezone
from django.utils.functional import SimpleLazyObject


class StudioMiddleware:
    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        from .queries import the_studio

        request.studio = SimpleLazyObject(the_studio)
        with timezone.override(ZoneInfo(settings.TIME_ZONE)):
            return self.get_response(request)

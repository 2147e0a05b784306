"""The web application for any WSGI server; `manage.py open` runs it in waitress."""

import gc
import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bakery.settings")
application = get_wsgi_application()


def settle() -> None:
    """Load every page's code now and take it out of the garbage collector's rounds.

    Each full round would look through all of it, a tenth of a second that some page has to wait for.
    """
    from django.urls import get_resolver

    get_resolver().url_patterns  # noqa: B018  reading it imports the views
    gc.collect()
    gc.freeze()


settle()

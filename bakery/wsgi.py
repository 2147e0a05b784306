"""The web application for any WSGI server; `manage.py open` runs it in waitress."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bakery.settings")
application = get_wsgi_application()

"""The Celery application: `celery -A bakery.celery worker`, and `beat` where the clock is a process."""

import os
import warnings

from celery import Celery
from celery.exceptions import SecurityWarning
from celery.signals import celeryd_init

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "bakery.settings")
warnings.filterwarnings(
    "ignore", category=SecurityWarning
)  # said once per start when run as root, as containers do

app = Celery("bakery")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@celeryd_init.connect
def equip_worker(**_) -> None:
    import bakery.background.worker  # noqa: F401  (its signal handlers)

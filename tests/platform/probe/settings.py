"""The site's own settings with the probe beside them; the home is set by the harness."""

from bakery.settings import *  # noqa: F403

INSTALLED_APPS += ["tests.platform.probe"]  # noqa: F405
ROOT_URLCONF = "tests.platform.probe.urls"

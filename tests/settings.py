"""The site's settings for the tests: a home of their own, quick password hashes, no waiting."""

import atexit
import os
import shutil
import tempfile

os.environ.setdefault("SECRET_KEY", "a secret of the tests, long enough to please everybody")
os.environ["DRYBY_HOME"] = tempfile.mkdtemp(prefix="dryby-tests-")
atexit.register(shutil.rmtree, os.environ["DRYBY_HOME"], ignore_errors=True)

from bakery.settings import *  # noqa: E402, F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
COMPUTATION_RETRY_SECONDS = 0.0

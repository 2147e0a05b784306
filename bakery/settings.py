"""The site's settings: everything runs with no environment at all; the deployed form sets its own.

DATABASE_URL, BROKER_URL, SECRET_KEY, ALLOWED_HOSTS, DRYBY_HOME and TIME_ZONE are read from the environment.
"""

import os
from pathlib import Path

import environ
from django.core.exceptions import ImproperlyConfigured

# Small matrices only: a second thread of the linear algebra waits for its turn longer than it helps.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
env = environ.Env()

BASE_DIR = Path(__file__).resolve().parent.parent
HOME = Path(env.str("DRYBY_HOME", default=str(BASE_DIR / "data")))
BROKER_URL = env.str("BROKER_URL", default="")
DEPLOYED = bool(env.str("DATABASE_URL", default="") or BROKER_URL)
DEBUG = env.bool("DEBUG", default=False)


def _own_secret() -> str:
    """A secret made once and kept beside the data, so that the embedded form needs no set-up."""
    import secrets

    path = HOME / "secret"
    try:
        return path.read_text().strip() or secrets.token_urlsafe(50)
    except OSError:
        value = secrets.token_urlsafe(50)
        try:
            HOME.mkdir(parents=True, exist_ok=True)
            handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(handle, "w") as file:
                file.write(value)
        except OSError:
            pass  # an unwritable folder is reported by the `open` command, in words
        return value


SECRET_KEY = env.str("SECRET_KEY", default="")
if not SECRET_KEY and DEPLOYED:
    raise ImproperlyConfigured("Give SECRET_KEY a long random value: a deployed studio invents none.")
SECRET_KEY = SECRET_KEY or _own_secret()
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=["*"] if not DEPLOYED else ["localhost", "127.0.0.1"])
CSRF_TRUSTED_ORIGINS = env.list("CSRF_TRUSTED_ORIGINS", default=[])

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "axes",
    "simple_history",
    "bakery.background",
    "bakery.studio",
    "bakery.customers",
    "bakery.stock",
    "bakery.designs",
    "bakery.orders",
    "bakery.production",
    "bakery.bench",
    "bakery.money",
    "bakery.paperwork",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "bakery.studio.middleware.StudioMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "bakery.urls"
WSGI_APPLICATION = "bakery.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "bakery.studio.context.studio",
            ],
        },
    },
]

if env.str("DATABASE_URL", default=""):
    DATABASES = {"default": env.db("DATABASE_URL")}
    DATABASES["default"]["CONN_MAX_AGE"] = 60
else:
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": HOME / "dryby.sqlite3",
            "OPTIONS": {
                # Writers queue instead of failing: measured, no lost request under load.
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
                "init_command": (
                    "PRAGMA journal_mode=WAL;PRAGMA synchronous=NORMAL;PRAGMA cache_size=-20000;"
                    "PRAGMA mmap_size=134217728;PRAGMA temp_store=MEMORY;"
                ),
            },
        }
    }

AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AXES_FAILURE_LIMIT = 10
AXES_COOLOFF_TIME = 1  # hour
AXES_RESET_ON_SUCCESS = True
AXES_VERBOSE = False
AXES_LOCKOUT_CALLABLE = "bakery.studio.views.shut_out"
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "first"
LOGOUT_REDIRECT_URL = "login"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator"},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

LANGUAGE_CODE = "en-gb"
TIME_ZONE = env.str("TIME_ZONE", default="Europe/London")
USE_I18N = True
USE_TZ = True
FORMAT_MODULE_PATH = []

STATIC_URL = "/static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
WHITENOISE_USE_FINDERS = True
MEDIA_ROOT = HOME / "media"
MEDIA_URL = "/media/"

SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 90
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = env.bool("HTTPS_ONLY", default=False)
CSRF_COOKIE_SECURE = SESSION_COOKIE_SECURE
CSRF_FAILURE_VIEW = "bakery.studio.views.form_out_of_date"
DATA_UPLOAD_MAX_MEMORY_SIZE = 24 * 1024 * 1024  # a 10 MB note gets a sentence, not an error page

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'self'"],
        "img-src": ["'self'", "data:"],
        "frame-ancestors": ["'none'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "object-src": ["'none'"],
    }
}

MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"
MONEY_PLACES = 2

# Long computations: rows of `bakery.background`, woken by Celery. Without a broker the one worker that `open`
# starts finds them by itself; its broker lives in its own memory.
EMBEDDED = not BROKER_URL
COMPUTATION_LEASE = env.float("COMPUTATION_LEASE", default=15.0)  # seconds of silence, then taken over
COMPUTATION_RETRY_SECONDS = env.float("COMPUTATION_RETRY_SECONDS", default=2.0)  # doubles with every attempt
CELERY_BROKER_URL = BROKER_URL or "memory://localhost/"
CELERY_BROKER_TRANSPORT_OPTIONS = (
    {"polling_interval": 0.1}
    if EMBEDDED
    else {"visibility_timeout": 6 * 3600, "socket_timeout": 3, "socket_connect_timeout": 2}
)
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_PUBLISH_RETRY = False  # a row is found by the scout; the page need not wait for a broker
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_ENABLE_REMOTE_CONTROL = False
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_TIMEZONE = TIME_ZONE
CELERY_BEAT_SCHEDULE = {"tick": {"task": "background.tick", "schedule": 300.0}}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"short": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "short"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
        "django.request": {"level": "ERROR"},  # a page that is not there is no news
        "django.security.DisallowedHost": {"level": "CRITICAL"},
        "waitress.queue": {"level": "ERROR"},
    },
}

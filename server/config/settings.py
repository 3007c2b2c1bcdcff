"""Settings of the server. Everything that may be set from outside stands in
docs/reference/commands-and-settings.md."""

import os
import tempfile
from pathlib import Path

from server.config.place import Place, database
from shared.wire import v1

PLACE = Place(Path(os.environ.get("GOODGROUND_DATA", "goodground_data")))
SECRET_KEY = PLACE.key()
DEBUG = os.environ.get("GOODGROUND_DEBUG") == "1"
ALLOWED_HOSTS = [
    *("localhost", "127.0.0.1", "[::1]"),
    *filter(None, os.environ.get("GOODGROUND_HOSTS", "").split(",")),
]
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS[3:]]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_otp",
    "django_otp.plugins.otp_totp",
    "rest_framework",
    "drf_spectacular",
    "server.people",
    "server.book",
    "server.land",
    "server.status",
    "server.photos",
    "server.intake",
    "server.keeping",
    "server.reading",
    "server.ahead",
    "server.registers",
    "server.api",
    "server.web",
]
AUTH_USER_MODEL = "people.Account"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
OTP_TOTP_ISSUER = "Goodground"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

MIDDLEWARE = [
    "server.api.trimming.Trimmed",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
ROOT_URLCONF = "server.config.urls"
WSGI_APPLICATION = "server.config.wsgi.application"
APPEND_SLASH = False
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]

DATABASES = {
    "default": database(
        os.environ.get("GOODGROUND_DATABASE_URL"),
        PLACE.book,
        Path(tempfile.gettempdir()) / f"goodground-test-{os.getpid()}.sqlite3",
    )
}

OLDEST_APP = os.environ.get("GOODGROUND_OLDEST_APP") or v1.OLDEST_APP

LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English"), ("es", "español")]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG

BEHIND_TLS = os.environ.get("GOODGROUND_TLS") == "1"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = BEHIND_TLS or os.environ.get("GOODGROUND_TLS") == "itself"
SESSION_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "server.web.views.faults.stale_form"
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 14
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
if BEHIND_TLS:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_HSTS_SECONDS = 60 * 60 * 24 * 30

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["server.api.v1.authentication.PhoneToken"],
    "DEFAULT_PERMISSION_CLASSES": [],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": [],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "server.api.v1.problems.answer",
    "UNAUTHENTICATED_USER": None,
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Goodground: the sync contract",
    "DESCRIPTION": "What phone and server say to each other, version 1.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"stderr": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
}

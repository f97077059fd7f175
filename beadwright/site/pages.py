"""Django's settings for the pages: those of the store, and what serving people needs besides.

BEADWRIGHT_PLANT: which plant, where the store holds several. BEADWRIGHT_TLS: "1" where the server
speaks TLS, so that cookies are sent over nothing else. BEADWRIGHT_HOSTS: names that the pages are
asked for by, besides this machine's own.
"""

import os
from pathlib import Path

from beadwright.site.secret import secret
from beadwright.site.settings import (
    ATOMIC_REQUESTS,
    DATABASES,
    DEFAULT_AUTO_FIELD,
    INSTALLED_APPS,
    TIME_ZONE,
    USE_I18N,
    USE_TZ,
)

__all__ = [
    "ALLOWED_HOSTS",
    "ATOMIC_REQUESTS",
    "CSRF_COOKIE_HTTPONLY",
    "CSRF_COOKIE_SAMESITE",
    "CSRF_COOKIE_SECURE",
    "CSRF_FAILURE_VIEW",
    "DATABASES",
    "DEBUG",
    "DEFAULT_AUTO_FIELD",
    "INSTALLED_APPS",
    "MIDDLEWARE",
    "PLANT",
    "ROOT_URLCONF",
    "SECRET_KEY",
    "SECURE_CONTENT_TYPE_NOSNIFF",
    "SESSION_COOKIE_AGE",
    "SESSION_COOKIE_HTTPONLY",
    "SESSION_COOKIE_SAMESITE",
    "SESSION_COOKIE_SECURE",
    "SESSION_ENGINE",
    "STATICFILES_FINDERS",
    "STATIC_URL",
    "TEMPLATES",
    "TIME_ZONE",
    "USE_I18N",
    "USE_TZ",
    "WHITENOISE_MAX_AGE",
    "WHITENOISE_USE_FINDERS",
    "WSGI_APPLICATION",
]

_WEB = Path(__file__).resolve().parents[1] / "web"
_TLS = os.environ.get("BEADWRIGHT_TLS") == "1"
_HOSTS = [name for name in os.environ.get("BEADWRIGHT_HOSTS", "").split(",") if name]

DEBUG = False
SECRET_KEY = secret()
PLANT = os.environ.get("BEADWRIGHT_PLANT", "")
ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]", *_HOSTS]

INSTALLED_APPS = ["django.contrib.staticfiles", "django_htmx", "beadwright.web", *INSTALLED_APPS]
MIDDLEWARE = [
    "beadwright.web.headers.headers",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "beadwright.web.visitor.visitor",
]
ROOT_URLCONF = "beadwright.site.urls"
WSGI_APPLICATION = "beadwright.site.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [_WEB],
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "beadwright.web.shown.around",
            ],
            "builtins": ["beadwright.web.tags"],
            "string_if_invalid": "",
        },
    }
]

STATIC_URL = "/static/"
STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.AppDirectoriesFinder"]
WHITENOISE_USE_FINDERS = True
WHITENOISE_MAX_AGE = 31_536_000  # an address carries a hash of what it gives

# What a signed cookie holds is who signed in and when; the rest is asked of the store each time.
SESSION_ENGINE = "django.contrib.sessions.backends.signed_cookies"
SESSION_COOKIE_AGE = 12 * 3600
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = _TLS
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SECURE = _TLS
CSRF_FAILURE_VIEW = "beadwright.web.refused.not_from_here"
SECURE_CONTENT_TYPE_NOSNIFF = True

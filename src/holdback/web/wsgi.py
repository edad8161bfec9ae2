"""The site as a WSGI application, for waitress."""

from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "holdback.web.settings")
application = get_wsgi_application()

from holdback.web.pages.pedigree.layout import warm  # noqa: E402 - Django is ready from here on

warm()

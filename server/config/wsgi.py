"""The entry point of a production WSGI server."""

import os

from django.core.wsgi import get_wsgi_application

from server.config.memory import settle

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.config.settings")
application = get_wsgi_application()
settle()

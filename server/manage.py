"""Django's own commands, for developers: ``python server/manage.py makemigrations``."""

import os
import sys
from pathlib import Path


def main() -> None:
    # Run as a script this file's folder comes first in the path, and its modules would have two names.
    sys.path[0] = str(Path(__file__).resolve().parent.parent)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.config.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()

"""The server's commands: ``python -m server COMMAND …``. ``python -m server`` lists them."""

from __future__ import annotations

import sys

from server.config.commands import run

if __name__ == "__main__":
    sys.exit(run(sys.argv[1:]))

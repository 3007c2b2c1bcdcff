"""The server over HTTP, brought in at the first question to it.

Requests and what it stands on take a fifth of a second to come in. The first screen doesn't ask the server anything;
whoever does, asks it off the screen's thread.
"""

from __future__ import annotations

import importlib
import threading
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from mobile.transport.http_server import HttpServer


class ServerAtNeed:
    """Everything that ``HttpServer`` answers to."""

    def __init__(self, app: str) -> None:
        self._app = app
        self._one_at_a_time = threading.Lock()
        self._server: HttpServer | None = None

    def __getattr__(self, name: str) -> Any:
        with self._one_at_a_time:
            if self._server is None:
                self._server = importlib.import_module("mobile.transport.http_server").HttpServer(self._app)
        return getattr(self._server, name)

"""The server in a process of its own, as people run it, but that it says when a push is committed and waits a little
before it answers: so that a kill can fall in between."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable, Iterable
from multiprocessing.connection import Connection
from typing import Any

PAUSE_S = 0.03


def live(data: str, port: int, tell: Connection) -> None:
    """Until somebody kills it."""
    os.environ["GOODGROUND_DATA"] = data
    os.environ.pop("GOODGROUND_DATABASE_URL", None)
    os.environ["DJANGO_SETTINGS_MODULE"] = "server.config.settings"
    import waitress

    from server.config.wsgi import application

    server = waitress.create_server(
        paused(application, tell), host="127.0.0.1", port=port, threads=4, ident=None
    )
    tell.send(("serves", str(server.effective_port)))
    server.run()


def paused(application: Any, tell: Connection) -> Callable[[dict[str, Any], Any], Iterable[bytes]]:
    one_at_a_time = threading.Lock()

    def say(what: str) -> None:
        with one_at_a_time:
            tell.send((what, ""))

    def answering(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        answer = application(environ, start_response)
        if environ["PATH_INFO"].endswith("/entries/") and answer.status_code == 200:
            say("committed")
            time.sleep(PAUSE_S)
            say("answered")
        return answer

    return answering

"""A server that answers badly in a server's place: 500, half a body, somebody else's page."""

from __future__ import annotations

import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


class Liar:
    """Listens on a port and answers everything by ``way``; counts what it was asked."""

    def __init__(self, port: int) -> None:
        self.way = "error"
        self.asked = 0
        liar = self

        class Answer(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def handle_any(self) -> None:
                self.rfile.read(int(self.headers.get("Content-Length") or 0))
                body = b'{"results":[{"line":1,"outc'
                if liar.way == "error":
                    self.send_response(500)
                    self.send_header("Content-Length", "0")
                    self.end_headers()
                else:
                    # Half a body: more is promised than comes.
                    self.send_response(200)
                    self.send_header("Content-Type", "application/json")
                    self.send_header("Content-Length", str(len(body) * 4))
                    self.end_headers()
                    self.wfile.write(body)
                    self.close_connection = True
                liar.asked += 1

            do_GET = do_POST = do_PATCH = do_HEAD = handle_any

            def log_message(self, *_: object) -> None:
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", port), Answer)
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def end(self) -> None:
        self.server.shutdown()
        self.server.server_close()

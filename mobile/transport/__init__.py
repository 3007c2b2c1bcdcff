"""The server over HTTP, by requests."""

from mobile.transport.http_server import HttpServer

__all__ = ["HttpServer"]

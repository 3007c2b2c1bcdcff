"""HTML in, PDF out, in a process of its own: what a large register takes in memory goes with it.

``python -m server.registers.press`` reads pages from its input, each after its length, and writes each as a document to
its output in the same way. It fetches nothing but the typefaces that lie beside the pages.
"""

from __future__ import annotations

import struct
import subprocess
import sys
import threading
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import IO, Any

from shared.errors import GoodgroundError

TYPES = Path(__file__).resolve().parents[1] / "web" / "static" / "web" / "fonts"
LONGEST_S = 600
ENDS_WITHIN_S = 10
RENEWED_AFTER = 8
"""Pages set by one process: of a long register's parts, each of some thirty pages, they take it about 300 MB."""
LENGTH = struct.Struct(">Q")
KEPT_FOR_LONG = "pdf/a-3u"
"""The form of PDF that holds all it needs to be read in many years (ISO 19005-3)."""
LOOK = """
@font-face { font-family: Plex; font-weight: 400; src: url("types:ibm-plex-sans-latin-400-normal.woff2"); }
@font-face { font-family: Plex; font-weight: 600; src: url("types:ibm-plex-sans-latin-600-normal.woff2"); }
@font-face { font-family: Serif4; font-weight: 700; src: url("types:source-serif-4-latin-700-normal.woff2"); }
@page { size: letter landscape; margin: 12mm 10mm 14mm; font: 8pt Plex, sans-serif; }
body { font: 6.4pt/1.25 Plex, "DejaVu Sans", sans-serif; font-variant-numeric: tabular-nums; color: #000; }
h1 { font: 700 16pt/1.1 Serif4, serif; margin: 0 0 2mm; }
p { margin: 0 0 0.8mm; font-size: 8pt; overflow-wrap: anywhere; }
table { width: 100%; border-collapse: collapse; margin-top: 3mm; }
thead { display: table-header-group; }
th, td { text-align: left; padding: 0.6mm 1.2mm 0.6mm 0; }
th { font-weight: 600; vertical-align: bottom; border-bottom: 1.2pt solid #000; }
td { vertical-align: top; border-bottom: 0.4pt solid #888; overflow-wrap: anywhere; }
.short { white-space: nowrap; overflow-wrap: normal; }
tr { break-inside: avoid; }
s { text-decoration-thickness: 0.8pt; }
"""


class PressFailed(GoodgroundError):
    """The document could not be made; what it should have held is untouched."""

    code = "press_failed"


def pressed(html: str) -> bytes:
    """The page as a PDF. Raises ``PressFailed``."""
    return pressed_all([html])[0]


def pressed_all(pages: Iterable[str]) -> list[bytes]:
    """Each page as a PDF, all by one process. Raises ``PressFailed``."""
    with Press() as press:
        return [press.set(one) for one in pages]


class Press:
    """A process that sets one page after the other, and a new one after some: what they take of memory goes with it."""

    def __init__(self) -> None:
        self._child: subprocess.Popen[bytes] | None = None
        self._set = 0

    def __enter__(self) -> Press:
        return self

    def __exit__(self, *error: object) -> None:
        self._end()

    def set(self, html: str) -> bytes:
        """The page as a PDF. Raises ``PressFailed``."""
        if self._set == RENEWED_AFTER:
            self._end()
        try:
            return self._through(self._child or self._begin(), html.encode())
        except (OSError, ValueError):
            self._end()
            raise PressFailed from None

    def _begin(self) -> subprocess.Popen[bytes]:
        self._child = subprocess.Popen(
            [sys.executable, "-m", "server.registers.press"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=Path(__file__).resolve().parents[2],
        )
        return self._child

    def _through(self, child: subprocess.Popen[bytes], page: bytes) -> bytes:
        """Raises ``OSError``, ``ValueError`` where the process ended, was too slow or answers something else."""
        assert child.stdin is not None
        assert child.stdout is not None
        too_long = threading.Timer(LONGEST_S, child.kill)
        too_long.start()
        try:
            child.stdin.write(LENGTH.pack(len(page)) + page)
            child.stdin.flush()
            document = _one_of(child.stdout)
        finally:
            too_long.cancel()
        self._set += 1
        if document is None or not document.startswith(b"%PDF"):
            raise ValueError("no document")
        return document

    def _end(self) -> None:
        child, self._child, self._set = self._child, None, 0
        if child is not None:
            for pipe in (child.stdin, child.stdout):
                with suppress(OSError):
                    pipe.close()  # type: ignore[union-attr]
            try:
                child.wait(ENDS_WITHIN_S)
            except subprocess.TimeoutExpired:
                child.kill()
                child.wait()


def _one_of(pipe: IO[bytes]) -> bytes | None:
    """What comes next, after its own length; None at the end."""
    length = pipe.read(LENGTH.size)
    if len(length) < LENGTH.size:
        return None
    (count,) = LENGTH.unpack(length)
    read = pipe.read(count)
    return read if len(read) == count else None


def _typeface(address: str) -> Path:
    """The file of one of this project's typefaces. Raises ``ValueError`` for every other address."""
    scheme, _, name = address.partition(":")
    file = TYPES / Path(name).name
    if scheme != "types" or not file.is_file():
        raise ValueError(f"not fetched: {address[:80]}")
    return file


def main() -> None:
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class Typefaces(URLFetcher):
        """Fetches the typefaces; nothing else, from nowhere."""

        def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
            kind = {"Content-Type": "font/woff2"}
            return URLFetcherResponse(url, body=_typeface(url).read_bytes(), headers=kind)

    fetcher, fonts = Typefaces(), FontConfiguration()
    look = CSS(string=LOOK, url_fetcher=fetcher, font_config=fonts)
    while (html := _one_of(sys.stdin.buffer)) is not None:
        page = HTML(string=html.decode(), url_fetcher=fetcher)
        made = page.write_pdf(stylesheets=[look], font_config=fonts, pdf_variant=KEPT_FOR_LONG)
        sys.stdout.buffer.write(LENGTH.pack(len(made)) + made)
        sys.stdout.buffer.flush()


if __name__ == "__main__":
    main()

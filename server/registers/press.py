"""HTML in, PDF out, in a process of its own: what a large register takes in memory goes with it.

``python -m server.registers.press`` reads a list of pages from its input and writes the documents to its output, each
after its length. It fetches nothing but the typefaces that lie beside the pages.
"""

from __future__ import annotations

import json
import struct
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from shared.errors import GoodgroundError

TYPES = Path(__file__).resolve().parents[1] / "web" / "static" / "web" / "fonts"
LONGEST_S = 600
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


def pressed_all(pages: Sequence[str]) -> list[bytes]:
    """Each page as a PDF, all by one process. Raises ``PressFailed``."""
    try:
        done = subprocess.run(
            [sys.executable, "-m", "server.registers.press"],
            input=json.dumps(list(pages)).encode(),
            capture_output=True,
            timeout=LONGEST_S * len(pages),
            cwd=Path(__file__).resolve().parents[2],
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired):
        raise PressFailed from None
    made = list(_documents(done.stdout))
    if done.returncode != 0 or len(made) != len(pages):
        raise PressFailed
    return made


def _documents(output: bytes) -> Iterator[bytes]:
    """The documents of an output: each after its own length."""
    at = 0
    while at < len(output):
        (length,) = LENGTH.unpack_from(output.ljust(at + LENGTH.size, b"\0"), at)
        at += LENGTH.size
        document = output[at : at + length]
        if len(document) == length and document.startswith(b"%PDF"):
            yield document
        at += length


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
    for html in json.loads(sys.stdin.buffer.read()):
        page = HTML(string=html, url_fetcher=fetcher)
        made = page.write_pdf(stylesheets=[look], font_config=fonts, pdf_variant=KEPT_FOR_LONG)
        sys.stdout.buffer.write(LENGTH.pack(len(made)) + made)


if __name__ == "__main__":
    main()

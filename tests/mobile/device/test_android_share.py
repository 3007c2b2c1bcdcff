"""Sharing on Android, against classes that stand in for Java's: the calls that a phone would get."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from mobile.device.android_share import AndroidSharing


class Resolver:
    def __init__(self, uri: str | None) -> None:
        self.uri = uri
        self.written = b""
        self.values: dict[str, str] = {}

    def insert(self, where: str, values: Values) -> str | None:
        assert where == "content://downloads"
        self.values = values
        return self.uri

    def openOutputStream(self, uri: str) -> Resolver:
        assert uri == self.uri
        return self

    def write(self, content: bytes) -> None:
        self.written += content

    def close(self) -> None:
        self.values["closed"] = "yes"


class Values(dict[str, str]):
    def put(self, key: str, value: str) -> None:
        self[key] = value


class Intent:
    ACTION_SEND, EXTRA_STREAM, FLAG_GRANT_READ_URI_PERMISSION = "send", "stream", 1

    def __init__(self, action: str) -> None:
        self.said: dict[str, Any] = {"action": action}

    def setType(self, kind: str) -> None:
        self.said["type"] = kind

    def putExtra(self, key: str, value: str) -> None:
        self.said[key] = value

    def addFlags(self, flags: int) -> None:
        self.said["flags"] = flags

    @staticmethod
    def createChooser(intent: Intent, title: str) -> tuple[Intent, str]:
        return intent, title


class Downloads:
    EXTERNAL_CONTENT_URI = "content://downloads"


CLASSES: dict[str, Any] = {
    "android.content.ContentValues": Values,
    "android.provider.MediaStore$Downloads": Downloads,
    "android.content.Intent": Intent,
}


class Activity:
    def __init__(self, resolver: Resolver) -> None:
        self.resolver = resolver
        self.started: list[tuple[Intent, str]] = []

    def getContentResolver(self) -> Resolver:
        return self.resolver

    def startActivity(self, chosen: tuple[Intent, str]) -> None:
        self.started.append(chosen)


@pytest.fixture
def ticket(tmp_path: Path) -> Path:
    file = tmp_path / "ticket-0001.pdf"
    file.write_bytes(b"%PDF-1.7")
    return file


def test_a_file_is_copied_to_the_downloads_and_its_address_handed_over(ticket: Path) -> None:
    activity = Activity(Resolver("content://downloads/7"))
    assert AndroidSharing(CLASSES.__getitem__, activity).share(ticket, "application/pdf")
    resolver = activity.resolver
    assert resolver.written == b"%PDF-1.7"
    assert resolver.values == {"_display_name": ticket.name, "mime_type": "application/pdf", "closed": "yes"}
    ((intent, title),) = activity.started
    assert title == ticket.name
    assert intent.said == {
        "action": "send",
        "type": "application/pdf",
        "stream": "content://downloads/7",
        "flags": 1,
    }


def test_where_the_downloads_take_nothing_the_file_stays_where_it_is(ticket: Path) -> None:
    activity = Activity(Resolver(None))
    assert not AndroidSharing(CLASSES.__getitem__, activity).share(ticket, "application/pdf")
    assert activity.started == []

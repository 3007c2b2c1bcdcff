"""Somebody who follows a farm's book by cursor, through everything: what they have must be the book (I5)."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from server.people import slips
from tests.mobile.fake_server import ADDRESS, Answer
from tests.server.ground import Ground
from tests.simulation.server_end import ServerEnd

if TYPE_CHECKING:
    from tests.simulation.world import World


def joined_reader(server: ServerEnd, ground: Ground) -> str:
    """The token of a phone that has joined to read."""
    code = slips.make_slip(ground.farm.id, server.tick())
    told = {
        "code": code,
        "nonce": "nonce-of-a-reader",
        "label": "reader",
        "platform": "linux",
        "app": "0.1.0",
    }
    headers = {"Content-Type": "application/json"}
    answer = server.handle("POST", f"{ADDRESS}/api/v1/enrol/", headers, json.dumps(told).encode())
    assert answer.status == 201, answer.content
    return str(json.loads(answer.content)["token"])


class Reader:
    """A phone that only reads, with a small page. ``rows`` are the numbers and shas that it was given."""

    def __init__(self, world: World, farm: int, token: str) -> None:
        self.world, self.farm, self.token = world, farm, token
        self.cursor = ""
        self.rows: list[tuple[int, str]] = []

    def ask(self, path: str, **query: str) -> Answer:
        url = f"{ADDRESS}/api/v1/{path}?{urlencode(query)}"
        return self.world.server.handle("GET", url, {"Authorization": f"Bearer {self.token}"}, b"")

    def read(self) -> None:
        """To the end of the book; from the beginning where it is another book than the cursor's."""
        while True:
            since = {"since": self.cursor} if self.cursor else {}
            answer = self.ask("changes/", kinds="entries,people", limit="5", **since)
            if answer.status == 304:
                return
            if answer.status == 409:
                self.cursor, self.rows = "", []
                continue
            assert answer.status == 200, answer.content
            page = json.loads(answer.content)
            self.rows += [(one["number"], one["sha"]) for one in page["rows"].get("entries", ())]
            if self.cursor and page["next"] != self.cursor:
                self.world.seen.add("moved")
            self.cursor = page["next"]
            if not page["more"]:
                return

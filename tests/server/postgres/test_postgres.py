"""The server on PostgreSQL: the same contract by the same tests, late commits, and the main job's chain."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import requests

from server.keeping.checking import checked
from shared.proof.check import check
from tests.server import test_served
from tests.server.postgres.cluster import Cluster, running
from tests.server.serving import ROOT, command, serving
from tests.server.test_on_disk import put_back_once
from tests.server.test_served import Caller, served_by

CONTRACT = [
    *("test_push.py", "test_pull.py", "test_enrol.py", "test_following.py", "test_carried.py"),
    *("test_photos.py", "test_again_and_book.py", "test_plans.py", "test_keeping.py", "test_erasing.py"),
    *("../walls", "reading", "registers/test_leaf_intake.py", "registers/test_written_down.py"),
    "registers/test_programs.py",
]
LEAST_PASSED = 250
SUMMARY = re.compile(r"^(?:(\d+) failed, )?(\d+) passed(.*) in ", re.M)


pytestmark = pytest.mark.xdist_group("postgresql")
"""One cluster for all of them: whoever runs tests side by side runs these one after the other."""


@pytest.fixture(scope="module")
def cluster() -> Iterator[Cluster]:
    with running() as one:
        one.lay()
        yield one


def passed(cluster: Cluster, name: str, *words: str) -> int:
    """How many tests passed in a process whose book is in a database of this name. None may fail, and none be
    skipped."""
    database = cluster.laid(name)
    cluster.laid(f"test_{name}")
    kept = {key: value for key, value in os.environ.items() if not key.startswith("PYTEST_")}
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:cacheprovider",
            "-p",
            "no:xdist",
            "--reuse-db",
            *words,
        ],
        cwd=ROOT,
        env=kept | {"GOODGROUND_DATABASE_URL": database},
        capture_output=True,
        text=True,
        timeout=900,
        check=False,
    )
    told = SUMMARY.search(done.stdout)
    assert told is not None, done.stdout[-3000:] + done.stderr[-2000:]
    assert (done.returncode, told[1], told[3].strip()) == (0, None, ""), done.stdout[-6000:]
    return int(told[2])


@pytest.mark.timeout(900)
def test_W7_W8_W11_W12_W13_the_whole_contract_holds_on_postgresql(cluster: Cluster) -> None:
    files = [f"tests/server/{one}" for one in CONTRACT]
    assert passed(cluster, "contract", *files) >= LEAST_PASSED


def test_I5_W11_eight_writers_and_two_pushes_held_open_hide_nothing_from_readers(cluster: Cluster) -> None:
    assert passed(cluster, "late", "tests/server/postgres/late_commits.py") == 2


@pytest.mark.timeout(900)
def test_I1_I2_I3_I4_I5_I6_I7_I8_I9_I10_I11_I12_I13_I14_I16_hold_on_postgresql_whatever_happens_on_the_way(
    cluster: Cluster,
) -> None:
    assert passed(cluster, "simulated", "tests/simulation/on_postgres.py") == 1


def test_I5_W7_the_main_jobs_chain_runs_on_postgresql(cluster: Cluster, tmp_path: Path) -> None:
    database = cluster.laid("goodground")
    link = command(tmp_path, "new-farm", "Fallow Rise", database=database).strip()
    code = command(tmp_path, "code", "--farm", "Fallow Rise", database=database).strip()
    with serving(tmp_path, database=database) as at:
        caller = Caller(at).join(code)
        for _ in range(3):
            caller.write()
        status, told = caller.push(1)
        assert (status, [one["outcome"] for one in told["results"]]) == (200, ["kept"] * 3)
        status, page, _ = caller.ask("GET", "changes/?kinds=entries,people&limit=1000")
        assert status == 200
        said = [row["entry"] for row in page["rows"]["entries"]]
        assert said[-3:] == [one.decode() for one in caller.kept]
        assert caller.ask("GET", f"changes/?kinds=entries,people&since={page['next']}")[0] == 304
        assert_pages_answer(f"http://{at[0]}:{at[1]}", urlsplit(link).path)
    book = command(tmp_path, "book", "--farm", "Fallow Rise", database=database)
    assert check([one.encode() for one in book.splitlines()]).fault is None
    assert not (tmp_path / "book.sqlite3").exists()


def test_I13_a_server_on_postgresql_is_put_back_from_a_backup_that_was_read_back(
    cluster: Cluster, tmp_path: Path
) -> None:
    backup = put_back_once(tmp_path, cluster.laid("kept"))
    assert list(checked(backup / "book.sqlite3").values()) == [6]


def test_W7_W12_many_phones_push_at_once_over_real_connections_to_postgresql(
    cluster: Cluster, tmp_path: Path
) -> None:
    several = [one for one in vars(test_served) if one.startswith("test_W")]
    database = cluster.laid("served")
    with served_by(tmp_path, database) as served:
        for name in several:
            getattr(test_served, name)(served)
    assert len(several) == 3


def assert_pages_answer(address: str, sign_in: str) -> None:
    with requests.Session() as visitor:
        visitor.trust_env = False
        shown = visitor.get(address + sign_in, timeout=60)
        token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', shown.text)
        if token is not None:
            form = {"csrfmiddlewaretoken": token[1]}
            shown = visitor.post(address + sign_in, form, headers={"Referer": address}, timeout=60)
        assert shown.status_code == 200
        farm = re.search(r"/farm/[0-9a-f-]{36}/", shown.text)
        assert farm is not None
        for page in ("", "evening/", "registers/", "gate/"):
            assert visitor.get(address + farm[0] + page, timeout=60).status_code == 200, page

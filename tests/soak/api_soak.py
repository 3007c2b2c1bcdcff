"""Requests made from the OpenAPI file by schemathesis, against the real server over HTTP: no 5xx, no traceback."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from tests.server.serving import ROOT, command, serving
from tests.server.test_served import Caller

OPENAPI = ROOT / "docs/reference/openapi.yaml"
EXAMPLES = os.environ.get("EXAMPLES", "200")


def test_whatever_is_asked_the_server_answers_as_it_says(tmp_path: Path) -> None:
    command(tmp_path, "new-farm", "Fallow Rise")
    code = command(tmp_path, "code", "--farm", "Fallow Rise").strip()
    with serving(tmp_path) as (host, port):
        token = Caller((host, port)).join(code).token
        done = subprocess.run(
            [
                *(sys.executable, "-m", "schemathesis.cli", "run", str(OPENAPI)),
                *("--url", f"http://{host}:{port}", "-H", f"Authorization: Bearer {token}"),
                *("--checks", "not_a_server_error", "--max-examples", EXAMPLES, "--seed", "4"),
                *("--phases", "examples,coverage,fuzzing", "--suppress-health-check", "all"),
            ],
            cwd=tmp_path,
            env=os.environ | {"SCHEMATHESIS_HOOKS": "api_bodies", "PYTHONPATH": str(Path(__file__).parent)},
            capture_output=True,
            text=True,
            check=False,
        )
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
    assert "Traceback" not in done.stdout

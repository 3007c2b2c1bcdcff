#!/usr/bin/env bash
# `make soak`: installs the heavy libraries into .venv, then runs whatever is named *_soak.py here.
set -euo pipefail
cd "$(dirname "$0")/../.."
.venv/bin/python -m pip install --quiet --disable-pip-version-check -r tests/soak/requirements.txt
exec .venv/bin/python -m pytest -q tests/soak/*_soak.py "$@"

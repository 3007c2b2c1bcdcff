#!/usr/bin/env bash
# The long searches and the heavy outside libraries. Makes a venv of its own under build/, so that .venv stays as it is.
# SCHEDULES=20000 SEARCHED=1500 KILLS=500 EXAMPLES=200 PAGES=100 FUZZ_RUNS=2000000 are what is searched where nothing else is said.
set -euo pipefail
cd "$(dirname "$0")/../.."
venv="build/soak-venv"
if [ ! -x "$venv/bin/python" ] || [ tests/soak/requirements.txt -nt "$venv/made" ]; then
  rm -rf "$venv"
  .venv/bin/python -m venv "$venv"
  "$venv/bin/python" -m pip install --quiet --disable-pip-version-check -r tests/soak/requirements.txt
  touch "$venv/made"
fi
soak() {
  echo "soak: $*"
  "$venv/bin/python" -m pytest -q -p no:cacheprovider --timeout=0 "$@"
}
soak tests/soak/reckoner_soak.py
soak tests/soak/api_soak.py
soak tests/soak/pages_soak.py
soak tests/soak/kills_soak.py
soak tests/soak/planted_soak.py
soak tests/soak/simulation_soak.py
"$venv/bin/python" tests/soak/decoder_fuzz.py -runs="${FUZZ_RUNS:-2000000}"

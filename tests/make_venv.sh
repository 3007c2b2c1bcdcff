#!/usr/bin/env bash
# Makes .venv: built beside, renamed when whole. Takes the first Python from 3.11 to 3.13 that runs.
set -euo pipefail
cd "$(dirname "$0")/.."
chosen=""
for candidate in python3 python3.13 python3.12 python3.11; do
  if "$candidate" -c 'import sys, venv, ensurepip; sys.exit(not (3, 11) <= sys.version_info[:2] <= (3, 13))' 2>/dev/null; then
    chosen="$candidate"
    break
  fi
done
if [ -z "$chosen" ]; then
  echo "Goodground needs Python 3.11, 3.12 or 3.13 with venv (on Debian and Ubuntu: apt install python3-venv)." >&2
  exit 1
fi
echo "Making .venv with $("$chosen" --version); this takes a minute or two, once."
rm -rf .venv.building
"$chosen" -m venv .venv.building
.venv.building/bin/python -m pip install --quiet --disable-pip-version-check -r tests/requirements.txt
# The scripts name the folder they were installed in: they are told their new one.
here="$PWD"
grep -lIZ "$here/.venv.building" .venv.building/bin/* .venv.building/pyvenv.cfg | xargs -0r sed -i "s#$here/.venv.building#$here/.venv#g"
rm -rf .venv
mv .venv.building .venv
touch .venv

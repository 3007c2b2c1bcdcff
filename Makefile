# Two commands matter: `make demo` and `make test`. The rest is listed by `make help`.
SHELL := /bin/bash
PY := .venv/bin/python
.DEFAULT_GOAL := help

.PHONY: help demo demo-fresh phone test soak bench screens docs lint types system-demo system-test stage-android clean

help: ## list what can be made
	@grep -hE '^[a-z.-]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 16

# Built beside and renamed when whole, so that a killed build leaves nothing half made.
.venv: mobile/requirements.txt server/requirements.txt tests/requirements.txt tests/make_venv.sh
	@bash tests/make_venv.sh

system-demo:
	@python3 tests/system_packages.py demo

system-test:
	@python3 tests/system_packages.py test

demo: system-demo .venv ## the invented farm, a server on loopback and the phone in a window; Ctrl-C ends it
	@$(PY) -m demo_fixtures show

demo-fresh: system-demo .venv ## the same, begun anew
	@$(PY) -m demo_fixtures show --fresh

phone: system-demo .venv ## the phone app alone: make phone ARGS="--server http://127.0.0.1:8000 --nmea walk.nmea"
	@$(PY) -m mobile.main $(ARGS)

test: system-test .venv ## every check there is; ends with pytest's summary
	@$(PY) -m pytest -n 2 --dist loadgroup -q tests

soak: .venv ## the long searches and the heavy outside libraries
	@bash tests/soak/run.sh

bench: .venv ## speeds, each as a ratio to a bare floor in the same run
	@$(PY) -m tests.bench

screens: system-test .venv ## pictures of every screen and page, into screens/
	@$(PY) -m tests.screens

docs: .venv ## the pages that are made from the code, and the pictures in docs/
	@$(PY) docs/made.py

lint: .venv
	@$(PY) -m ruff check . && $(PY) -m ruff format --check .

types: .venv
	@$(PY) -m mypy

stage-android: ## lay the folder that Buildozer builds from, under build/android
	@bash mobile/stage_android.sh

clean: ## take away what was made, but for the demo's data
	rm -rf .venv .venv.building build screens .mypy_cache .ruff_cache .pytest_cache

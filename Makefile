# The two commands: `make run` serves the demo firm, `make test` proves the whole. The rest is daily habit.
PYTHON ?= python3
PORT ?= 8080
BIN := .venv/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check --quiet install

.PHONY: run test packages lint types contracts templates unit browser tour bench audit parts format lock clean

run: .venv/runtime-ready ; .ci/system-packages pdf && UPSTAND_DEMO=1 $(BIN)/upstand serve --port $(PORT)
test: .venv/dev-ready packages lint types contracts templates unit browser
packages: ; .ci/system-packages pdf browser
lint: .venv/dev-ready ; $(BIN)/ruff check . && $(BIN)/ruff format --check .
types: .venv/dev-ready ; $(BIN)/mypy
contracts: .venv/dev-ready ; $(BIN)/lint-imports
templates: .venv/dev-ready ; $(BIN)/djlint templates --lint --quiet
unit: .venv/dev-ready ; $(BIN)/pytest -q -n auto --dist loadgroup --ignore=tests/browser
browser: .venv/dev-ready ; $(BIN)/pytest -q -n 2 --dist loadfile tests/browser
# The pictures of the readme.
tour: .venv/dev-ready packages ; $(BIN)/python -m tests.browser.tour
bench: .venv/dev-ready ; $(BIN)/python -m tests.bench
# Asks the net whether a pinned package has a known hole, and fails when of one it cannot be told.
audit: .venv/dev-ready ; $(BIN)/pip-audit --strict --disable-pip --require-hashes -r requirements.txt
parts: .venv/dev-ready ; $(BIN)/python -m tests.trust.licences parts.cdx.json
format: .venv/dev-ready ; $(BIN)/ruff check --fix . ; $(BIN)/ruff format .
lock: ; .ci/lock
clean: ; rm -rf .venv data

.venv/bin/python: ; .ci/python-new-enough $(PYTHON) && $(PYTHON) -m venv .venv
.venv/runtime-ready: requirements.txt pyproject.toml | .venv/bin/python
	$(PIP) --require-hashes --no-deps -r requirements.txt && $(PIP) --no-deps --no-build-isolation -e . && touch $@
.venv/dev-ready: requirements-dev.txt pyproject.toml | .venv/bin/python
	$(PIP) --require-hashes --no-deps -r requirements-dev.txt && $(PIP) --no-deps --no-build-isolation -e . && touch $@ .venv/runtime-ready

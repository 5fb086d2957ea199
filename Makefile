# One command for each purpose; `make` alone lists them.
PYTHON ?= python3
PORT ?= 8321
BIN := .venv/bin
PIP = $(BIN)/python -m pip
# Once `make wheels` was whole, nothing is asked of the network.
INSTALL = $(PIP) install --quiet --disable-pip-version-check $(if $(wildcard .wheels/whole),--no-index --find-links .wheels)
CHECKED := tracker sensors tests

.PHONY: help venv dev demo run test check bench soak audit wheels lock clean
.DEFAULT_GOAL := help

help:
	@echo "make demo    the example collection, served on this machine (PORT=8123 another port, RESET=1 anew)"
	@echo "make run     your own collection"
	@echo "make test    all tests"
	@echo "make check   format, lint, types, import contracts, README commands"
	@echo "make bench   speed, as ratios"
	@echo "make soak    plans beside an exact solver, years of a simulated owner, sensors through kills, the estimate beside simulated lives, resumable (SOAK='--watches 12' a shorter one)"
	@echo "make audit   known weaknesses of the libraries (asks the network)"
	@echo "make wheels  all libraries into .wheels, from which everything above then works without network"
	@echo "make venv    only the environment in .venv"

venv: .venv/run-ready

dev: .venv/dev-ready

.venv/pip-ready:
	@command -v $(PYTHON) >/dev/null 2>&1 || { echo "There is no $(PYTHON) here. Install Python 3.11 or newer (Debian: apt install python3 python3-venv)."; exit 1; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "$(PYTHON) is $$($(PYTHON) -V 2>&1); Going Barrel needs Python 3.11 or newer. Name another one: make PYTHON=python3.12 …"; exit 1; }
	@$(PYTHON) -c 'import venv, ensurepip' 2>/dev/null || { echo "$(PYTHON) has no venv module. Install it (Debian: apt install python3-venv), then try again."; exit 1; }
	@$(PYTHON) -m venv .venv
	@touch $@

.venv/run-ready: .venv/pip-ready requirements.lock pyproject.toml
	@echo "Installing the program into .venv …"
	@$(INSTALL) --require-hashes -r requirements.lock
	@$(INSTALL) --no-deps --no-build-isolation --editable .
	@touch $@

.venv/dev-ready: .venv/run-ready requirements-dev.lock
	@echo "Installing what the tests need into .venv …"
	@$(INSTALL) --require-hashes -r requirements-dev.lock
	@touch $@

demo: venv
	@$(BIN)/going demo --port $(PORT) $(if $(RESET),--reset)

run: venv
	@$(BIN)/going serve --port $(PORT)

# README's commands are run by `check`.
test: dev
	@$(BIN)/python -m pytest -n auto --ignore tests/test_readme.py

check: dev
	@$(BIN)/ruff format --check $(CHECKED)
	@$(BIN)/ruff check $(CHECKED)
	@$(BIN)/mypy
	@$(BIN)/lint-imports
	@$(BIN)/python -m pytest -q tests/test_readme.py

bench: dev
	@$(BIN)/python -m pytest -q -s tests/bench/bench_*.py

soak: dev
	@$(BIN)/python -m tests.soak.rounds
	@$(BIN)/python -m tests.year.run
	@GOING_EXAMPLES=10000 $(BIN)/python -m pytest -q tests/sensors/test_rest_properties.py tests/store/test_anomalies.py tests/api/test_attack.py tests/commands/test_junk.py
	@GOING_EXAMPLES=100 $(BIN)/python -m pytest -q tests/disasters tests/example/test_fill.py tests/external/test_reserve_reference.py tests/commands/test_properties.py tests/browser/test_axe.py
	@$(BIN)/python -m tests.soak.listener
	@$(BIN)/python -m tests.soak.memory
	@$(BIN)/python -m tests.soak.wear
	@$(BIN)/python -m tests.soak.reminders
	@$(BIN)/python -m tests.soak.decade
	@$(BIN)/python -m tests.soak.digests
	@$(BIN)/python -m tests.soak.run $(SOAK)

audit: dev
	@$(BIN)/python -m tests.audit requirements.lock requirements-dev.lock

wheels: .venv/pip-ready
	@rm -f .wheels/whole
	@$(PIP) download --quiet --disable-pip-version-check --require-hashes -r requirements-dev.lock -d .wheels
	@touch .wheels/whole

# Needs uv; the lock names every package by hash and no address.
LOCK = uv pip compile pyproject.toml --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-emit-find-links --no-header --no-annotate
lock:
	$(LOCK) --group pyproject.toml:build -o requirements.lock
	$(LOCK) --group pyproject.toml:dev -c requirements.lock -o requirements-dev.lock

clean:
	rm -rf .venv .wheels dist .mypy_cache .ruff_cache .pytest_cache .hypothesis

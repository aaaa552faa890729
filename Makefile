# Two commands matter: `make demo` and `make test`. Each works alone on a fresh machine with Python 3.11 and make.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed

.PHONY: setup demo test bench lint docs clean lock

setup: $(STAMP)

$(STAMP): requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(0 if sys.version_info >= (3, 11) else "Python 3.11 or newer is needed: make PYTHON=python3.11 ...")'
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes --only-binary :all: -r requirements.lock
	$(BIN)/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $(STAMP)

demo: $(STAMP)
	$(BIN)/cringle demo demo-book

test: $(STAMP)
	$(BIN)/python -m pytest

bench: $(STAMP)
	$(BIN)/python -m bench

lint: $(STAMP)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo

docs: $(STAMP)
	$(BIN)/python docs/make_commands.py
	$(BIN)/cringle verify --write docs/verification.md > /dev/null
	$(BIN)/sphinx-build -q -W -b html docs docs/_build/html
	@echo "docs/_build/html/index.html"

lock:
	uv pip compile pyproject.toml --all-extras --generate-hashes --python-version 3.11 --no-header -o requirements.lock

clean:
	rm -rf $(VENV) demo-book docs/_build

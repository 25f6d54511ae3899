# Set-up, build and checks; each target does the set-up it needs. `make help` lists them.

PYTHON ?= python3
BIN := .venv/bin
INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check --no-input
LOCKED := --no-deps --require-hashes --only-binary :all: --requirement
LOCK := $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header

# Where a machine forbids them, every start of Python would compile the same files again.
unexport PYTHONDONTWRITEBYTECODE
# Two processes test; threads of the linear algebra beside them would only wait for each other.
export OPENBLAS_NUM_THREADS = 1

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help site test lint format audit speed bench forms guide words sbom lock wheel clean

help: ## list the targets
	@sed -n 's/^\([a-z]*\):.*## /  make \1	/p' $(MAKEFILE_LIST)

site: .venv/run-time.stamp ## build the demo bench into build/
	$(BIN)/trialpress build

test: browser ## run every test
	$(BIN)/python -m pytest -n 3 --dist worksteal

lint: .venv/dev.stamp ## check style, types, the order of imports and SQL
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/sqlfluff lint pipeline

format: .venv/dev.stamp ## put the code in shape
	$(BIN)/ruff check --fix
	$(BIN)/ruff format

audit: browser ## gather the slower evidence into tests/audit/FIGURES.md
	$(BIN)/python tests/audit/gather.py

speed: .venv/dev.stamp ## time the stages on the demo bench
	$(BIN)/python tests/speed/time_stages.py

bench: .venv/dev.stamp ## measure the tool beside a plain script, on benches of 36, 100 and 300 machines
	$(BIN)/python tests/speed/measure_bench.py --rows --keep

forms: .venv/dev.stamp ## compile the forms of the charts anew
	$(BIN)/python -c "from trialpress.charts.forms import write_forms; write_forms()"

guide: browser ## take the pictures of the guide anew
	$(BIN)/python tests/web/guide_pictures.py

words: .venv/dev.stamp ## bring the German texts up to date, to be filled by hand
	$(BIN)/python -c "from trialpress.desk.words import write_shipped; print(write_shipped('de'))"

sbom: .venv/dev.stamp ## list anew what is shipped and needed, with licences
	$(BIN)/python tests/audit/shipped.py

lock: .venv/dev.stamp ## pin anew everything that pyproject.toml asks for
	$(LOCK) --upgrade --extra build --output-file requirements.txt pyproject.toml
	$(LOCK) --upgrade --extra build --extra cluster --extra dev --constraint requirements.txt \
		--output-file requirements-dev.txt pyproject.toml

wheel: .venv/run-time.stamp ## make the package that `trialpress new --wheel` takes, in dist/
	$(BIN)/python -m pip wheel --quiet --no-deps --no-build-isolation --wheel-dir dist .

clean: ## remove the environment and everything built
	rm -rf .venv build/* dist

.PHONY: browser
browser: .venv/dev.stamp
	@.ci/system-packages browser

.venv/bin/python:
	@.ci/system-packages python $(PYTHON)
	$(PYTHON) -m venv .venv

# A lock is complete, so nothing is resolved: newer releases change nothing, and a gap ends in `pip check`.
# A changed lock, or a changed project file, installs again; otherwise the stamp says it is done.
.venv/run-time.stamp: requirements.txt pyproject.toml | .venv/bin/python
	$(INSTALL) $(LOCKED) requirements.txt
	$(INSTALL) --no-deps --no-build-isolation --editable .
	$(BIN)/python -m pip --disable-pip-version-check check
	touch $@

.venv/dev.stamp: requirements-dev.txt .venv/run-time.stamp
	$(INSTALL) $(LOCKED) requirements-dev.txt
	$(BIN)/python -m pip --disable-pip-version-check check
	touch $@

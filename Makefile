# make demo          the main job on the invented workshop, in build/demo
# make test          everything that is checked before a change is kept
# make proof         the long checks: long-counts, guided, coverage, lowest and mutation, of which each can be made alone
# make docs          writes the documents of commands and of plugins from the code
# make pictures      makes the README's pictures from the demo, in docs/pictures
# make release       sdist and wheel in build/dist, when nothing is missing for a release
# make requirements  writes the files in requirements anew; with RENEW=--upgrade it takes the newest versions
# make clean         takes away all that these made: .venv and build
# Each step keeps a log in build, shown only when the step fails.

PYTHON ?= python3
BIN := .venv/bin
QUIETLY := scripts/quietly
PIP_INSTALL := $(BIN)/python -m pip install --no-compile
# What comes from elsewhere is the very file that was there when requirements was written.
PIP_INSTALL_HASHED := $(PIP_INSTALL) --require-hashes --requirement
# On every processor, where pip takes one; nobody imports the tests of others, more than a quarter of it all. Whatever
# cannot be compiled for this Python is none of its modules.
COMPILE := $(BIN)/python -m compileall -qq -j 0 -x /tests/ .venv/lib || true

# What weasyprint loads, and the fonts it falls back to. Debian's python3 makes no virtual environment without its
# python3-venv.
RUNTIME_PACKAGES := libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-dejavu-core \
    $(shell $(PYTHON) -c "import ensurepip" 2>/dev/null || echo python3-venv)
# The tests open the pages in a browser, compile a disk that fails, have units read by systemd (which is not run), and
# start a server of PostgreSQL of their own. Chromium without windows takes half the time of the whole browser, which
# `make proof` opens the pages in.
TEST_PACKAGES := chromium-headless-shell,chromium gcc libc6-dev postgresql systemd
PROOF_PACKAGES := chromium

# With the folders: a file taken away changes only its folder, and must leave the wheel.
SOURCES := pyproject.toml README.md LICENSE .gitignore \
    $(shell find torqueaudit plugins labels -name __pycache__ -prune -o \( -type f -o -type d \) -print)

# pytest runs elsewhere, so that it can only import the installed wheel, and sees no book of the caller's. One process
# for each processor: nothing in a test is shared with another but the installed wheel. Whoever is done takes over half
# of what another still has to do, so that a folder's tests stay together and all end at once.
ELSEWHERE := cd build/elsewhere && ../../$(QUIETLY)
PYTEST_OPTIONS := --config-file=../../pyproject.toml --rootdir=../.. --numprocesses=auto --dist=worksteal ../../tests
unexport PYTHONPATH TORQUEAUDIT_BOOK TORQUEAUDIT_SECRETS
export PIP_DISABLE_PIP_VERSION_CHECK := 1
export PIP_ROOT_USER_ACTION := ignore

# Two pips at once would get in each other's way.
.NOTPARALLEL:
.PHONY: demo test proof long-counts guided coverage lowest mutation docs pictures release requirements clean
.PHONY: runtime-packages test-packages proof-packages

# The last line of a log without its frame, after what it is about.
last_line = printf '%-17s%s\n' "$(1)" "$$(tail -n 1 build/$(2).log | sed 's/^[= ]*//; s/[= ]*$$//')"

demo: .venv/wheel-installed
	@rm -rf build/demo
	@$(BIN)/torqueaudit demo build/demo

test: .venv/wheel-installed .venv/tests-installed | test-packages build/elsewhere
	@$(QUIETLY) ruff $(BIN)/ruff check
	@$(QUIETLY) ruff-format $(BIN)/ruff format --check
	@$(ELSEWHERE) imports ../../$(BIN)/lint-imports --no-cache --no-logo ../../pyproject.toml
	@$(QUIETLY) mypy $(BIN)/mypy & $(ELSEWHERE) pytest ../../$(BIN)/pytest $(PYTEST_OPTIONS); tests=$$?; \
	    wait $$! && exit $$tests
	@tail -n 1 build/pytest.log

proof: long-counts guided coverage lowest mutation

long-counts: .venv/wheel-installed .venv/tests-installed | test-packages proof-packages build/elsewhere
	@export TORQUEAUDIT_PROOF=1; $(ELSEWHERE) long-counts ../../$(BIN)/pytest $(PYTEST_OPTIONS) -m proof
	@$(call last_line,long counts,long-counts)

# Inputs of each reader, looked for by what of the program they reach; SECONDS is how long for each.
SECONDS ?= 20
guided: .venv/wheel-installed .venv/tests-installed .venv/proof-installed | build/elsewhere
	@$(ELSEWHERE) guided ../../$(BIN)/python ../../tests/faults/guided.py $(SECONDS)
	@$(call last_line,guided,guided)

# Which lines and branches of the wheel the tests run, in their own processes and in those that they start.
coverage: .venv/wheel-installed .venv/tests-installed .venv/proof-installed | test-packages build/elsewhere
	@rm -rf build/coverage
	@$(ELSEWHERE) coverage ../../$(BIN)/coverage run --rcfile=../../pyproject.toml --data-file=../coverage/data \
	    -m pytest $(PYTEST_OPTIONS)
	@$(QUIETLY) coverage-combined $(BIN)/coverage combine
	@$(QUIETLY) coverage-pages $(BIN)/coverage html
	@$(QUIETLY) coverage-total $(BIN)/coverage report --format=total --precision=1
	@$(call last_line,coverage,coverage)
	@echo "                 $$(cat build/coverage-total.log) % of lines and branches: build/coverage/index.html"

# The same suite with the oldest version of everything that pyproject.toml says will do.
lowest: build/wheel/built .venv/proof-installed | test-packages build/elsewhere
	@$(QUIETLY) lowest-versions $(BIN)/uv pip compile pyproject.toml --group test --resolution lowest-direct --upgrade \
	    --python $(BIN)/python --output-file build/lowest.txt
	@$(QUIETLY) lowest-venv $(BIN)/uv venv --clear --python $(BIN)/python build/lowest
	@$(QUIETLY) lowest-install $(BIN)/uv pip install --python build/lowest --requirement build/lowest.txt
	@$(QUIETLY) lowest-wheel $(BIN)/uv pip install --python build/lowest --no-deps build/wheel/*.whl
	@$(ELSEWHERE) lowest ../lowest/bin/pytest $(PYTEST_OPTIONS)
	@$(call last_line,lowest versions,lowest)

# Whether a test notices when a rule or a figure is changed. MUTATE names the files by patterns, "*" is all of them.
mutation: .venv/wheel-installed .venv/tests-installed .venv/proof-installed
	@set -f; $(QUIETLY) mutation $(BIN)/python scripts/mutation.py $(MUTATE)
	@$(call last_line,mutation,mutation)

docs: .venv/wheel-installed
	@$(BIN)/python scripts/documents.py

pictures: .venv/wheel-installed | test-packages
	@$(BIN)/python scripts/pictures.py

release: .venv/builder-installed
	@$(QUIETLY) release $(BIN)/python scripts/release.py
	@tail -n 1 build/release.log

requirements: .venv/proof-installed
	@scripts/requirements $(RENEW)

clean:
	@rm -rf .venv build

runtime-packages:
	@scripts/system-packages $(RUNTIME_PACKAGES)

test-packages: runtime-packages
	@scripts/system-packages $(TEST_PACKAGES)

proof-packages:
	@scripts/system-packages $(PROOF_PACKAGES)

.venv/made: | runtime-packages
	@$(QUIETLY) venv $(PYTHON) -m venv --clear .venv
	@touch $@

.venv/builder-installed: requirements/build.txt .venv/made
	@$(QUIETLY) builder $(PIP_INSTALL_HASHED) requirements/build.txt
	@touch $@

build/wheel/built: $(SOURCES) .venv/builder-installed
	@rm -rf build/wheel
	@$(QUIETLY) wheel $(BIN)/hatchling build --target wheel --directory build/wheel
	@touch $@

# First what it depends on; then the wheel itself, which pip would leave out when its version is already there.
.venv/wheel-installed: requirements/runtime.txt build/wheel/built
	@$(QUIETLY) dependencies $(PIP_INSTALL_HASHED) requirements/runtime.txt
	@$(QUIETLY) install $(PIP_INSTALL) --no-deps --force-reinstall build/wheel/*.whl
	@$(COMPILE)
	@touch $@

.venv/tests-installed: requirements/test.txt .venv/made
	@$(QUIETLY) tests $(PIP_INSTALL_HASHED) requirements/test.txt
	@$(COMPILE)
	@touch $@

.venv/proof-installed: requirements/proof.txt .venv/made
	@$(QUIETLY) proof $(PIP_INSTALL_HASHED) requirements/proof.txt
	@touch $@

build/elsewhere:
	@mkdir -p $@

#!/bin/sh
# Everything that must hold: format, lint, types, import arrows, the library, all tests.
#   sh deploy/check.sh [arguments for pytest]
set -eu
PROJECT=$(cd "$(dirname "$0")/.." && pwd)
. "$PROJECT/deploy/environment.sh"
make_environment "$PROJECT/deploy/requirements-test.lock" .venv-test
cd "$PROJECT"
export PYTHONPATH="$PROJECT"
bin=$(dirname "$PYTHON")
"$bin/ruff" format --check --quiet .
"$bin/ruff" check --quiet .
"$bin/mypy"
"$bin/lint-imports" >/dev/null || { "$bin/lint-imports"; exit 1; }
"$PYTHON" -m core.check
"$PYTHON" -m pytest -n 2 "$@"

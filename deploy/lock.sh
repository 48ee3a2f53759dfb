#!/bin/sh
# Resolves the dependencies of pyproject.toml anew, with hashes and without any registry's address.
# Run it after changing them; it needs uv.
set -eu
cd "$(dirname "$0")/.."
lock() {
  out=$1; shift
  uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-emit-index-url \
    --no-emit-find-links --no-annotate --custom-compile-command "sh deploy/lock.sh" \
    pyproject.toml "$@" --output-file "$out"
}
lock deploy/requirements.lock "$@"
lock deploy/requirements-test.lock --extra test "$@"

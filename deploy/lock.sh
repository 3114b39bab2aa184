#!/bin/sh
# Renews the hash-locked requirement files from pyproject.toml. Needs pip-tools (pip install pip-tools).
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
cd "$root"
compile() {
    pip-compile --quiet --generate-hashes --strip-extras --allow-unsafe --no-header --no-annotate \
        --no-emit-index-url --no-emit-find-links --no-emit-trusted-host "$@"
}
build=$(mktemp)
compile --all-build-deps --only-build-deps --output-file="$build" pyproject.toml
compile --output-file=deploy/requirements.txt pyproject.toml "$build"
compile --extra dev --output-file=deploy/requirements-dev.txt -c deploy/requirements.txt pyproject.toml "$build"
rm -f "$build"

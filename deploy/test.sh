#!/bin/sh
# Sets up everything the tests need and runs all of them. Arguments go to pytest.
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
cd "$root"
. "$root/deploy/setup.sh"
# What the tests read is compiled when it is read first; to compile all of it beforehand would take longer.
PIP_NO_COMPILE=1
export PIP_NO_COMPILE
set_up requirements-dev.txt

# The browser tests drive a real Chromium, as a person's phone would.
find_chromium() {
    for name in chromium chromium-browser google-chrome google-chrome-stable; do
        if command -v "$name" >/dev/null 2>&1; then
            command -v "$name"
            return 0
        fi
    done
    return 1
}
if ! CHROMIUM=$(find_chromium); then
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
        echo "Installing Chromium for the browser tests ..." >&2
        { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium; } >/dev/null 2>&1 || true
    fi
    if ! CHROMIUM=$(find_chromium); then
        echo "The browser tests need Chromium and none was found. On Debian or Ubuntu: apt-get install chromium" >&2
        exit 1
    fi
fi
export CHROMIUM

# Tests start many programs of ours; without this each would compile all of it again.
unset PYTHONDONTWRITEBYTECODE

bin="$root/.venv/bin"
"$bin/ruff" check .
"$bin/ruff" format --check .
# Types are checked beside the tests; where they are wrong, that is told after them.
types=$(mktemp)
"$bin/mypy" >"$types" 2>&1 &
checking=$!
"$bin/lint-imports"
passed=0
"$bin/python" -m pytest -n 3 --dist loadfile --no-loadscope-reorder "$@" || passed=$?
if ! wait "$checking"; then
    cat "$types" >&2
    passed=1
fi
rm -f "$types"
exit "$passed"

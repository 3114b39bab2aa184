# Shared by start.sh and test.sh: a private environment in .venv with exactly the locked packages.
# Use: . deploy/setup.sh; set_up requirements.txt

set_up() {
    lock="$root/deploy/$1"
    python=""
    for candidate in python3.13 python3.12 python3.11 python3; do
        if command -v "$candidate" >/dev/null 2>&1 \
            && "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            python=$candidate
            break
        fi
    done
    if [ -z "$python" ]; then
        echo "Afterfrost needs Python 3.11 or newer. On Debian or Ubuntu: apt-get install python3 python3-venv" >&2
        exit 1
    fi
    # An environment that was only half made (no python3-venv yet) has no pip, and is made anew.
    if ! "$root/.venv/bin/python" -m pip --version >/dev/null 2>&1; then
        rm -rf "$root/.venv"
        if ! "$python" -m venv "$root/.venv"; then
            rm -rf "$root/.venv"
            echo "Python could not make an environment in $root/.venv." >&2
            echo "On Debian or Ubuntu: apt-get install python3-venv" >&2
            exit 1
        fi
    fi
    # The stamp is the lock file itself, so a changed lock installs again and an unchanged one costs nothing.
    stamp="$root/.venv/installed-$1"
    if ! cmp -s "$lock" "$stamp"; then
        echo "Setting up (once; needs a package index, later starts need no network) ..." >&2
        "$root/.venv/bin/python" -m pip install --quiet --disable-pip-version-check \
            --require-hashes -r "$lock" || exit 1
        "$root/.venv/bin/python" -m pip install --quiet --disable-pip-version-check \
            --no-deps --no-build-isolation --editable "$root" || exit 1
        cp "$lock" "$stamp"
    fi
}

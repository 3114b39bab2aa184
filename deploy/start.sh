#!/bin/sh
# Sets up Afterfrost on a fresh machine and runs it. Arguments go to the command; with none, the chat page starts.
#   sh deploy/start.sh              the chat page on this machine
#   sh deploy/start.sh talk         the conversation in this terminal
#   sh deploy/start.sh rehearse     a whole invented season in under half a minute
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
. "$root/deploy/setup.sh"
set_up requirements.txt
# The same data folder from wherever this is called.
export AFTERFROST_DATA="${AFTERFROST_DATA:-$root/afterfrost-data}"
[ $# -gt 0 ] || set -- start
exec "$root/.venv/bin/afterfrost" "$@"

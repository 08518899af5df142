#!/usr/bin/env bash
# Compares hairpin with a reference library on scores that the library carries.
#   testdata/outside/check.sh
# Needs Go, Python 3.10 or later with venv, and Python's package registry. Set
# OUTSIDE_VENV to keep the environment between runs.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
venv=${OUTSIDE_VENV:-$work/venv}
[ -x "$venv/bin/python" ] || python3 -m venv "$venv"
"$venv/bin/python" -m pip install --quiet --disable-pip-version-check -r "$here/requirements.txt"
(cd "$here/../.." && go build -o "$work/hairpin" ./cmd/hairpin)
"$venv/bin/python" "$here/compare.py" "$work/hairpin"
"$venv/bin/python" "$here/midi.py" "$work/hairpin" "$here"/../*.musicxml

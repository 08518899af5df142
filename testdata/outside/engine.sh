#!/usr/bin/env bash
# Runs the survey in a distributed engine, kills a worker, and compares the rows
# with those of a plain run.
#   testdata/outside/engine.sh FOLDER
# Needs Go, Java 17, Python 3.10 or later with venv, and Python's package
# registry (some 400 MB). Set OUTSIDE_VENV to keep the environment between runs.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
folder=$(cd "$1" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
venv=${OUTSIDE_VENV:-$work/venv}
[ -x "$venv/bin/python" ] || python3 -m venv "$venv"
"$venv/bin/python" -m pip install --quiet --disable-pip-version-check -r "$here/engine.txt"
(cd "$here/../.." && go build -o "$work/hairpin" ./cmd/hairpin)
export SPARK_LOCAL_IP=127.0.0.1 PYSPARK_PYTHON="$venv/bin/python"
"$venv/bin/python" "$here/engine.py" "$work/hairpin" "$folder"

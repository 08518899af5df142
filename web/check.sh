#!/usr/bin/env bash
# Checks the page: types, pure functions, that the committed scripts are what
# their sources give, the local page in Chromium, and the static site in Chromium
# and Firefox. Needs Node and npm.
set -euo pipefail
cd "$(dirname "$0")"

npm ci --no-audit --no-fund --loglevel=error
npm run -s check
echo "types: nothing found"
npm run -s unit

scripts() { find assets site ../report/html/assets -name '*.js' | sort | xargs sha256sum; }
committed=$(scripts)
npm run -s build
if [ "$committed" != "$(scripts)" ]; then
    echo "the scripts were not what src gives; they are built now: commit them"
    exit 1
fi
echo "scripts: as built"

for browser in "${CHROMIUM:-chromium}" "${FIREFOX:-firefox-esr}"; do
    if ! command -v "$browser" >/dev/null; then
        apt-get update -qq
        apt-get install -y -qq "$(basename "$browser")" >/dev/null
    fi
done
# A second try, since a busy machine may answer later than the tests wait.
npm run -s browser || npm run -s browser
npm run -s site || npm run -s site

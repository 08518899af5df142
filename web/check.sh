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

built=$(mktemp -d)
trap 'rm -rf "$built"' EXIT
npm run -s pack -- --outdir="$built" src/page.ts src/site.ts src/worker.ts src/engraver.ts src/sw.ts
for script in assets/*.js site/*.js; do
    if ! cmp -s "$built/$(basename "$script")" "$script"; then
        echo "$script is not what src gives: run 'npm run build' in web and commit it"
        exit 1
    fi
done
echo "scripts: as built"

for browser in "${CHROMIUM:-chromium}" "${FIREFOX:-firefox-esr}"; do
    if ! command -v "$browser" >/dev/null; then
        apt-get update -qq
        apt-get install -y -qq "$(basename "$browser")" >/dev/null
    fi
done
npm run -s browser
npm run -s site

#!/usr/bin/env bash
# Checks the page: types, pure functions, that the committed script is what its
# sources give, and the page itself in Chromium. Needs Node and npm.
set -euo pipefail
cd "$(dirname "$0")"

npm ci --no-audit --no-fund --loglevel=error
npm run -s check
echo "types: nothing found"
npm run -s unit

built=$(mktemp)
trap 'rm -f "$built"' EXIT
npx esbuild src/page.ts --bundle --minify --format=esm --target=es2022 --log-level=warning >"$built"
if ! cmp -s "$built" assets/page.js; then
    echo "assets/page.js is not what src gives: run 'npm run build' in web and commit it"
    exit 1
fi
echo "assets/page.js: as built"

if ! command -v "${CHROMIUM:-chromium}" >/dev/null; then
    apt-get update -qq
    apt-get install -y -qq chromium >/dev/null
fi
npm run -s browser

#!/bin/sh
# Reproduces internal/engrave/vendored byte for byte from the published packages.
# Needs node 20 with npm, python3 with venv and pip, and gzip 1.12.
#   ./vendor.sh [OUTDIR]     (default: vendored beside this script)
set -eu
here=$(cd "$(dirname "$0")" && pwd)
out=${1:-$here/vendored}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$out"

cd "$work"
npm init -y >/dev/null
npm install --no-audit --no-fund --ignore-scripts verovio@6.3.0 binaryen@132.0.0 @fontsource/tinos@5.3.0 >/dev/null

node "$here/vendor.mjs" node_modules/verovio/dist/verovio-module.mjs raw.wasm "$out/names.json"
# The runtime knows no exception instructions: a throw becomes a trap. The four
# features named are the ones the module uses.
node_modules/.bin/wasm-opt --enable-exception-handling --enable-bulk-memory \
  --enable-nontrapping-float-to-int --enable-sign-ext --strip-eh -O2 raw.wasm -o engraver.wasm
gzip -9 -n -c engraver.wasm >"$out/engraver.wasm.gz"

python3 -m venv fonts
fonts/bin/pip install --quiet fonttools==4.68.0 brotli==1.2.1
fonts/bin/python "$here/vendor_fonts.py" raw.wasm node_modules/@fontsource/tinos/files "$out"

# Afterwards: HAIRPIN_UPDATE=1 go test ./internal/engrave -run Pauses
sha256sum -c <<SUMS
f19c664d477fb5a1fc9d2afe644d471e3d8dc4881a5432c4ccdc50ac47319087  raw.wasm
57af73741e5a21314a12a17635f1f626ca861f18bceafaf78d9bf9467c5ce16a  engraver.wasm
SUMS

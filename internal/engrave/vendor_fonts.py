"""Cuts the fonts down to what engraved text needs. Run by vendor.sh.

python vendor_fonts.py RAW.wasm TINOS_FILES_DIR OUTDIR
"""
import base64
import re
import sys

from fontTools import subset

raw, tinos, out = sys.argv[1:]

# Signs of the Standard Music Font Layout that stand within lines of text:
# coda and segno, octave signs, dynamics, accidentals, notes of metronome marks,
# and figured bass.
MUSIC = "E045-E04B,E1D0-E1EF,E260-E269,E510-E51F,E520-E54F,EA50-EA6F,ECA0-ECB7"
LATIN_EXT = "0100-017F,0218-021B,1E80-1E85,1E9E,1EF2-1EF3"


def cut(source, target, unicodes):
    options = subset.Options(flavor="woff2", hinting=False, layout_features=["kern", "liga", "mark", "ccmp"])
    options.recalc_timestamp = False
    font = subset.load_font(source, options)
    font.recalcTimestamp = False
    wanted = font.getBestCmap().keys() if unicodes is None else subset.parse_unicodes(unicodes)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=wanted)
    cutter.subset(font)
    subset.save_font(font, target, options)


# The module carries its music font as a style sheet.
sheet = re.search(rb"font-family: 'Leipzig';\s*src: url\(data:[^,]*base64,([A-Za-z0-9+/=]+)", open(raw, "rb").read())
with open("leipzig.woff2", "wb") as f:
    f.write(base64.b64decode(sheet.group(1)))
cut("leipzig.woff2", f"{out}/music.woff2", MUSIC)
for weight in ("400", "700"):
    for style in ("normal", "italic"):
        for part, unicodes in (("latin", None), ("latin-ext", LATIN_EXT)):
            cut(f"{tinos}/tinos-{part}-{weight}-{style}.woff2", f"{out}/text-{part}-{weight}-{style}.woff2", unicodes)

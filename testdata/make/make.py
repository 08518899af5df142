"""Writes the four demo scores and their intended harmony into the folder above.

    python3 testdata/make/make.py            writes them
    python3 testdata/make/make.py --check    fails if a file would change
"""
import os
import sys
import tempfile

sys.dont_write_bytecode = True

import etude
import quartet
import song
import study
from notation import write, write_truth

PIECES = {"etude-millrace": etude, "song-ferry-lamp": song,
          "quartet-below-the-weir": quartet, "vibraphone-low-water": study}


def main():
    home = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    check = "--check" in sys.argv[1:]
    target = tempfile.mkdtemp() if check else home
    changed = []
    for name, module in PIECES.items():
        piece, rows = module.build()
        write(piece, os.path.join(target, name + ".musicxml"))
        write_truth(rows, os.path.join(target, name + ".chords.tsv"), piece.title)
        for end in (".musicxml", ".chords.tsv"):
            new = open(os.path.join(target, name + end), encoding="utf-8").read()
            if check and new != open(os.path.join(home, name + end), encoding="utf-8").read():
                changed.append(name + end)
    if changed:
        sys.exit("not as the generator writes them: " + ", ".join(changed))


main()

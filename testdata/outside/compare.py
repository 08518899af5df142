"""Compares hairpin with a general-purpose library on scores of its corpus.

    compare.py HAIRPIN      the program; see check.sh, which prepares everything

Three questions a score: are all notes there (onset, duration, pitch), is the
home key the same, and do the chord roots agree? The library names every slice
by itself and knows one key a piece, so keys and roots measure agreement, not
truth; its Roman numerals are never given to hairpin. The floors below were
chosen a little under what was first seen (keys 88.9 %, roots 92.6 %).
"""
import bisect
import collections
import csv
import io
import json
import os
import subprocess
import sys
import tempfile
import warnings

warnings.filterwarnings("ignore")
from music21 import chord, corpus, harmony, note  # noqa: E402

HERE = os.path.dirname(os.path.abspath(__file__))
NOTES_FLOOR = 1.0  # every note
KEY_FLOOR = 0.85  # share of scores
ROOT_FLOOR = 0.90  # share of the time on which the library hears a triad or seventh


def rounded(x):
    return round(float(x), 3)


def library_notes(score):
    """Multiset of (measure, offset in it, duration, midi); grace notes are left out.

    Ties are merged here, by pitch: the library's own merging leaves out ties
    between voices and single tied notes of a chord.
    """
    out = collections.Counter()
    for part in score.parts:
        rows = []
        for m, measure in enumerate(part.getElementsByClass("Measure")):
            for n in measure.recurse().notes:
                if n.duration.isGrace or isinstance(n, (note.Unpitched, harmony.Harmony)):
                    continue
                at, start = n.getOffsetInHierarchy(measure), n.getOffsetInHierarchy(part)
                for one in (n.notes if isinstance(n, chord.Chord) else [n]):
                    rows.append([m, at, start, n.quarterLength, one.pitch.ps, one.tie.type if one.tie else ""])
        out.update(merged(rows))
    return out


def merged(rows):
    """The rows (measure, offset, start, length, pitch, tie) as notes, ties joined."""
    notes, open_at = [], {}
    for m, at, start, length, pitch, tie in sorted(rows, key=lambda r: (r[2], r[5] == "start")):
        held = open_at.pop((pitch, rounded(start)), None) if tie in ("stop", "continue") else None
        if held is None:
            held = [m, at, 0, pitch]
            notes.append(held)
        held[2] += length
        if tie in ("start", "continue"):
            open_at[pitch, rounded(start + length)] = held
    return [(m, rounded(at), rounded(length), rounded(pitch)) for m, at, length, pitch in notes]


def run(hairpin, *args):
    done = subprocess.run([hairpin, *args], capture_output=True, text=True)
    if done.returncode:
        sys.exit("hairpin %s: %s" % (" ".join(args), done.stderr))
    return done.stdout


def hairpin_notes(hairpin, path):
    facts = json.loads(run(hairpin, "contents", path, "--format", "json"))
    starts, out = facts["measure_starts"], collections.Counter()
    for onset, duration, midi in (n[:3] for n in facts["notes"]):
        m = bisect.bisect_right(starts, onset + 1e-6) - 1
        out[m, rounded(onset - starts[m]), rounded(duration), rounded(midi)] += 1
    return out


def hairpin_chords(hairpin, path):
    home = json.loads(run(hairpin, "chords", path, "--format", "json"))["home"]
    rows = csv.DictReader(io.StringIO(run(hairpin, "chords", path, "--format", "tsv")), delimiter="\t")
    return home, [(float(r["onset"]), float(r["end"]), int(r["root_pc"])) for r in rows]


def library_key(score):
    k = score.analyze("key")
    return k.tonic.pitchClass, k.mode == "minor", str(k)


def pitch_class(name):
    pc = {"c": 0, "d": 2, "e": 4, "f": 5, "g": 7, "a": 9, "b": 11}[name[0].lower()]
    return (pc + name.count("#") - name[1:].count("b")) % 12


def library_roots(score):
    """(start, end, root) of every slice that is a triad or a seventh chord."""
    out = []
    for c in score.chordify().flatten().getElementsByClass(chord.Chord):
        if c.quarterLength > 0 and (c.isTriad() or c.isSeventh()):
            out.append((float(c.offset), float(c.offset + c.quarterLength), c.root().pitchClass))
    return out


def root_agreement(ours, theirs):
    """Quarters agreeing, quarters compared, disagreements by pair of roots."""
    same = total = 0.0
    wrong, i = collections.Counter(), 0
    for start, end, root in theirs:
        while i < len(ours) and ours[i][1] <= start:
            i += 1
        for a, b, r in ours[i:]:
            if a >= end:
                break
            part = min(b, end) - max(a, start)
            total += part
            if r == root:
                same += part
            else:
                wrong[r, root] += part
    return same, total, wrong


NAMES = "C C# D Eb E F F# G Ab A Bb B".split()


def compare(hairpin, name, folder):
    score = corpus.parse(name)
    path = os.path.join(folder, "score.musicxml")
    score.write("musicxml", path)
    ours, theirs = hairpin_notes(hairpin, path), library_notes(score)
    home, chords = hairpin_chords(hairpin, path)
    tonic, minor, text = library_key(score)
    same, total, wrong = root_agreement(chords, library_roots(score))
    key_same = (pitch_class(home), home[0].islower()) == (tonic, minor)
    print("%-38s notes %5d %s  key %-3s %s  roots %5.1f %%" % (
        name, sum(theirs.values()), "all" if ours == theirs else "DIFFER", home,
        "same" if key_same else "library: " + text, 100 * same / max(total, 1e-9)), flush=True)
    for what, diff in (("only in the library", theirs - ours), ("only in hairpin", ours - theirs)):
        for n in sorted(diff)[:5]:
            print("    note %s: measure %d, offset %g, duration %g, midi %g" % ((what,) + n))
    worst = ", ".join("%s for %s (%g)" % (NAMES[a], NAMES[b], q) for (a, b), q in wrong.most_common(3))
    if worst:
        print("    roots, ours for the library's (quarters): " + worst)
    return ours == theirs, key_same, same, total


def main():
    hairpin = os.path.abspath(sys.argv[1])
    with open(os.path.join(HERE, "scores.txt")) as f:
        names = [l.strip() for l in f if l.strip() and not l.startswith("#")]
    with tempfile.TemporaryDirectory() as folder:
        rows = [compare(hairpin, name, folder) for name in names]
    notes = sum(r[0] for r in rows) / len(rows)
    keys = sum(r[1] for r in rows) / len(rows)
    roots = sum(r[2] for r in rows) / sum(r[3] for r in rows)
    print("\n%d scores: all notes the same in %.1f %%, key the same in %.1f %%, roots agree %.1f %% of the time" % (
        len(rows), 100 * notes, 100 * keys, 100 * roots))
    failed = [w for w, v, floor in (("notes", notes, NOTES_FLOOR), ("key", keys, KEY_FLOOR), ("roots", roots, ROOT_FLOOR)) if v < floor]
    if failed:
        sys.exit("below the floor: " + ", ".join(failed))


main()

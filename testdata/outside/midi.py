#!/usr/bin/env python3
"""midi.py HAIRPIN DEMO...  reads hairpin's MIDI files back with an independent library.

For each demo score, for the printed and the shaped level and for the bare harmony:
every note that starts also ends, no key is struck while it sounds, and between
printed and shaped nothing differs but velocities and the expression controller.
The number and pitches of the notes are compared with what `hairpin contents` read
(demos without ornaments, whose written notes are the sounding ones)."""
import json, os, subprocess, sys, tempfile
import mido


def listen(hairpin, score, level, folder):
    path = os.path.join(folder, level + ".mid")
    subprocess.run([hairpin, "listen", score, "-o", path, "--level", level], check=True)
    return mido.MidiFile(path)


def notes(track, problems):
    out, sounding, at = [], {}, 0
    for m in track:
        at += m.time
        if m.type not in ("note_on", "note_off"):
            continue
        key = (m.channel, m.note)
        if m.type == "note_on" and m.velocity > 0:
            if key in sounding:
                problems.append(f"key {m.note} is struck while it sounds, tick {at}")
            sounding[key] = len(out)
            out.append([at, None, m.note, m.velocity])
        elif key in sounding:
            out[sounding.pop(key)][1] = at
        else:
            problems.append(f"key {m.note} ends without a start, tick {at}")
    if sounding:
        problems.append(f"{len(sounding)} notes never end")
    return out


def fixed(file):
    """Everything but velocities and expression."""
    out = []
    for track in file.tracks:
        at = 0
        for m in track:
            at += m.time
            if m.type == "control_change" and m.control == 11:
                continue
            d = {k: v for k, v in m.dict().items() if k not in ("time", "velocity")}
            out.append((at, json.dumps(d, sort_keys=True, default=str)))
    return sorted(out)


def check(hairpin, score):
    problems = []
    with tempfile.TemporaryDirectory() as folder:
        files = {level: listen(hairpin, score, level, folder) for level in ("printed", "shaped", "harmony")}
        counts = {level: sum(len(notes(t, problems)) for t in f.tracks) for level, f in files.items()}
        played = sorted(n[2] for t in files["printed"].tracks for n in notes(t, []))
    if fixed(files["printed"]) != fixed(files["shaped"]):
        problems.append("printed and shaped differ in more than loudness")
    facts = json.loads(subprocess.run([hairpin, "contents", "--format", "json", score], check=True, capture_output=True).stdout)
    written = sorted(round(n[2]) for n in facts["notes"])
    if written != played:
        problems.append(f"{len(played)} notes played, {len(written)} written, or other pitches")
    print(f"{os.path.basename(score)}: {counts['printed']} notes printed and shaped, {counts['harmony']} in the harmony, "
          f"{files['printed'].length:.1f} s, {len(problems)} problems")
    for p in problems:
        print("  " + p)
    return len(problems)


sys.exit(1 if sum(check(sys.argv[1], s) for s in sys.argv[2:]) else 0)

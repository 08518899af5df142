"""Low Water: a slow study for vibraphone, with almost nothing printed.

A line a measure: chords "NUMERAL bass upper notes *EIGHTHS"; the bass rings.
"""
from notation import Part, Piece, Staff

TITLE = "Low Water"

MEASURES = """
a:i a3 e4 a4 c5 *6
VImaj7 f3 e4 a4 c5 *6
iv7 d4 f4 a4 c5 *6
V65 g#3 e4 b4 d5 *6
i a3 e4 a4 c5 *3; = a3 a4 c5 e5 *3
V65/III b3 g4 d5 f5 *6
III c4 g4 c5 e5 *6
iv6 f4 a4 d5 a4 *3; V e4 g#4 b4 e5 *3
i a3 e4 a4 c5 *6
V42/iv g3 e4 a4 c#5 *6
C:ii6 f3 d4 a4 d5 *6
vii°7/V f#3 eb4 a4 c5 *6
Cad64 g3 e4 g4 c5 *3; V7 g3 d4 f4 b4 *3
I c4 e4 g4 c5 *6
a:iiø42 a3 d4 f4 b4 *6
V65 g#3 d4 e4 b4 *6
i a3 e4 a4 c5 *6
V6 g#3 e4 b4 e5 *6
v6 g3 e4 b4 e5 *6
#viø7 f#3 e4 a4 c5 *6
VImaj7 f3 e4 a4 c5 *6
bII6 d4 f4 bb4 d5 *6
vii°7/V d#4 f#4 a4 c5 *3; Cad64 e4 a4 c5 a4 *3
V7 e4 g#4 b4 d5 *6
i a3 e4 a4 c5 *6
VImaj7 f3 e4 a4 c5 *6
iiø65 d4 f4 a4 b4 *6
Cad64 e4 a4 c5 a4 *3; V7 e4 g#4 b4 d5 *3
i a3 e4 b4 c5 *3; = a3 e4 a4 c5 *3
iv64 a3 f4 a4 d5 *6
V7 a3 e4 g#4 d5 *6
i a3 e4 a4 c5 *6
"""

MARKS = """
1:1 mp
1:1 "let it ring"
"""


def build():
    upper, bass, rows = [], [], []
    key = ""
    lines = MEASURES.strip().splitlines()
    for number, line in enumerate(lines, 1):
        top, low, beat = [], [], 1
        for chord in line.split(";"):
            name, root, *notes, times = chord.split()
            if ":" in name:
                key, name = name.split(":")
            if name != "=":
                rows.append((number, beat, key, name))
            eighths = int(times[1:])
            low.append(root + ("/2." if eighths == 6 else "/4."))
            top.append(figure(notes, eighths, number == len(lines)))
            beat += eighths
        upper.append(" ".join(top))
        bass.append(" ".join(low))
    part = Part("Vibraphone", "pitched-percussion.vibraphone", [Staff("treble", upper, bass)], MARKS)
    return Piece(TITLE, 0, "minor", 6, 8, "Slow 4.=44", [part]), rows


def figure(notes, eighths, last):
    if last:
        return "+".join(notes) + "/2.@"
    if eighths == 6:
        return "r/8 {0} {1} {2} {1} {0}".format(*notes)
    return "{0}/8 {1} {2}".format(*notes)

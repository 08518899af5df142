"""The Millrace: an étude for marimba with four mallets, in broken chords.

Each line is a measure: its figure, then chords "NUMERAL low … high *QUARTERS".
"=" goes on with the chord before (a suspension resolves). The four voices are
led like a chorale; the figure only breaks them.
"""
from notation import Part, Piece, Staff

TITLE = "The Millrace"

MEASURES = """
x; d:i d3 a3 d4 f4 *4
x; iv64 d3 bb3 d4 g4 *4
x; V43 e3 a3 c#4 g4 *4
x; i6 f3 a3 d4 f4 *4
x; iiø65 g3 bb3 d4 f4 *1; = g3 bb3 d4 e4 *3
x; vii°7/V g#3 b3 d4 f4 *4
z; Cad64 a2 a3 d4 f4 *4
z; V a2 a3 c#4 f4 *1; = a2 a3 c#4 e4 *3
x; i d3 a3 d4 f4 *4
y; V42/iv c3 a3 d4 f#4 *4
y; F:ii6 bb2 g3 d4 g4 *4
y; V7 c3 g3 e4 bb4 *4
z; I f2 c4 f4 bb4 *1; = f2 c4 f4 a4 *3
x; ii65 bb2 d4 f4 g4 *4
x; Cad64 c3 c4 f4 a4 *2; V7 c3 bb3 e4 g4 *2
x; I f2 a3 c4 g4 *1; = f2 a3 c4 f4 *3
y; I f2 a3 c4 f4 *4
y; I f3 c4 f4 a4 *4
x; V65/ii f#2 c4 d4 a4 *4
x; ii g2 bb3 d4 g4 *4
y; V65/iii g#2 d4 e4 b4 *4
y; iii a2 c4 e4 a4 *4
x; d:V65/VI a2 c4 eb4 f4 *4
x; VI bb2 bb3 d4 f4 *4
z; bII6 g2 bb3 eb4 g4 *4
z; vii°7/V g#2 b3 d4 f4 *4
x; Cad64 a2 a3 d4 f4 *4
x; V7 a2 a3 c#4 g4 *4
y; V7 a2 bb3 e4 g4 *2; = a2 bb3 c#4 g4 *2
y; V7 a2 a3 c#4 g4 *4
x; i d3 a3 d4 g4 *1; = d3 a3 d4 f4 *3
x; iv64 d3 bb3 d4 g4 *4
x; V43 e3 a3 c#4 g4 *4
x; i6 f3 a3 d4 f4 *4
y; iv6 bb2 g3 d4 g4 *4
y; Ger65 bb2 f3 d4 g#4 *4
z; Cad64 a2 f3 d4 a4 *2; V7 a2 e3 c#4 g4 *2
x; VI bb2 d3 d4 f4 *4
x; iv g2 bb3 d4 g4 *4
z; Cad64 a2 a3 d4 f4 *2; V7 a2 g3 c#4 e4 *2
x; i d3 f3 a3 e4 *1; = d3 f3 a3 d4 *3
x; iv64 d3 g3 bb3 d4 *4
y; V7 d3 g3 c#4 e4 *4
y; I d3 f#3 a3 d4 *4
w; I d3 f#3 a3 d4 *4
"""

MARKS = """
1:1 p
1:1 "even, like water"
4:1-6:end <
7:1 f
7:3-8:end >
9:1 mf
11:1-12:end >
13:1 f
14:1 mp
14:1-14:end <
15:1 f
15:3-16:2 >
16:3 p
17:1-18:end <
19:1 mp
19:3 "cresc. poco a poco"
25:1 f
25:1-26:end <
27:1 ff
27:3-30:end >
31:1 p
35:1-36:end <
37:1 f
38:1 p
39:1-39:end <
40:1 mf
40:3-41:2 >
41:3 p
44:3-45:1 >
45:1 pp
"""

# figure: what each hand plays in one quarter, by voice 0 low … 3 high
FIGURES = {
    "x": ("{0}/16 {1} r/8", "r/8 {2}/16 {3}"),
    "y": ("{0}/16 {1} r/8", "r/8 {3}/16 {2}"),
    "z": ("{0}+{1}/8 r", "r/8 {2}/16 {3}"),
}


def build():
    left, right, rows = [], [], []
    key = ""
    for number, line in enumerate(MEASURES.strip().splitlines(), 1):
        figure, *chords = line.split(";")
        low, high, beat = [], [], 1
        for chord in chords:
            name, *voices, times = chord.split()
            if ":" in name:
                key, name = name.split(":")
            if name != "=":
                rows.append((number, beat, key, name))
            count = int(times[1:])
            if figure == "w":
                low.append("%s+%s/1@" % tuple(voices[:2]))
                high.append("%s+%s/1@" % tuple(voices[2:]))
            else:
                low += [FIGURES[figure][0].format(*voices)] * count
                high += [FIGURES[figure][1].format(*voices)] * count
            beat += count
        left.append(" ".join(low))
        right.append(" ".join(high))
    part = Part("Marimba", "pitched-percussion.marimba", [Staff("treble", right), Staff("bass", left)], MARKS)
    return Piece(TITLE, -1, "minor", 4, 4, "Flowing 4=72", [part]), rows

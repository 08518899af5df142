"""Below the Weir: an andante for string quartet.

A period, a sequence of falling fifths in the dominant, a dominant pedal that
ends in a deceptive cadence, the cadence again, and a tonic pedal.
"""
from notation import Part, Piece, Staff

TITLE = "Below the Weir"

FIRST = """
d5/4. e5/8 d5/2
d5/4 e5/8 d5 c5/2
a4/4. b4/8 a4/2
a4/2. r/4
d5/4. c5/8 b4/2
b4/4. c5/8 a4/2
b4/2 a4
g4/2. r/4
g4/4. a4/8 g4/2
f#4/4. a4/8 g4/2~
g4/2 f#4~
f#4/2 b4
a4/4. b4/8 a4/2
a4/2. a4/4
g4/2 f4
e4/2 eb4~
eb4/2 e4
d4/1
f#4/2 g4
a4/2 c5
eb5/2> d5
b4/1
a4/2 bb4
b4/4. c5/8 a4/2~
a4/4 g4/2.
f#4/2 g4~
g4/1~
g4/1@
"""

SECOND = """
g4/2 f#4
g4/1
g4/1~
g4/2 f#4
g4/2 a4
g4/1~
g4/2 f#4
d4/2. r/4
e4/1
d4/1
e4/1
d4/1~
d4/4 c#4/2.
d4/1~
d4/1
c4/1~
c4/2 bb3
bb3/8 bb3 bb3 bb3 a3 a3 a3 a3
c4/8 c4 c4 c4 d4 d4 d4 d4
f#4/8 f#4 f#4 f#4 f#4 f#4 f#4 f#4
f#4/8 f#4 f#4 f#4 f#4 f#4 f#4 f#4
g4/1~
g4/1~
g4/2 f#4
d4/2 e4
d4/1
eb4/1
d4/1@
"""

VIOLA = """
b3/2 c4
d4/2 e4
e4/1
d4/1
d4/2 d#4
e4/1
d4/2 c4
b3/2. r/4
b3/2 c#4
a3/2 b3~
b3/2 a3~
a3/2 g3~
g3/1
f#3/1
g3/1~
g3/1
ab3/2 g3
g3/8 g3 g3 g3 f#3 f#3 f#3 f#3
a3/8 a3 a3 a3 b3 b3 b3 b3
c4/8 c4 c4 c4 c4 c4 c4 c4
c4/8 c4 c4 c4 c4 c4 c4 c4
b3/1
e4/1
d4/2 c4
b3/2 c4~
c4/2 b3
c4/1
b3/1@
"""

CELLO = """
g2/2 a2
b2/2 c3
c#3/1
d3/2. c3/4
b2/1
e3/4 d3 c3/2
d3/2 d2
g2/2. r/4
e2/2 a2
d3/2 g2
c#3/2 f#2
b2/2 e2
a2/1
d3/2 c3
b2/1
c3/1~
c3/2 c#3
d3/1~
d3/1~
d3/1~
d3/1
e3/1
c3/2 c#3
d3/2 d2
g2/1~
g2/1~
g2/1~
g2/1@
"""

CHORDS = """
1:1 G I; 1:3 G V43; 2:1 G I6; 2:3 G IV; 3:1 G V65/V; 4:1 G V; 5:1 G I6; 5:3 G V7/vi
6:1 G vi; 6:3 G ii65; 7:1 G Cad64; 7:3 G V7; 8:1 G I
9:1 D ii; 9:3 D V7; 10:1 D I; 10:3 D IV; 11:1 D viiø7; 11:3 D iii7; 12:1 D vi7; 12:3 D ii7
13:1 D V7; 14:1 D I; 14:3 G V42; 15:1 G I6; 15:3 G V65/IV; 16:1 G IV; 16:3 G iv
17:1 G bII6; 17:3 G vii°7/V; 18:1 G i64; 18:3 G V; 19:1 G V7; 19:3 G I64; 20:1 G V7; 22:1 G vi
23:1 G ii65; 23:3 G vii°7/V; 24:1 G Cad64; 24:3 G V7; 25:1 G I; 25:3 G IV64; 26:1 G V7; 26:3 G I
27:1 G iv64; 28:1 G I
"""

MARKS = """
1:1 p
2:1-3:end <
4:1 mf
4:1-4:end >
5:1 p
6:3-7:2 <
7:3-8:2 >
15:1 p
15:1-17:end <
18:1 p
19:1-20:end <
21:1 ff
22:1 p
23:1-23:end <
24:1 mf
24:3-25:2 >
25:3 p
27:1-28:1 >
28:1 pp
"""


def build():
    def part(name, sound, clef, text):
        return Part(name, sound, [Staff(clef, text.strip().splitlines())], MARKS)
    parts = [part("Violin 1", "strings.violin", "treble", FIRST),
             part("Violin 2", "strings.violin", "treble", SECOND),
             part("Viola", "strings.viola", "alto", VIOLA),
             part("Cello", "strings.cello", "bass", CELLO)]
    rows = []
    for item in CHORDS.replace("\n", ";").split(";"):
        if item.strip():
            place, key, roman = item.split()
            measure, beat = place.split(":")
            rows.append((int(measure), float(beat), key, roman))
    return Piece(TITLE, 1, "major", 4, 4, "Andante 4=66", parts), rows

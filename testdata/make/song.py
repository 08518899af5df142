"""Ferry Lamp: a song with piano, words our own.

The piano is a line a measure: its texture (a broken, b block), then chords
"NUMERAL bass three notes of the right hand *BEATS".
"""
from notation import Part, Piece, Staff

TITLE = "Ferry Lamp"

VOICE = """
r/2.
r/2.
r/2.
r/2 bb4/4=The
g4/2=fer- bb4/4=ry
ab4/2=lamp f4/4=is
eb4/4.(=lit f4/8) g4/4=a-
bb4/2=gain, bb4/4=it
c5/2=swings ab4/4=a-
g4/2=bove f4/4=the
f4/2.~=tide,
f4/2 bb4/4=and
g4/2=all bb4/4=the
d5/2=fields d5/4=are
eb5/4.(=dark d5/8) c5/4=with
c5/2=rain c5/4=up-
d5/2=on bb4/4=the
eb5/2=far- c5/4=ther
bb4/2.~=side.
bb4/2 d5/4=O
eb5/2=row c5/4=me
c5/2=o- c5/4=ver,
eb5/4(=slow d5) c5/4=and
b4/2=low, g4/4=the
c5/2=wa- ab4/4=ter
bb4/2=knows db5/4~=the
db5/4(=way, c5/2)
r/2 bb4/4=the
eb5/2=lamp bb4/4=will
c5/2=tell eb5/4=me
eb5/2=where gb5/4=to
f5/2=go bb4/4=un-
eb5/2=til c5/4=the
ab4/4(=edge g4) f4/4=of
f4/4(=day. eb4/2~)
eb4/2.
r/2.
r/2.
r/2.
r/2.
"""

PIANO = """
a; Eb:I eb3 bb3 eb4 g4 *3
a; vi c3 c4 eb4 g4 *3
a; ii65 ab2 c4 eb4 f4 *3
a; V7 bb2 ab3 d4 f4 *3
a; I eb3 g3 bb3 eb4 *3
a; V65 d3 ab3 bb3 f4 *3
a; I eb3 g3 bb3 eb4 *3
a; V bb2 f3 bb3 d4 *3
a; vi c3 eb3 g3 eb4 *2; IV ab2 eb3 ab3 c4 *1
a; I6 g2 eb3 bb3 eb4 *2; V7/V f2 eb3 a3 c4 *1
a; V bb2 eb3 f3 bb3 *2; = bb2 d3 f3 bb3 *1
a; V7 bb2 d3 ab3 bb3 *3
a; I eb3 g3 bb3 eb4 *3
a; V65/vi b2 f3 g3 d4 *3
a; vi c3 eb3 g3 c4 *3
a; Bb:V65 a2 eb3 f3 c4 *3
a; I bb2 d3 f3 bb3 *3
a; ii65 eb2 g3 bb3 c4 *2; V7 f2 eb3 a3 c4 *1
a; I bb2 d3 f3 bb3 *3
a; I bb2 d3 f3 bb3 *2; c:vii°7 b2 d3 f3 ab3 *1
b; i c3 eb3 g3 c4 *3
b; iv6 ab2 f3 ab3 c4 *3
b; Fr43 ab2 f#3 c4 d4 *3
b; V g2 g3 b3 d4 *3
a; Ab:I ab2 eb3 ab3 c4 *3
a; ii65 db3 f3 ab3 bb3 *2; V7 eb2 eb3 g3 bb3 *1
a; I ab2 c3 eb3 ab3 *3
a; Eb:iv ab2 eb3 ab3 cb4 *2; V42 ab2 d3 f3 bb3 *1
a; I6 g2 eb3 bb3 eb4 *3
a; IV ab2 eb3 ab3 c4 *3
b; vii°7/V a2 eb3 gb3 c4 *3
b; V bb2 eb3 f3 bb3 *1; = bb2 d3 f3 bb3 *2
b; vi c3 eb3 eb3 g3 *3
a; ii65 ab2 eb3 f3 c4 *1; Cad64 bb2 eb3 g3 bb3 *1; V7 bb2 d3 ab3 bb3 *1
a; I eb2 eb3 g3 bb3 *3
a; I eb2 eb3 g3 bb3 *3
a; V7/IV eb2 db3 g3 bb3 *3
a; IV64 eb2 c3 ab3 c4 *3
a; vii°7 eb2 d3 ab3 cb4 *3
w; I eb2 eb3 g3 bb3 *3
"""

SUNG = """
4:3 p
9:1-10:end <
11:1 mf
11:1-11:end >
12:3 p
21:1 mf
22:1-23:end <
24:1 f
24:1-24:2 >
24:3 p
28:3 mf
30:1-30:end >
31:1 pp
33:1 mp
34:1-35:1 >
35:1 p
"""

PLAYED = """
1:1 p
9:1-10:end <
11:1 mf
11:1-11:end >
12:1 p
21:1 mf
22:1-23:end <
24:1 f
24:1-24:end >
25:1 p
28:3 mf
30:1-30:end >
31:1 pp
33:1 mp
34:1-35:1 >
35:1 p
39:1-40:1 >
40:1 pp
"""

BROKEN = {3: "{0}/8 {1} {2} {1} {2} {1}", 2: "{0}/8 {1} {2} {1}", 1: "{0}/8 {1}+{2}"}
LONG = {3: "2.", 2: "2", 1: "4"}


def right_hand(texture, notes, beats):
    if texture == "w":
        return "%s/2.@" % "+".join(notes)
    if texture == "b":
        block = "+".join(dict.fromkeys(notes))
        return " ".join(["%s/4" % block] * beats)
    return BROKEN[beats].format(*notes)


def build():
    low, high, rows = [], [], []
    key = ""
    for number, line in enumerate(PIANO.strip().splitlines(), 1):
        texture, *chords = line.split(";")
        bass, tenor, beat = [], [], 1
        for chord in chords:
            name, root, *notes, times = chord.split()
            if ":" in name:
                key, name = name.split(":")
            if name != "=":
                rows.append((number, beat, key, name))
            beats = int(times[1:])
            bass.append("%s/%s" % (root, LONG[beats]))
            tenor.append(right_hand(texture, notes, beats))
            beat += beats
        low.append(" ".join(bass))
        high.append(" ".join(tenor))
    voice = Part("Voice", "voice.mezzo-soprano", [Staff("treble", VOICE.strip().splitlines())], SUNG)
    piano = Part("Piano", "keyboard.piano.grand", [Staff("treble", high), Staff("bass", low)], PLAYED)
    return Piece(TITLE, -3, "major", 3, 4, "Quietly 4=84", [voice, piano]), rows

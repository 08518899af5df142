"""Writes MusicXML 4.0 from a few lines of text. Standard library only.

A measure is a string of notes: PITCH[+PITCH…]/LENGTH, the length carried on
until it changes. Lengths are 1 2 4 8 16, with a dot. Signs may follow a note:
~ tie to the next, ( and ) slur, > accent, - tenuto, @ fermata, =text lyric
(text- goes on to the next syllable). r is a rest. b and # alter: eb4, f#5.

A mark is a line "MEASURE:BEAT MARK" or "MEASURE:BEAT-MEASURE:BEAT < or >";
the beat "end" is the right edge of the measure, words are written "text".
"""
import re
from xml.sax.saxutils import escape, quoteattr

DIV = 4  # divisions of a quarter note
TYPES = {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th"}
DYNAMICS = set("ppp pp p mp mf f ff fff fp sf sfz rf".split())
FIFTHS = {"c": 0, "d": 2, "e": 4, "f": -1, "g": 1, "a": 3, "b": 5}
NOTE = re.compile(r"^([a-gr#b0-9+]+?)(?:/(\d+)(\.?))?([~()>@-]*)(?:=(.*))?$")
PITCH = re.compile(r"^([a-g])(#|b|##|bb|)(\d)$")


class Note:
    def __init__(self, names, length, dot, signs, lyric):
        self.names, self.length, self.dot = names, length, dot
        self.signs, self.lyric = signs, lyric
        self.ticks = 4 * DIV // length * (3 if dot else 2) // 2


def parse(text, length=4, dot=""):
    """The notes of a measure."""
    out = []
    for token in text.split():
        m = NOTE.match(token)
        if not m:
            raise ValueError("cannot read note %r" % token)
        if m[2]:
            length, dot = int(m[2]), m[3]
        out.append(Note(m[1].split("+"), length, dot, m[4], m[5]))
    return out


def alter(sign):
    return sign.count("#") - sign.count("b")


class Staff:
    """One staff: its clef and one or two voices, each a list of measures."""

    def __init__(self, clef, *voices):
        self.clef, self.voices = clef, voices


class Part:
    def __init__(self, name, sound, staves, marks="", brace=False, staff_of_marks=1):
        self.name, self.sound, self.staves = name, sound, staves
        self.marks = [read_mark(l) for l in marks.strip().splitlines() if l.strip()]
        self.brace, self.staff_of_marks = brace, staff_of_marks


class Piece:
    def __init__(self, title, fifths, mode, beats, unit, tempo, parts, keys=None):
        self.title, self.fifths, self.mode = title, fifths, mode
        self.beats, self.unit, self.tempo, self.parts = beats, unit, tempo, parts
        self.keys = keys or {}  # measure: (fifths, mode) of a change


def read_mark(line):
    where, what = line.split(None, 1)
    start, _, end = where.partition("-")
    return start, end, what.strip()


def when(piece, place):
    """Measure number and ticks from its start."""
    measure, beat = place.split(":")
    if beat == "end":
        return int(measure), piece.beats * 4 * DIV // piece.unit
    return int(measure), round((float(beat) - 1) * 4 * DIV / piece.unit)


def events(piece, part):
    """The part's marks by measure: (ticks, xml of direction-type)."""
    out, number = {}, 0
    for start, end, what in part.marks:
        m, t = when(piece, start)
        if what in "<>":
            number = number % 2 + 1
            kind = "crescendo" if what == "<" else "diminuendo"
            out.setdefault(m, []).append((t, 1, '<wedge type="%s" number="%d"/>' % (kind, number)))
            m2, t2 = when(piece, end)
            out.setdefault(m2, []).append((t2, 0, '<wedge type="stop" number="%d"/>' % number))
        elif what in DYNAMICS:
            out.setdefault(m, []).append((t, 0.5, "<dynamics><%s/></dynamics>" % what))
        else:
            text = escape(what.strip('"'))
            out.setdefault(m, []).append((t, 0.6, '<words font-style="italic">%s</words>' % text))
    return {m: sorted(l, key=lambda e: e[:2]) for m, l in out.items()}


def direction(kind, staff, offset, below=True):
    return ('<direction placement="%s"><direction-type>%s</direction-type>%s%s</direction>' % (
        "below" if below else "above", kind,
        "<offset>%d</offset>" % offset if offset else "",
        "<staff>%d</staff>" % staff if staff else ""))


def beams(notes, group):
    """A list of beam elements for each note, beamed within groups of ticks."""
    at, runs, run, home = 0, [], [], None
    for i, n in enumerate(notes):
        small = n.length >= 8 and n.names != ["r"]
        if run and (not small or at // group != home):
            runs.append(run)
            run = []
        if small:
            if not run:
                home = at // group
            run.append(i)
        at += n.ticks
    runs.append(run)
    out = [""] * len(notes)
    for run in runs:
        if len(run) < 2:
            continue
        for level, least in ((1, 8), (2, 16)):
            out_level(notes, run, level, least, out)
    return out


def out_level(notes, run, level, least, out):
    part = []
    for i in run + [None]:
        if i is not None and notes[i].length >= least:
            part.append(i)
            continue
        for k, j in enumerate(part):
            if len(part) == 1:
                word = "backward hook" if j != run[0] else "forward hook"
            else:
                word = "begin" if k == 0 else "end" if k == len(part) - 1 else "continue"
            out[j] += '<beam number="%d">%s</beam>' % (level, word)
        part = []


def signature(fifths):
    names = "fcgdaeb" if fifths > 0 else "beadgcf"
    return {n: (1 if fifths > 0 else -1) for n in names[:abs(fifths)]}


ACCIDENTALS = {0: "natural", 1: "sharp", -1: "flat", 2: "double-sharp", -2: "flat-flat"}


class Writer:
    """Writes one part; keeps what runs on across measures."""

    def __init__(self, piece, part):
        self.piece, self.part = piece, part
        self.tied, self.lyric_open = {}, {}
        self.fifths = piece.fifths

    def measure(self, number, last, marks):
        piece, part = self.piece, self.part
        if number in piece.keys:
            self.fifths = piece.keys[number][0]
        lines = ['<measure number="%d">' % number] + self.attributes(number)
        if number == 1 and part is piece.parts[0]:
            lines.append(tempo(piece.tempo))
        full = piece.beats * 4 * DIV // piece.unit
        first = True
        for s, staff in enumerate(part.staves, 1):
            self.state = {}
            for v, voice in enumerate(staff.voices, 1):
                if not voice[number - 1]:
                    continue
                if not first:
                    lines.append("<backup><duration>%d</duration></backup>" % full)
                here = marks if v == 1 and s == part.staff_of_marks else []
                lines += self.voice(number, staff, s, (s - 1) * 4 + v, voice[number - 1], here, full)
                first = False
        if last:
            lines.append('<barline location="right"><bar-style>light-heavy</bar-style></barline>')
        return lines + ["</measure>"]

    def attributes(self, number):
        piece, part = self.piece, self.part
        if number != 1 and number not in piece.keys:
            return []
        mode = piece.keys[number][1] if number in piece.keys else piece.mode
        key = "<key><fifths>%d</fifths><mode>%s</mode></key>" % (self.fifths, mode)
        if number != 1:
            return ["<attributes>%s</attributes>" % key]
        out = ["<attributes>", "<divisions>%d</divisions>" % DIV, key,
               "<time><beats>%d</beats><beat-type>%d</beat-type></time>" % (piece.beats, piece.unit)]
        if len(part.staves) > 1:
            out.append("<staves>%d</staves>" % len(part.staves))
        for s, staff in enumerate(part.staves, 1):
            num = ' number="%d"' % s if len(part.staves) > 1 else ""
            sign, line = {"treble": ("G", 2), "bass": ("F", 4), "alto": ("C", 3)}[staff.clef]
            out.append("<clef%s><sign>%s</sign><line>%d</line></clef>" % (num, sign, line))
        return out + ["</attributes>"]

    def voice(self, number, staff, s, v, text, marks, full):
        notes = parse(text)
        if sum(n.ticks for n in notes) != full:
            raise ValueError("%s, measure %d, staff %d: %d of %d ticks in %r" % (
                self.part.name, number, s, sum(n.ticks for n in notes), full, text))
        unit = self.piece.unit
        group = 6 if unit == 8 else DIV
        if unit == 4 and self.piece.beats == 3 and all(n.length <= 8 for n in notes):
            group = 3 * DIV
        beam = beams(notes, group)
        lines, at, marks = [], 0, list(marks)
        many = s if len(self.part.staves) > 1 else 0
        for i, n in enumerate(notes):
            while marks and marks[0][0] < at + n.ticks:
                t, _, kind = marks.pop(0)
                lines.append(direction(kind, many, t - at))
            lines += self.note(n, s, v, beam[i], len(staff.voices) > 1)
            at += n.ticks
        lines += [direction(kind, many, t - at) for t, _, kind in marks]
        return lines

    def note(self, n, s, v, beam, stems):
        out = []
        for k, name in enumerate(n.names):
            x = ["<note>"]
            if k:
                x.append("<chord/>")
            x.append(rest(n, self.piece) if name == "r" else self.pitch(name))
            x.append("<duration>%d</duration>" % n.ticks)
            was, starts = self.tied.get((v, name), False), "~" in n.signs
            x += ['<tie type="stop"/>'] * was + ['<tie type="start"/>'] * starts
            x.append("<voice>%d</voice><type>%s</type>%s" % (v, TYPES[n.length], "<dot/>" if n.dot else ""))
            if name != "r":
                x.append(self.accidental(name, was))
                if stems:
                    x.append("<stem>%s</stem>" % ("up" if (v - 1) % 4 == 0 else "down"))
            if len(self.part.staves) > 1:
                x.append("<staff>%d</staff>" % s)
            if k == 0:
                x.append(beam)
            x.append(self.notations(n, k, was, starts))
            if k == 0 and n.lyric:
                x.append(self.lyric(v, n.lyric))
            out.append("".join(x) + "</note>")
        for name in n.names:
            self.tied[v, name] = "~" in n.signs
        return out

    def pitch(self, name):
        letter, sign, octave = PITCH.match(name).groups()
        a = "<alter>%d</alter>" % alter(sign) if sign else ""
        return "<pitch><step>%s</step>%s<octave>%s</octave></pitch>" % (letter.upper(), a, octave)

    def accidental(self, name, was):
        letter, sign, octave = PITCH.match(name).groups()
        in_force = self.state.get(letter + octave, signature(self.fifths).get(letter, 0))
        if alter(sign) == in_force or was:
            return ""
        self.state[letter + octave] = alter(sign)
        return "<accidental>%s</accidental>" % ACCIDENTALS[alter(sign)]

    def notations(self, n, k, was, starts):
        x = '<tied type="stop"/>' * was + '<tied type="start"/>' * starts
        if k == 0:
            x += '<slur type="start" number="1"/>' * ("(" in n.signs)
            x += '<slur type="stop" number="1"/>' * (")" in n.signs)
            art = "<accent/>" * (">" in n.signs) + "<tenuto/>" * ("-" in n.signs)
            x += "<articulations>%s</articulations>" % art if art else ""
            x += "<fermata/>" * ("@" in n.signs)
        return "<notations>%s</notations>" % x if x else ""

    def lyric(self, v, text):
        going, goes = self.lyric_open.get(v, False), text.endswith("-")
        self.lyric_open[v] = goes
        kind = ("middle" if going else "begin") if goes else ("end" if going else "single")
        return '<lyric number="1"><syllabic>%s</syllabic><text>%s</text></lyric>' % (kind, escape(text.rstrip("-")))


def rest(n, piece):
    whole = n.ticks == piece.beats * 4 * DIV // piece.unit
    return '<rest measure="yes"/>' if whole else "<rest/>"


def tempo(text):
    """"Andante 4=72" or "Quietly 4.=50" as a direction."""
    words, _, rest = text.rpartition(" ")
    unit, _, rate = rest.partition("=")
    dot = unit.endswith(".")
    quarter = float(rate) * 4 / float(unit.rstrip(".")) * (1.5 if dot else 1)
    return ('<direction placement="above"><direction-type><words font-weight="bold">%s</words></direction-type>'
            '<direction-type><metronome><beat-unit>%s</beat-unit>%s<per-minute>%s</per-minute></metronome></direction-type>'
            '<sound tempo="%g"/></direction>' % (
                escape(words), TYPES[int(unit.rstrip("."))], "<beat-unit-dot/>" if dot else "", rate, quarter))


def write(piece, path):
    count = len(piece.parts[0].staves[0].voices[0])
    out = ['<?xml version="1.0" encoding="UTF-8"?>',
           '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">',
           '<score-partwise version="4.0">',
           "<work><work-title>%s</work-title></work>" % escape(piece.title),
           '<identification><creator type="composer">the hairpin authors</creator>'
           "<rights>MIT licence</rights></identification>", "<part-list>"]
    for i, part in enumerate(piece.parts, 1):
        out.append('<score-part id="P%d"><part-name>%s</part-name><score-instrument id="P%d-I1">'
                   "<instrument-name>%s</instrument-name><instrument-sound>%s</instrument-sound></score-instrument>"
                   "</score-part>" % (i, escape(part.name), i, escape(part.name), part.sound))
    out.append("</part-list>")
    for i, part in enumerate(piece.parts, 1):
        out.append("<part id=%s>" % quoteattr("P%d" % i))
        writer, marks = Writer(piece, part), events(piece, part)
        for m in range(1, count + 1):
            out += writer.measure(m, m == count, marks.get(m, []))
        out.append("</part>")
    out.append("</score-partwise>")
    with open(path, "w", encoding="utf-8", newline="\n") as f:
        f.write("\n".join(out) + "\n")


def write_truth(rows, path, title):
    """rows: (measure, beat, key, roman), our own analysis, as a corrections file."""
    with open(path, "w", encoding="utf-8", newline="\n") as f:
        f.write("# Intended harmony of %s: our own analysis, written with the music.\n" % title)
        f.write("# measure\tbeat\tkey\tnumeral\n")
        for measure, beat, key, roman in rows:
            f.write("%s\t%g\t%s\t%s\n" % (measure, beat, key, roman))

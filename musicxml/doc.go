// Package musicxml reads MusicXML into a [score.Score] and adds marks to the
// original document without touching anything else in it.
//
// Start at [Open] or [Read]; both give a [File], which holds the score and the
// document it came from. [File.Apply] inserts directions and chord symbols,
// [File.Remove] takes earlier insertions out again. [Write] writes a score of
// our own making as a new document.
//
// # What is read
//
// MusicXML 4.0 and earlier, partwise and timewise, plain or in a compressed
// container, in UTF-8, UTF-16 or an encoding of one byte a character such as
// Latin-1 or windows-1252. Nothing outside the given bytes is ever read: external
// entities and document types are not fetched, internal ones are small text.
//
// # Conventions
//
// A transposition holds for every voice from its time on, wherever the document
// writes it. Times are ticks of the score. Measures that differ in length between parts
// are as long as the furthest point any part reaches. Whatever is irregular is
// read as a player would read it and told in [score.Score.Warnings]; what
// cannot be read is a [MalformedError], which has to be exported again, or an
// [UnsupportedError], which may be sound: of another kind or encoding, or beyond
// one of the [Limits].
package musicxml

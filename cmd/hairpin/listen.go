package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"hairpin/report"
	"hairpin/report/sound"
)

// listenFlags are the options of listen.
type listenFlags struct {
	score     scoreFlags
	out       outFlags
	level     string
	tempo     string
	how       sound.Listening
	ladder    practiceFlags
	hearFirst bool
	click     bool
}

func listenCommand() command {
	var f listenFlags
	c := command{
		name: "listen", args: "SCORE -o FILE",
		does: "play the page, the shaping, the harmony or a ladder of practice",
		more: "The ending of FILE chooses a MIDI file (.mid) or a sound file (.wav). printed,\n" +
			"shaped and beats differ in loudness only: shaped is the proposed line that report\n" +
			"draws, beats bends it beat by beat. harmony plays block chords, the louder the tenser,\n" +
			"on the mean as loud as the page. Without --repeats endings go straight into the last.\n" +
			"The tempo is the page's. A rit. comes down to three quarters of it, an accel. goes up\n" +
			"by a fifth, half as far with poco, until a tempo or for two measures: moderate figures\n" +
			"of ours, as no page says how far.\n" +
			"--steps plays the ladder that 'hairpin reduce --steps' writes: before every rung a\n" +
			"measure is counted in, then it sounds at pp, mp, f and as printed, with the beats clicked\n" +
			"and a rest after each time, every rung faster. --hear-first plays the measures as block\n" +
			"chords, is silent for two beats, and plays them as printed, both equally loud.\n" +
			"Start softly: loud listening harms hearing, through headphones above all.",
		example: "hairpin listen testdata/etude-millrace.musicxml -o etude.wav --level shaped",
		flags:   f.register,
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		input, err := f.out.parse(fs, args, ".mid", ".midi", ".wav")
		if err != nil {
			return err
		}
		if err := f.choose(fs); err != nil {
			return err
		}
		read := f.score.read
		if f.practises() {
			read = f.score.readPage
		}
		r, err := read(e, fs, input)
		if err != nil {
			return err
		}
		return f.out.write(e, func(w io.Writer) error { return named(r.File.Name, f.play(w, r)) })
	}
	return c
}

func (f *listenFlags) register(fs *pflag.FlagSet) {
	f.out.register(fs, ".mid or .wav")
	fs.StringVar(&f.level, "level", "printed", "`SOURCE` of the loudness: printed, shaped, beats, harmony")
	fs.BoolVar(&f.how.Repeats, "repeats", false, "play repeats and jumps")
	fs.StringVar(&f.tempo, "tempo", "", "`N` quarter notes a minute at the start; else as the score says.\nOf a ladder a range of the metronome, in the page's unit: 50-80")
	fs.StringVar(&f.how.Tone, "tone", "", "`TONE` struck or sustained, for .wav; else by the part's name")
	f.ladder.register(fs)
	fs.BoolVar(&f.hearFirst, "hear-first", false, "block chords, two beats' silence, then the measures; with --steps before the rungs")
	fs.BoolVar(&f.click, "click", true, "click the beats of a ladder, and count in")
	fs.IntVar(&f.score.part, "part", 0, "`N` play this part only, counted from 1")
	f.score.registerReading(fs)
}

// practises reports whether a ladder, or what is heard before it, is to be played.
func (f *listenFlags) practises() bool {
	return f.ladder.steps || f.ladder.plan.Hardest > 0 || f.hearFirst
}

// choose checks the options.
func (f *listenFlags) choose(fs *pflag.FlagSet) error {
	f.how.Level = sound.LevelSource(f.level)
	if f.practises() {
		if fs.Changed("level") || fs.Changed("repeats") {
			return usage(fs, "--level and --repeats are not for --steps, --hardest and --hear-first, which have levels and repeats of their own")
		}
		steps := f.ladder.steps || !f.hearFirst // the chords alone, unless asked for
		if err := f.how.Check(); err != nil {
			return err
		}
		err := f.ladder.choose(fs, f.tempo)
		f.ladder.steps = steps
		return err
	}
	if fs.Changed("rest") || fs.Changed("hands") || fs.Changed("click") {
		return usage(fs, "--rest, --hands and --click need --steps, --hardest or --hear-first")
	}
	if f.tempo != "" {
		var err error
		if f.how.Tempo, err = strconv.ParseFloat(f.tempo, 64); err != nil {
			return usage(fs, fmt.Sprintf("--tempo is a number of quarter notes a minute, not %q", f.tempo))
		}
	}
	return f.how.Check()
}

// play writes the sound as the path's ending wants it.
func (f *listenFlags) play(w io.Writer, r *report.Reading) error {
	wave := strings.EqualFold(filepath.Ext(f.out.path), ".wav")
	how := sound.Practising{Plan: f.ladder.plan, Click: f.click, Steps: f.ladder.steps, First: f.hearFirst, Tone: f.how.Tone}
	switch {
	case f.practises() && wave:
		return sound.WriteLadderWAV(w, r, how)
	case f.practises():
		return sound.WriteLadderMIDI(w, r, how)
	case wave:
		return sound.WriteWAV(w, r, f.how)
	}
	return sound.WriteMIDI(w, r, f.how)
}

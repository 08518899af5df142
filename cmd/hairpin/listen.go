package main

import (
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"hairpin/report/sound"
)

// listenFlags are the options of listen.
type listenFlags struct {
	score scoreFlags
	out   outFlags
	level string
	how   sound.Listening
}

func listenCommand() command {
	var f listenFlags
	c := command{
		name: "listen", args: "SCORE -o FILE",
		does: "make sound: the printed marks, the proposed shaping, or the bare harmony",
		more: "The ending of FILE chooses a MIDI file (.mid) or a sound file (.wav). printed and\n" +
			"shaped differ in loudness only. harmony plays block chords, the louder the tenser,\n" +
			"on the mean as loud as the page. Without --repeats endings go straight into the last.\n" +
			"The tempo is the page's. A rit. comes down to three quarters of it, an accel. goes up\n" +
			"by a fifth, half as far with poco, until a tempo or for two measures: moderate figures\n" +
			"of ours, as no page says how far.\n" +
			"Start softly: loud listening harms hearing, through headphones above all.",
		example: "hairpin listen testdata/etude-millrace.musicxml -o etude.wav --level shaped",
		flags:   f.register,
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		input, err := f.out.parse(fs, args, ".mid", ".midi", ".wav")
		if err != nil {
			return err
		}
		f.how.Level = sound.LevelSource(f.level)
		if err := f.how.Check(); err != nil {
			return err
		}
		r, err := f.score.read(e, fs, input)
		if err != nil {
			return err
		}
		return f.out.write(func(w io.Writer) error {
			if strings.EqualFold(filepath.Ext(f.out.path), ".wav") {
				return named(r.File.Name, sound.WriteWAV(w, r, f.how))
			}
			return named(r.File.Name, sound.WriteMIDI(w, r, f.how))
		})
	}
	return c
}

func (f *listenFlags) register(fs *pflag.FlagSet) {
	f.out.register(fs, ".mid or .wav")
	fs.StringVar(&f.level, "level", "printed", "`SOURCE` of the loudness: printed, shaped, harmony")
	fs.BoolVar(&f.how.Repeats, "repeats", false, "play repeats and jumps")
	fs.Float64Var(&f.how.Tempo, "tempo", 0, "`N` quarter notes a minute at the start; else as the score says")
	fs.StringVar(&f.how.Tone, "tone", "", "`TONE` struck or sustained, for .wav; else by the part's name")
	fs.IntVar(&f.score.part, "part", 0, "`N` play this part only, counted from 1")
	f.score.registerReading(fs)
}

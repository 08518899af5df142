package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"hairpin/performance"
	"hairpin/performance/sound"
	"hairpin/report"
	"hairpin/report/take"
)

func takeCommand() command {
	const formats = "table,json,tsv"
	var f scoreFlags
	c := command{
		name: "take", args: "SCORE RECORDING…",
		does: "lay your own playing over the page and the harmony",
		more: "RECORDING is a MIDI, WAV, FLAC, MP3 or Ogg Vorbis file of at most 40 minutes; several\n" +
			"are told one after the other. Playing is followed from any place on, through faults,\n" +
			"stops and restarts, repeats taken or not; where the place is lost nothing is said.\n" +
			"A hairpin is followed or contrary from 2 dB, clearly from 3.5, else flat. What is heard\n" +
			"in sound is a question: record without automatic gain, and compare only like with like.\n" +
			"Keys struck also tell missed and wrong notes. No sound leaves this machine.\n" +
			"Rest between takes: long loud practice harms hands and hearing.",
		example: "hairpin take testdata/etude-millrace.musicxml monday.wav friday.wav",
		flags:   func(fs *pflag.FlagSet) { f.register(fs, formats) },
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		for i, name := range []string{"SCORE", "RECORDING"} {
			if i == len(args) || args[i] == "" {
				return usage(fs, name+" is missing")
			}
		}
		if err := f.oneOf(fs, formats); err != nil {
			return err
		}
		r, err := f.read(e, fs, args[0])
		if err != nil {
			return err
		}
		return writeTakes(e, r, args[1:], f.format)
	}
	return c
}

// writeTakes writes only once every recording was followed.
func writeTakes(e env, r *report.Reading, paths []string, format string) error {
	told, err := takes(e, r, paths)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := told.Write(&out, format); err != nil {
		return err
	}
	_, err = e.stdout.Write(out.Bytes())
	return err
}

// takes follows recordings over a reading.
func takes(e env, r *report.Reading, paths []string) (*take.Report, error) {
	var played []*performance.Playing
	if len(paths) > 0 {
		defer stage(e, "following the takes")()
	}
	for _, path := range paths {
		p, err := playing(r, path)
		if err != nil {
			return nil, err
		}
		played = append(played, p)
	}
	return take.New(r, played), nil
}

// playing reads and follows one recording.
func playing(r *report.Reading, path string) (*performance.Playing, error) {
	file, err := os.Open(path)
	if failed := (*os.PathError)(nil); errors.As(err, &failed) {
		return nil, &usageError{fmt.Sprintf("%s: %v", path, failed.Err), "check the path of the recording"}
	} else if err != nil {
		return nil, err
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, &usageError{path + " is a folder, not a recording", "name one MIDI, WAV, FLAC, MP3 or Ogg Vorbis file"}
	}
	t, err := performance.Read(file, path, sound.DefaultLimits())
	if err != nil {
		return nil, err
	}
	return performance.Follow(r.Score, t)
}

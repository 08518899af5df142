package main

import (
	"context"
	"fmt"
	"io"
	"sync"

	"github.com/spf13/pflag"

	"hairpin/report"
	"hairpin/report/html"
)

// engraverFlags say which engraver draws.
type engraverFlags struct{ module string }

func (f *engraverFlags) register(fs *pflag.FlagSet) {
	fs.StringVar(&f.module, "engraver", "", "`FILE` another build of the engraver library (.wasm) to draw with")
}

func reportCommand() command {
	var (
		f scoreFlags
		o outFlags
		g engraverFlags
		t []string
	)
	c := command{
		name: "report", args: "SCORE -o FILE",
		does: "draw the score with its curves on one page for screen and paper",
		more: "One .html file that needs nothing else: the engraved score, under it tension,\n" +
			"printed and proposed loudness, then phrases and suggestions. It opens from disk\n" +
			"without a network and can be printed. With --take up to four recordings (as for\n" +
			"hairpin take) are drawn over one another on the curves, with how fast they go and\n" +
			"what became of the page, each with a dash and a marker of its own.",
		example: "hairpin report testdata/etude-millrace.musicxml -o etude.html",
		flags: func(fs *pflag.FlagSet) {
			o.register(fs, ".html")
			g.register(fs)
			fs.StringArrayVar(&t, "take", nil, "`RECORDING` to draw over the page; again for another, four at most")
			f.registerReading(fs)
		},
	}
	c.run = func(e env, fs *pflag.FlagSet, args []string) error {
		input, err := o.parse(fs, args, ".html")
		if err != nil {
			return err
		}
		if len(t) > html.MostTakes {
			return usage(fs, fmt.Sprintf("--take: %d takes, and %d can be told apart", len(t), html.MostTakes))
		}
		r, err := f.read(e, fs, input)
		if err != nil {
			return err
		}
		played, err := takes(e, r, t)
		if err != nil {
			return err
		}
		pictures := draw(e, r, g.module)
		pictures.Takes = played.Takes
		return o.write(e, func(w io.Writer) error { return named(r.File.Name, html.Write(w, r, pictures)) })
	}
	return c
}

// mostInBoth is how many notes are drawn for desk and phone; more are drawn for the
// desk alone, so that a report takes no more than some 20 seconds of the processor.
const mostInBoth = 10_000

// drawnNotes counts the notes of staves.
func drawnNotes(r *report.Reading, s html.Staves) int {
	return r.Score.FirstNote(html.Drawn(r).To) - r.Score.FirstNote(r.Score.Measures[s.First].Start)
}

// forSome says how long a long drawing takes, at a millisecond a note for each layout.
func forSome(r *report.Reading, s html.Staves) string {
	if seconds := drawnNotes(r, s) / 1000; seconds > 2 {
		return fmt.Sprintf(", some %d seconds or more", seconds)
	}
	return ""
}

// inBoth reports whether a phone gets a layout of its own.
func inBoth(r *report.Reading, s html.Staves) bool { return drawnNotes(r, s) <= mostInBoth }

// draw engraves both layouts at once. Without the wide one the report says why
// staves are missing; without the narrow one a phone scrolls in the wide one.
func draw(e env, r *report.Reading, module string) html.Pictures {
	if text := html.Undrawn(r); text != "" {
		fmt.Fprintf(e.stderr, "hairpin: %s\n", text)
	}
	staves := html.StavesOf(r)
	over := stage(e, "drawing the staves"+forSome(r, staves))
	ctx := context.Background()
	p := html.Pictures{}
	d, err := html.NewDrawer(ctx, module, 0)
	if err == nil {
		defer d.Close(ctx)
		var wait sync.WaitGroup
		var wideErr, narrowErr error
		wait.Go(func() { p.Wide, wideErr = d.Wide(ctx, r.File, staves, nil) })
		if inBoth(r, staves) {
			wait.Go(func() { p.Narrow, narrowErr = d.Narrow(ctx, r.File, staves, nil) })
		}
		wait.Wait()
		err = wideErr
		if narrowErr != nil && err == nil {
			fmt.Fprintf(e.stderr, "hairpin: the layout for phones is left out: %v\n", narrowErr)
		}
	}
	over()
	if err != nil {
		p = html.Pictures{}
		fmt.Fprintf(e.stderr, "hairpin: the staves are left out: %v\n", err)
		p.Why = html.WithoutStaves(err)
	}
	return p
}

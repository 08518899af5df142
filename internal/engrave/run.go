package engrave

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Layout says how wide a score is drawn.
type Layout struct {
	// PageWidth is the width of every system in units: 2600 suits a desk
	// screen and paper, 1100 a phone. Between 400 and 10,000.
	PageWidth int
	// Scale enlarges notes in percent; 0 is 100. Between 20 and 400.
	Scale int
	// From is the index of the first measure that is drawn.
	From int
	// Measures is the index of the measure before which the drawing ends; 0 is all.
	Measures int
	// Prefix starts every id in the SVG, so that several layouts can live on
	// one page; letters, digits and hyphens, a letter first. Empty: "score".
	Prefix string
}

// ErrTooLarge says that a score is beyond what is engraved.
var ErrTooLarge = errors.New("too large to engrave")

func (l Layout) check() (Layout, error) {
	if l.Scale == 0 {
		l.Scale = 100
	}
	if l.Prefix == "" {
		l.Prefix = "score"
	}
	if l.PageWidth < 400 || l.PageWidth > 10_000 {
		return l, fmt.Errorf("page width %d: must be between 400 and 10000 units", l.PageWidth)
	}
	if l.Scale < 20 || l.Scale > 400 {
		return l, fmt.Errorf("scale %d: must be between 20 and 400 percent", l.Scale)
	}
	if !validPrefix(l.Prefix) {
		return l, fmt.Errorf("id prefix %q: must be letters, digits and hyphens, a letter first", l.Prefix)
	}
	return l, nil
}

func validPrefix(s string) bool {
	for i, r := range s {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		if !letter && (i == 0 || r != '-' && (r < '0' || r > '9')) {
			return false
		}
	}
	return s != ""
}

// The blank around a system, in units at scale 100. A brace stands outside the
// staves and needs more on the left.
const (
	margin     = 12
	marginLeft = 40
)

// settings are the engraver's options as it wants them.
func (l Layout) settings() []byte {
	return []byte(`{"breaks":"auto","pageHeight":100,"adjustPageHeight":true,"pageWidth":` + strconv.Itoa(l.PageWidth) +
		`,"scale":` + strconv.Itoa(l.Scale) +
		`,"pageMarginTop":` + strconv.Itoa(margin) + `,"pageMarginBottom":` + strconv.Itoa(margin) +
		`,"pageMarginLeft":` + strconv.Itoa(marginLeft) + `,"pageMarginRight":` + strconv.Itoa(margin) +
		`,"header":"none","footer":"none","svgViewBox":true,"svgFormatRaw":true,"svgRemoveXlink":true` +
		`,"fontTextLiberation":true,"smuflTextFont":"none","lyricWordSpace":2,"xmlIdSeed":7}`)
}

// Engrave draws an uncompressed MusicXML score (score-partwise). The same
// bytes give the same SVG. It returns an error, and no part of a result, when
// the bytes are not well-formed MusicXML, the score is too large, the engraver
// fails, or the context or the time limit ends.
func (e *Engraver) Engrave(ctx context.Context, musicxml []byte, layout Layout) (*Engraving, error) {
	return e.EngraveFrom(ctx, musicxml, layout, nil)
}

// EngraveFrom is Engrave, and of a long score it draws the first systems
// beforehand, from the first measures alone, and hands them to first. They are
// nearly always those of the whole; compare them with [Engraving.Begins]. first
// is called at most once and not after EngraveFrom has returned; nil is allowed.
func (e *Engraver) EngraveFrom(ctx context.Context, musicxml []byte, layout Layout, first func(*Engraving)) (*Engraving, error) {
	layout, err := layout.check()
	if err != nil {
		return nil, err
	}
	stamped, err := stamp(musicxml, e.options.MaxNotes, stretch{layout.From, layout.Measures})
	if err != nil {
		return nil, fmt.Errorf("engrave: %w", err)
	}
	select {
	case e.slots <- struct{}{}:
		defer func() { <-e.slots }()
	case <-ctx.Done():
		return nil, fmt.Errorf("engraving stopped: %w", context.Cause(ctx))
	}
	most := e.options.Timeout + time.Duration(stamped.drawn)*e.options.perNote
	ctx, cancel := context.WithTimeoutCause(ctx, most, fmt.Errorf("it took longer than %.3g seconds", most.Seconds()))
	defer cancel()
	if first != nil {
		if head := e.head(ctx, stamped, layout); head != nil {
			first(head)
		}
	}
	pages, err := e.draw(ctx, stamped.xml, layout)
	if err != nil {
		return nil, fmt.Errorf("engrave: %w", err)
	}
	return assemble(pages, stamped, layout)
}

// head draws the first systems; nil if the score is short or they cannot be
// had, which the drawing of the whole will tell.
func (e *Engraver) head(ctx context.Context, score *stampedScore, layout Layout) *Engraving {
	xml := score.head(layout.headMeasures())
	if xml == nil {
		return nil
	}
	pages, err := e.draw(ctx, xml, layout)
	if err != nil || len(pages) <= unsettled {
		return nil
	}
	g, err := assemble(pages[:len(pages)-unsettled], score, layout)
	if err != nil {
		return nil
	}
	return g
}

// headMeasures is how many measures are drawn first: a few systems' worth.
func (l Layout) headMeasures() int { return l.PageWidth * 100 / l.Scale / 80 }

// unsettled is how many systems before the cut may look otherwise once the
// music goes on: the last is not filled, and a slur may begin in the one before.
const unsettled = 2

// draw runs the engraver once and returns its raw SVG, one per system.
func (e *Engraver) draw(ctx context.Context, xml []byte, layout Layout) ([]string, error) {
	t, err := e.start(ctx)
	if err != nil {
		return nil, err
	}
	defer t.close(ctx)
	if _, err := t.callText(ctx, "vrvToolkit_setOptions", layout.settings()); err != nil {
		return nil, err
	}
	loaded, err := t.callText(ctx, "vrvToolkit_loadData", xml)
	if err != nil {
		return nil, err
	}
	if loaded == 0 {
		return nil, fmt.Errorf("the engraver could not read the score%s", t.reason(ctx))
	}
	count, err := t.call(ctx, "vrvToolkit_getPageCount", t.self)
	if err != nil {
		return nil, err
	}
	pages := make([]string, int32(count))
	for i := range pages {
		if pages[i], err = t.textOf(ctx, "vrvToolkit_renderToSVG", uint32(i+1), 0); err != nil {
			return nil, err
		}
	}
	return pages, nil
}

// reason is the first line of the engraver's log, if it has one.
func (t *toolkit) reason(ctx context.Context) string {
	log, err := t.textOf(ctx, "vrvToolkit_getLog")
	line, _, _ := strings.Cut(strings.TrimSpace(log), "\n")
	if err != nil || line == "" {
		return ""
	}
	return ": " + strings.TrimPrefix(line, "[Error] ")
}

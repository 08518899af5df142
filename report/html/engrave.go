package html

import (
	"bytes"
	"context"
	"fmt"

	"hairpin/internal/engrave"
	"hairpin/musicxml"
)

// Drawer engraves scores in the two layouts of a page. It may be used by
// several goroutines at once.
type Drawer struct{ engraver *engrave.Engraver }

// NewDrawer readies the engraver; module is the path of another build of it, ""
// for the one inside. Close it after use.
func NewDrawer(ctx context.Context, module string) (*Drawer, error) {
	e, err := engrave.New(ctx, engrave.Options{Module: module})
	if err != nil {
		return nil, err
	}
	return &Drawer{e}, nil
}

// Close frees the engraver.
func (d *Drawer) Close(ctx context.Context) error { return d.engraver.Close(ctx) }

// Wide engraves for desk and paper. Of a long score first gets the first
// systems beforehand, see [engrave.Engraver.EngraveFrom]; it may be nil.
func (d *Drawer) Wide(ctx context.Context, f *musicxml.File, first func(*engrave.Engraving)) (*engrave.Engraving, error) {
	return d.draw(ctx, f, engrave.Layout{PageWidth: int(wide.width), Prefix: "w"}, first)
}

// Narrow engraves for a phone, otherwise as Wide.
func (d *Drawer) Narrow(ctx context.Context, f *musicxml.File, first func(*engrave.Engraving)) (*engrave.Engraving, error) {
	return d.draw(ctx, f, engrave.Layout{PageWidth: int(narrow.width), Prefix: "n"}, first)
}

// draw engraves the document; one that is written measure by measure is drawn
// from what was read of it.
func (d *Drawer) draw(ctx context.Context, f *musicxml.File, l engrave.Layout, first func(*engrave.Engraving)) (*engrave.Engraving, error) {
	document := f.Document()
	if bytes.Contains(document[:min(len(document), 4096)], []byte("<score-timewise")) {
		var b bytes.Buffer
		if err := musicxml.Write(&b, f.Score); err != nil {
			return nil, fmt.Errorf("engrave: %w", err)
		}
		document = b.Bytes()
	}
	return d.engraver.EngraveFrom(ctx, document, l, first)
}

// WithoutStaves says why a page has no staves.
func WithoutStaves(err error) string {
	return "The staves could not be drawn (" + err.Error() + "). Bars stand in for them; the curves are the same."
}

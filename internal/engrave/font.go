package engrave

import (
	"embed"
	"encoding/base64"
	"fmt"
	"strings"
)

// The font families the text in the SVG asks for.
const (
	TextFamily  = "hairpin-text"
	MusicFamily = "hairpin-music"
)

//go:embed vendored/*.woff2
var fontFiles embed.FS

// Face is a cut of a font that some text of an engraving uses.
type Face struct {
	Family   string // TextFamily or MusicFamily
	Bold     bool
	Italic   bool
	Extended bool // letters beyond the western European ones
}

// Font is a font file for a [Face]. Without it text is set in a font of the
// machine, whose letters may be wider than the engraver reckoned with, and music
// signs in text are missing.
type Font struct {
	File   string // a name for it, unique among the fonts
	Family string
	Weight string // "400", "700"
	Style  string // "normal", "italic"
	Range  string // the code points it covers, as CSS writes them
	WOFF2  []byte
}

const (
	latinRange    = "U+0000-00FF, U+0131, U+0152-0153, U+02BB-02BC, U+02C6, U+02DA, U+02DC, U+2000-206F, U+20AC, U+2122, U+2191, U+2193, U+2212, U+2215, U+FEFF, U+FFFD"
	extendedRange = "U+0100-0130, U+0132-0151, U+0154-017F, U+0218-021B, U+1E80-1E85, U+1E9E, U+1EF2-1EF3"
	musicRange    = "U+E000-F8FF"
)

// font is the file of a face.
func (f Face) font() (Font, error) {
	out := Font{Family: f.Family, Weight: "400", Style: "normal", Range: latinRange}
	if f.Bold {
		out.Weight = "700"
	}
	if f.Italic {
		out.Style = "italic"
	}
	part := "latin"
	if f.Extended {
		part, out.Range = "latin-ext", extendedRange
	}
	out.File = "text-" + part + "-" + out.Weight + "-" + out.Style + ".woff2"
	if f.Family == MusicFamily {
		out.File, out.Range = "music.woff2", musicRange
	}
	var err error
	out.WOFF2, err = fontFiles.ReadFile("vendored/" + out.File)
	return out, err
}

// Fonts are the font files the text of the engravings needs, each once.
func Fonts(engravings ...*Engraving) ([]Font, error) {
	var out []Font
	seen := map[string]bool{}
	for _, e := range engravings {
		for _, face := range e.Faces {
			f, err := face.font()
			if err != nil {
				return nil, fmt.Errorf("font of the engraving: %w", err)
			}
			if !seen[f.File] {
				seen[f.File] = true
				out = append(out, f)
			}
		}
	}
	return out, nil
}

// FontCSS declares the fonts with their content in the style sheet itself.
func FontCSS(fonts []Font) string {
	var b strings.Builder
	for _, f := range fonts {
		fmt.Fprintf(&b, "@font-face{font-family:%s;font-weight:%s;font-style:%s;font-display:block;unicode-range:%s;"+
			"src:url(data:font/woff2;base64,%s) format(\"woff2\")}\n",
			f.Family, f.Weight, f.Style, f.Range, base64.StdEncoding.EncodeToString(f.WOFF2))
	}
	return b.String()
}

func (f Face) order() string {
	return fmt.Sprint(f.Family, f.Extended, f.Bold, f.Italic)
}

// noteFace remembers the faces some text is set in.
func (p *picture) noteFace(s string) {
	if s == "" {
		return
	}
	if p.font.family == MusicFamily {
		p.faces[Face{Family: MusicFamily}] = true
		return
	}
	f := Face{Family: TextFamily, Bold: p.font.weight == "bold", Italic: p.font.style == "italic"}
	p.faces[f] = true
	if strings.ContainsFunc(s, func(r rune) bool { return r >= 0x100 && r < 0x2000 }) {
		f.Extended = true
		p.faces[f] = true
	}
}

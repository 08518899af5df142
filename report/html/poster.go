package html

import (
	"html/template"
	"io"

	"hairpin/report"
)

// WritePoster writes the whole piece on one sheet, on its side: title, the strip
// enlarged, how to read it, and the places to try. It needs nothing else.
func WritePoster(w io.Writer, r *report.Reading) error {
	parts := inWords(r, nil)
	style, err := htmlStyle(Pictures{})
	if err != nil {
		return err
	}
	style += "@page{size:landscape;margin:12mm}"
	t, err := pageTemplate()
	if err != nil {
		return err
	}
	return t.ExecuteTemplate(w, "poster", struct {
		*PageParts
		Defs   template.HTML
		Poster template.HTML
		Style  template.CSS
		Policy string
	}{parts, patternDefs, newWhole(r, nil).strip(onPoster), template.CSS(style), policy(style, "")})
}

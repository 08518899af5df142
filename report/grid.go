package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/olekukonko/tablewriter" // tables enter by this door only
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// grid is rows of text under a head, the same for every flat format.
type grid struct {
	head  []string
	right []bool // columns of numbers
	rows  [][]string
	wrap  int // the column that gives way where the line is full, counted from 0
}

// tsv writes the grid as tab-separated values.
func (g grid) tsv(w io.Writer) error {
	if _, err := fmt.Fprintln(w, strings.Join(g.head, "\t")); err != nil {
		return err
	}
	for _, row := range g.rows {
		clean := make([]string, len(row))
		for i, cell := range row {
			clean[i] = strings.NewReplacer("\t", " ", "\n", " ").Replace(cell)
		}
		if _, err := fmt.Fprintln(w, strings.Join(clean, "\t")); err != nil {
			return err
		}
	}
	return nil
}

// markdown writes the grid as a pipe table.
func (g grid) markdown(w io.Writer) error {
	rule := make([]string, len(g.head))
	for i := range rule {
		rule[i] = "---"
		if i < len(g.right) && g.right[i] {
			rule[i] = "---:"
		}
	}
	for _, row := range append([][]string{g.head, rule}, g.rows...) {
		clean := make([]string, len(row))
		for i, cell := range row {
			clean[i] = markdownText(cell)
		}
		if _, err := fmt.Fprintf(w, "| %s |\n", strings.Join(clean, " | ")); err != nil {
			return err
		}
	}
	return nil
}

// markdownText keeps text of a score from being read as markup.
func markdownText(s string) string {
	return strings.NewReplacer("|", `\|`, "*", `\*`, "_", `\_`, "<", "&lt;", "`", "\\`", "\n", " ").Replace(s)
}

// table writes the grid for a terminal of the given width.
func (g grid) table(w io.Writer, width int) error {
	var text strings.Builder
	rendition := tw.Rendition{
		Borders: tw.BorderNone,
		Symbols: tw.NewSymbols(tw.StyleNone),
		Settings: tw.Settings{
			Separators: tw.SeparatorsNone,
			Lines:      tw.LinesNone,
		},
	}
	t := tablewriter.NewTable(&text,
		tablewriter.WithRenderer(renderer.NewBlueprint(rendition)),
		tablewriter.WithConfig(tablewriter.Config{
			Header: tw.CellConfig{Formatting: tw.CellFormatting{AutoFormat: tw.Off, AutoWrap: tw.WrapNone}, Alignment: g.alignment(), Padding: g.padding()},
			Row:    tw.CellConfig{Formatting: tw.CellFormatting{AutoWrap: tw.WrapNormal}, Alignment: g.alignment(), Padding: g.padding(), ColMaxWidths: g.widths(width)},
		}))
	t.Header(g.head)
	if err := t.Bulk(g.rows); err != nil {
		return err
	}
	if err := t.Render(); err != nil {
		return err
	}
	return writeTrimmed(w, text.String())
}

func (g grid) padding() tw.CellPadding {
	return tw.CellPadding{Global: tw.Padding{Left: "", Right: "  ", Overwrite: true}}
}

func (g grid) alignment() tw.CellAlignment {
	a := make([]tw.Align, len(g.head))
	for i := range a {
		a[i] = tw.AlignLeft
		if i < len(g.right) && g.right[i] {
			a[i] = tw.AlignRight
		}
	}
	return tw.CellAlignment{Global: tw.AlignLeft, PerColumn: a}
}

// widths lets the wrapping column have what the others leave.
func (g grid) widths(width int) tw.CellWidth {
	const gap, least = 2, 12
	rest := width
	for c := range g.head {
		if c == g.wrap {
			continue
		}
		widest := twwidth.Width(g.head[c])
		for _, row := range g.rows {
			widest = max(widest, twwidth.Width(row[c]))
		}
		rest -= widest + gap
	}
	m := tw.NewMapper[int, int]()
	m.Set(g.wrap, max(rest, least)+gap)
	return tw.CellWidth{PerColumn: m}
}

// writeTrimmed writes lines without the blanks that fill up the last column.
func writeTrimmed(w io.Writer, text string) error {
	for line := range strings.Lines(text) {
		if _, err := fmt.Fprintln(w, strings.TrimRight(line, " \n")); err != nil {
			return err
		}
	}
	return nil
}

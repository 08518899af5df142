package report

import (
	"fmt"
	"io"
	"reflect"
	"strings"

	"github.com/olekukonko/tablewriter" // tables enter by this door only
	"github.com/olekukonko/tablewriter/pkg/twcache"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// grid is rows of text under a head, the same for every flat format.
type grid struct {
	head  []string
	right []bool // columns of numbers
	rows  [][]string
	wrap  int   // the column that gives way where the line is full, counted from 0
	least []int // least widths of the columns, nil for none
	bare  bool  // a table without its head, for one that goes on
}

// columns is the grid with some of its columns only; the last of them wraps.
func (g grid) columns(keep ...int) grid {
	out := grid{wrap: len(keep) - 1}
	for _, c := range keep {
		out.head = append(out.head, g.head[c])
		out.right = append(out.right, c < len(g.right) && g.right[c])
	}
	for _, row := range g.rows {
		var cells []string
		for _, c := range keep {
			cells = append(cells, row[c])
		}
		out.rows = append(out.rows, cells)
	}
	return out
}

// aligned gives grids with the same head the same columns.
func aligned(grids []grid) []grid {
	var least []int
	for _, g := range grids {
		for c, n := range g.natural() {
			if c == len(least) {
				least = append(least, 0)
			}
			least[c] = max(least[c], n)
		}
	}
	for i := range grids {
		grids[i].least = least
	}
	return grids
}

// natural is how wide each column wants to be.
func (g grid) natural() []int {
	out := make([]int, len(g.head))
	for c := range g.head {
		out[c] = twwidth.Width(g.head[c])
		if c < len(g.least) {
			out[c] = max(out[c], g.least[c])
		}
		for _, row := range g.rows {
			out[c] = max(out[c], twwidth.Width(row[c]))
		}
	}
	return out
}

// oneCell keeps a text in its cell.
var oneCell = strings.NewReplacer("\t", " ", "\n", " ", "\r", " ")

// tsv writes the grid as tab-separated values.
func (g grid) tsv(w io.Writer) error {
	if !g.bare {
		if err := WriteTSV(w, g.head); err != nil {
			return err
		}
	}
	return WriteTSV(w, g.rows...)
}

// WriteTSV writes rows as tab-separated values, each on one line.
func WriteTSV(w io.Writer, rows ...[]string) error {
	for _, row := range rows {
		clean := make([]string, len(row))
		for i, cell := range row {
			clean[i] = oneCell.Replace(cell)
		}
		if _, err := fmt.Fprintln(w, strings.Join(clean, "\t")); err != nil {
			return err
		}
	}
	return nil
}

// markdown writes the grid as a pipe table.
func (g grid) markdown(w io.Writer) error {
	t := tablewriter.NewTable(w,
		tablewriter.WithStringerCacheCustom(twcache.NewLRU[reflect.Type, reflect.Value](8)),
		tablewriter.WithRenderer(renderer.NewMarkdown()),
		tablewriter.WithConfig(tablewriter.Config{
			Header: tw.CellConfig{Formatting: tw.CellFormatting{AutoFormat: tw.Off, AutoWrap: tw.WrapNone}, Alignment: g.alignment()},
			Row:    tw.CellConfig{Formatting: tw.CellFormatting{AutoWrap: tw.WrapNone}, Alignment: g.alignment()},
		}))
	t.Header(escaped(g.head))
	for _, row := range g.rows {
		if err := t.Append(escaped(row)); err != nil {
			return err
		}
	}
	return t.Render()
}

// escaped keeps the texts of a row from being read as markup.
func escaped(row []string) []string {
	out := make([]string, len(row))
	for i, cell := range row {
		out[i] = markdownText(cell)
	}
	return out
}

var markdownEscaper = strings.NewReplacer("|", `\|`, "*", `\*`, "_", `\_`, "<", "&lt;", "`", "\\`", "\n", " ", "\t", " ")

// markdownText keeps text of a score from being read as markup.
func markdownText(s string) string {
	return markdownEscaper.Replace(s)
}

// table writes the grid for a terminal of the given width.
func (g grid) table(w io.Writer, width int) error {
	texts, err := tables([]grid{g}, width)
	if err == nil {
		_, err = io.WriteString(w, texts[0])
	}
	return err
}

// tables lays out aligned grids for a terminal of the given width, each as a
// text of its own. One table serves for all of them, with a small cache: its
// own has room for ten thousand types and is made anew for every table.
func tables(grids []grid, width int) ([]string, error) {
	if len(grids) == 0 {
		return nil, nil
	}
	var text strings.Builder
	t := grids[0].tablewriter(&text, width)
	out := make([]string, len(grids))
	for i, g := range grids {
		if len(g.rows) == 0 {
			continue
		}
		if !g.bare {
			t.Header(g.head)
		}
		if err := t.Bulk(g.rows); err != nil {
			return nil, err
		}
		if err := t.Render(); err != nil {
			return nil, err
		}
		out[i] = trimmed(text.String())
		text.Reset()
		t.Reset()
	}
	return out, nil
}

func (g grid) tablewriter(w io.Writer, width int) *tablewriter.Table {
	rendition := tw.Rendition{
		Borders: tw.BorderNone,
		Symbols: tw.NewSymbols(tw.StyleNone),
		Settings: tw.Settings{
			Separators: tw.SeparatorsNone,
			Lines:      tw.LinesNone,
		},
	}
	return tablewriter.NewTable(w,
		tablewriter.WithStringerCacheCustom(twcache.NewLRU[reflect.Type, reflect.Value](8)),
		tablewriter.WithRenderer(renderer.NewBlueprint(rendition)),
		tablewriter.WithConfig(tablewriter.Config{
			Header: tw.CellConfig{Formatting: tw.CellFormatting{AutoFormat: tw.Off, AutoWrap: tw.WrapNone}, Alignment: g.alignment(), Padding: g.padding()},
			Row:    tw.CellConfig{Formatting: tw.CellFormatting{AutoWrap: tw.WrapNormal}, Alignment: g.alignment(), Padding: g.padding()},
			Widths: g.widths(width),
		}))
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
	rest, natural := width, g.natural()
	m := tw.NewMapper[int, int]()
	for c, n := range natural {
		m.Set(c, n+gap)
		if c != g.wrap {
			rest -= n + gap
		}
	}
	m.Set(g.wrap, min(natural[g.wrap], max(rest-gap, least))+gap)
	return tw.CellWidth{PerColumn: m}
}

// trimmed is the text without the blanks that fill up the last column.
func trimmed(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		b.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
	return b.String()
}

// WriteTable writes rows under a head for a terminal of the given width; right says
// which columns are numbers, the last column wraps.
func WriteTable(w io.Writer, width int, head []string, right []bool, rows ...[]string) error {
	return grid{head: head, right: right, rows: rows, wrap: len(head) - 1}.table(w, width)
}

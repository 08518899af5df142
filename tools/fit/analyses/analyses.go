// Package analyses reads the tables of expert analyses that the fitting
// programs learn from and measure against.
package analyses

import (
	"encoding/csv"
	"fmt"
	"os"
)

// Row is one line of a table, by column name.
type Row map[string]string

// Read reads a tab-separated file with a header. A cell that a line lacks is "".
func Read(path string) ([]Row, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma, r.LazyQuotes, r.FieldsPerRecord = '\t', true, -1
	lines, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if len(lines) == 0 {
		return nil, fmt.Errorf("%s: the table is empty", path)
	}
	var out []Row
	for _, line := range lines[1:] {
		row := Row{}
		for i, name := range lines[0] {
			if i < len(line) {
				row[name] = line[i]
			}
		}
		out = append(out, row)
	}
	return out, nil
}

//go:build !js

package engrave

import (
	"encoding/json"
	"fmt"
)

// names says what the shortened names of an engraver's module mean. The
// published module has its exports and imports shortened to a letter or two,
// anew in every release, so the table is made from the same package.
type names struct {
	Exports map[string]string `json:"exports"` // full name → short name
	Imports map[string]string `json:"imports"` // short name → full name
}

func parseNames(data []byte) (names, error) {
	var n names
	if err := json.Unmarshal(data, &n); err != nil {
		return n, fmt.Errorf("table of the engraver's names: %w", err)
	}
	return n, nil
}

// export is the name under which the module exports a function; a module
// built without shortening keeps the full name.
func (n names) export(full string) string {
	if short, ok := n.Exports[full]; ok {
		return short
	}
	return full
}

// imported is the full name of a function the module asks for, leading underscores dropped.
func (n names) imported(short string) string {
	if full, ok := n.Imports[short]; ok {
		return full
	}
	for len(short) > 1 && short[0] == '_' {
		short = short[1:]
	}
	return short
}

package main

import (
	"bytes"
	"strings"
	"testing"
)

// A moment without its option is answered with the line to type; without a moment, or with
// more than one, the general hint stays.
func TestExplainSaysWhatToType(t *testing.T) {
	const line = "hairpin explain a.mxl --at 12:3"
	for _, c := range []struct {
		args string
		want bool
	}{{"explain a.mxl 12:3", true}, {"explain a.mxl", false}, {"explain a.mxl 12:3 4", false}, {"explain a.mxl 12:3 --at 4", false}} {
		var out, errs bytes.Buffer
		run(strings.Fields(c.args), strings.NewReader(""), &out, &errs)
		if got := strings.Contains(errs.String(), line); got != c.want {
			t.Errorf("%s: %s", c.args, errs.String())
		}
	}
}

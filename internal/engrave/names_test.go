//go:build !js

package engrave

import (
	"os"
	"strings"
	"testing"
)

// The table of names was read from the glue code; the module must agree.
func TestNamesFitTheModule(t *testing.T) {
	e := engraver(t).machine.(*inside)
	exports := e.compiled.ExportedFunctions()
	for full, short := range e.names.Exports {
		if full == "memory" || full == "indirect_function_table" {
			continue
		}
		if exports[short] == nil {
			t.Errorf("%s should be exported as %q, which the module does not have", full, short)
		}
	}
	for _, used := range []string{"wasm_call_ctors", "malloc", "free", "enableLogToBuffer", "vrvToolkit_constructor", "vrvToolkit_setOptions",
		"vrvToolkit_loadData", "vrvToolkit_getPageCount", "vrvToolkit_renderToSVG", "vrvToolkit_getLog", "vrvToolkit_getVersion"} {
		if e.names.Exports[used] == "" {
			t.Errorf("the table lacks %s", used)
		}
	}
	if len(e.compiled.ImportedFunctions()) != 21 || len(e.names.Imports) != 21 {
		t.Errorf("%d imports, %d in the table, want 21", len(e.compiled.ImportedFunctions()), len(e.names.Imports))
	}
	known := hostFunctions()
	for short, full := range e.names.Imports {
		if known[full] == nil {
			t.Errorf("import %s (%s) is not provided", short, full)
		}
	}
}

// The version NOTICE points to is the one inside.
func TestNoticeNamesTheVersion(t *testing.T) {
	e := engraver(t)
	ctx := t.Context()
	k, err := e.start(ctx)
	if err != nil {
		t.Fatal(err)
	}
	defer k.close(ctx)
	version, err := k.textOf(ctx, "vrvToolkit_getVersion")
	if err != nil {
		t.Fatal(err)
	}
	notice, err := os.ReadFile("vendored/NOTICE")
	if err != nil {
		t.Fatal(err)
	}
	if version == "" || !strings.Contains(string(notice), version) {
		t.Errorf("NOTICE does not name version %q", version)
	}
}

package licences_test

import (
	"bytes"
	"encoding/json"
	"io"
	"os/exec"
	"strings"
	"testing"

	"hairpin/internal/licences"
)

// TestEveryModuleIsNamed checks that each module compiled into the program has
// its licence here, with the version that is compiled in.
func TestEveryModuleIsNamed(t *testing.T) {
	var text bytes.Buffer
	if err := licences.Write(&text); err != nil {
		t.Fatal(err)
	}
	list, err := exec.Command("go", "list", "-deps", "-json=Module", "hairpin/cmd/hairpin").Output()
	if err != nil {
		t.Skip("the go command cannot list the modules: ", err)
	}
	for d := json.NewDecoder(bytes.NewReader(list)); ; {
		var p struct {
			Module *struct{ Path, Version string }
		}
		if err := d.Decode(&p); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if p.Module != nil && p.Module.Version != "" && !strings.Contains(text.String(), "== "+p.Module.Path+" "+p.Module.Version+"\n") {
			t.Fatalf("%s %s has no licence here: go run ./tools/dist -notices", p.Module.Path, p.Module.Version)
		}
	}
}

// TestVendoredPartsAreNamed checks that the engraver's and the fonts' texts follow.
func TestVendoredPartsAreNamed(t *testing.T) {
	var text bytes.Buffer
	if err := licences.Write(&text); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"MIT License", "CC BY-SA 4.0", "GNU LESSER GENERAL PUBLIC LICENSE", "GNU GENERAL PUBLIC LICENSE", "SIL OPEN FONT LICENSE", "The Go Authors"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("%q is missing", want)
		}
	}
}

package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"hairpin/musicxml"
)

// A score of one measure with one of each; the facts were counted by hand.
const contentsScore = `<score-partwise version="4.0"><work><work-title>Tide</work-title></work>
<part-list><score-part id="P1"><part-name>Harp</part-name></score-part></part-list><part id="P1"><measure number="1">
<attributes><divisions>2</divisions><key><fifths>-1</fifths><mode>major</mode></key><time><beats>3</beats><beat-type>4</beat-type></time></attributes>
<direction><direction-type><dynamics><mf/></dynamics></direction-type><offset>1</offset></direction>
<direction><direction-type><wedge type="diminuendo" niente="yes"/></direction-type></direction>
<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind>major</kind><degree><degree-value>9</degree-value><degree-alter>1</degree-alter><degree-type>add</degree-type></degree></harmony>
<note><grace/><pitch><step>A</step><octave>4</octave></pitch><type>eighth</type></note>
<note><pitch><step>B</step><alter>-1</alter><octave>4</octave></pitch><duration>3</duration><notations><articulations><accent/></articulations><fermata/></notations></note>
<note><rest/><duration>3</duration></note>
<direction><direction-type><wedge type="stop"/></direction-type></direction>
<direction><direction-type><words> poco  rit. </words></direction-type></direction>
</measure></part></score-partwise>`

func TestContentsJSON(t *testing.T) {
	var b bytes.Buffer
	if err := Contents(&b, readContents(t), "json"); err != nil {
		t.Fatal(err)
	}
	var got map[string]json.RawMessage
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]string{
		"schema": "1", "title": `"Tide"`, "parts": "1", "measures": "1", "length_ql": "3", "measure_starts": "[0]",
		"notes": "[[0,1.5,70]]", "n_grace": "1", "n_rests": "1", "n_cue": "0", "unpitched": "[]",
		"dynamics": `[[0.5,0,"mf",1,"dir",0]]`, "wedges": `[[0,3,"diminuendo",0,1,true,0,3]]`,
		"keys": `[[0,-1,"major",0,null]]`, "times": `[[0,"3/4",0,null]]`, "harmony": `[[0,"Bb","major",null,0,["add#9"]]]`,
		"words": `[[3,0,"poco rit."]]`, "accents": `[[0,0,"accent"]]`, "fermatas": "[[0,0]]", "dashes": "[]", "warnings": "[]",
	} {
		if string(got[key]) != want {
			t.Errorf("%s: got %s, want %s", key, got[key], want)
		}
	}
}

func TestContentsTable(t *testing.T) {
	var b bytes.Buffer
	if err := Contents(&b, readContents(t), "table"); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Tide\nfor Harp\n3 quarter notes long as written\n", "measures                  1\n", "hairpins                  1\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, b.String())
		}
	}
	if strings.Contains(b.String(), "unpitched") {
		t.Error("a row that counts nothing")
	}
}

func TestContentsFormat(t *testing.T) {
	var choice *ChoiceError
	if err := Contents(new(bytes.Buffer), readContents(t), "yaml"); !errors.As(err, &choice) {
		t.Errorf("error %v", err)
	}
}

func readContents(t *testing.T) *musicxml.File {
	t.Helper()
	f, err := musicxml.Read(strings.NewReader(contentsScore), "tide.musicxml", musicxml.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

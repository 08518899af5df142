package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
)

// manifest says how the site is installed, and which scores of the system it opens.
func manifest() ([]byte, error) {
	type object = map[string]any
	kinds := object{
		"application/vnd.recordare.musicxml+xml": []string{".musicxml", ".xml"},
		"application/vnd.recordare.musicxml":     []string{".mxl"},
	}
	accept := []string{".musicxml", ".xml", ".mxl", "application/vnd.recordare.musicxml+xml", "application/vnd.recordare.musicxml", "application/xml", "text/xml"}
	return json.MarshalIndent(object{
		"id": "./", "name": "hairpin", "short_name": "hairpin", "start_url": "./", "scope": "./", "lang": "en",
		"description": "Reads a score: where the harmony builds, holds and releases tension, and what the printed dynamics do.",
		"display":     "standalone", "background_color": paper.css(), "theme_color": paper.css(), "categories": []string{"music", "education"},
		"icons": []object{
			{"src": "icon.svg", "sizes": "any", "type": "image/svg+xml"},
			{"src": "icon-192.png", "sizes": "192x192", "type": "image/png"},
			{"src": "icon-512.png", "sizes": "512x512", "type": "image/png"},
			{"src": "icon-512.png", "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
		},
		"share_target": object{"action": "share", "method": "POST", "enctype": "multipart/form-data",
			"params": object{"files": []object{{"name": "score", "accept": accept}}}},
		"file_handlers":  []object{{"action": "./", "accept": kinds}},
		"launch_handler": object{"client_mode": "focus-existing"},
	}, "", " ")
}

func addApp(s site) (err error) {
	s["icon.svg"] = iconSVG()
	for _, size := range [...]int{192, 512} {
		var b bytes.Buffer
		if err := png.Encode(&b, icon(size)); err != nil {
			return err
		}
		s[fmt.Sprintf("icon-%d.png", size)] = b.Bytes()
	}
	s["manifest.webmanifest"], err = manifest()
	return err
}

// The icon: tension as a hill, a crescendo hairpin over it, in the colours of
// the page. All within the middle four fifths, which every platform shows.
type tint color.RGBA

func (t tint) css() string { return fmt.Sprintf("#%02x%02x%02x", t.R, t.G, t.B) }

var (
	paper    = tint{0xfc, 0xfb, 0xf8, 0xff}
	ink      = tint{0x0a, 0x5f, 0x6b, 0xff}
	hillTint = tint{0xba, 0xb2, 0xd6, 0xff}
)

// hill is its height at a place, both in parts of the icon's side.
func hill(x float64) float64 {
	rise := (x - .16) / .68
	if rise < 0 || rise > 1 {
		return 0
	}
	return .3 * math.Pow(math.Sin(math.Pi*math.Pow(rise, 1.6)), 2)
}

// The hairpin: its closed end, its open ends' place and half opening, and half
// its strokes' width.
const (
	tipX, openX, middleY = .2, .8, .34
	opening, stroke      = .13, .022
	ground               = .8
)

func iconSVG() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><path fill="%s" d="M0 0h100v100H0z"/><path fill="%s" d="M16 80`, paper.css(), hillTint.css())
	for x := .18; x < .85; x += .02 {
		fmt.Fprintf(&b, "L%.0f %.1f", 100*x, 100*(ground-hill(x)))
	}
	fmt.Fprintf(&b, `Z"/><path fill="none" stroke="%s" stroke-width="%.1f" stroke-linecap="round" stroke-linejoin="round" d="M%.0f %.0fL%.0f %.0fL%.0f %.0f"/></svg>`+"\n",
		ink.css(), 200*stroke, 100*openX, 100*(middleY-opening), 100*tipX, 100*middleY, 100*openX, 100*(middleY+opening))
	return b.Bytes()
}

// icon draws it, each point from 4 × 4 samples.
func icon(size int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, size, size))
	const fine = 4
	for y := range size {
		for x := range size {
			var sum [3]int
			for i := range fine * fine {
				c := iconAt((float64(x)+(float64(i%fine)+.5)/fine)/float64(size), (float64(y)+(float64(i/fine)+.5)/fine)/float64(size))
				sum[0], sum[1], sum[2] = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B)
			}
			img.SetRGBA(x, y, color.RGBA{uint8(sum[0] / (fine * fine)), uint8(sum[1] / (fine * fine)), uint8(sum[2] / (fine * fine)), 0xff})
		}
	}
	return img
}

func iconAt(x, y float64) tint {
	t := min(max(((x-tipX)*(openX-tipX)+math.Abs(y-middleY)*opening)/((openX-tipX)*(openX-tipX)+opening*opening), 0), 1)
	if math.Hypot(x-tipX-t*(openX-tipX), math.Abs(y-middleY)-t*opening) < stroke {
		return ink
	}
	if y < ground && y > ground-hill(x) {
		return hillTint
	}
	return paper
}

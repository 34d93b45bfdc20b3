package flow

import (
	"bytes"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
)

// bench is a small console that tests change: its project file and drawings are written from it.
type bench struct {
	panels   []plate
	chain    []int // of panels
	volts    string
	current  string
	feed     int // mm, of the last panel
	revision string
	note     string // a comment in the project file
	order    bool
	more     string // further keys of the project file
}

// plate is a plate with a row of lettering over rows of LEDs.
type plate struct {
	name string
	w, h int          // mm
	leds [][2]float64 // mm from the lower left corner
	text string
	note string // a comment in the drawing
	at   float64
	wall bool // it has a frame
}

func newBench() bench {
	d := bench{chain: []int{0, 1, 2}, volts: "12 V", current: "8 mA", feed: 300, revision: "A"}
	for i, name := range []string{"dome", "focus", "mount"} {
		p := plate{name: name, w: 70 + 6*i, h: 40, text: strings.ToUpper(name)}
		for k := range 4 + i {
			p.leds = append(p.leds, [2]float64{14 + 9*float64(k), 24})
		}
		d.panels = append(d.panels, p)
	}
	return d
}

// clone returns a bench that can be changed without d.
func (d bench) clone() bench {
	d.panels = append([]plate(nil), d.panels...)
	for i := range d.panels {
		d.panels[i].leds = append([][2]float64(nil), d.panels[i].leds...)
	}
	d.chain = append([]int(nil), d.chain...)
	return d
}

// yaml is the project file.
func (d bench) yaml() string {
	var chain []string
	for _, i := range d.chain {
		chain = append(chain, d.panels[i].name)
	}
	s := d.note + fmt.Sprintf("console: Desk\nrevision: %s\nsupply: {volts: %s, amps: 2 A}\ndefaults: {current: %s}\nchain: [%s]\npanels:\n",
		d.revision, d.volts, d.current, strings.Join(chain, ", "))
	for i, p := range d.panels {
		feed := ""
		if i == len(d.panels)-1 {
			feed = fmt.Sprintf(", feed_length: %d mm", d.feed)
		}
		wall := ""
		if p.wall {
			wall = ", frame: 4 mm"
		}
		s += fmt.Sprintf("  - {name: %s, drawing: %d.dxf%s%s}\n", p.name, i, feed, wall)
	}
	if d.order {
		s += fmt.Sprintf("order:\n  - {name: first, boards: {%s: 2, %s: 1}, frame: 5 mm}\n", d.panels[0].name, d.panels[1].name)
	}
	return s + d.more
}

// dxf is the drawing of a panel.
func (p plate) dxf() []byte {
	var b bytes.Buffer
	tag := func(code int, format string, args ...any) {
		fmt.Fprintf(&b, "%d\n%s\n", code, fmt.Sprintf(format, args...))
	}
	if p.note != "" {
		tag(999, "%s", p.note)
	}
	tag(0, "SECTION")
	tag(2, "HEADER")
	tag(9, "$INSUNITS")
	tag(70, "4")
	tag(0, "ENDSEC")
	tag(0, "SECTION")
	tag(2, "ENTITIES")
	x0 := p.at
	line := func(x1, y1, x2, y2 float64) {
		tag(0, "LINE")
		tag(8, "OUTLINE")
		tag(10, "%g", x0+x1)
		tag(20, "%g", y1)
		tag(11, "%g", x0+x2)
		tag(21, "%g", y2)
	}
	circle := func(layer string, x, y, d float64) {
		tag(0, "CIRCLE")
		tag(8, "%s", layer)
		tag(10, "%g", x0+x)
		tag(20, "%g", y)
		tag(40, "%g", d/2)
	}
	w, h := float64(p.w), float64(p.h)
	line(0, 0, w, 0)
	line(w, 0, w, h)
	line(w, h, 0, h)
	line(0, h, 0, 0)
	circle("MOUNT", 5, 5, 3.2)
	circle("MOUNT", w-5, h-5, 3.2)
	for _, q := range p.leds {
		circle("LED", q[0], q[1], 3)
	}
	tag(0, "TEXT")
	tag(8, "LETTERING")
	tag(10, "%g", x0+14)
	tag(20, "%d", 12)
	tag(40, "%d", 5)
	tag(1, "%s", p.text)
	tag(0, "ENDSEC")
	tag(0, "EOF")
	return b.Bytes()
}

// open returns the project and settings that read its drawings.
func (d bench) open(t testing.TB) (project.Project, Settings) {
	t.Helper()
	p, l := project.Read([]byte(d.yaml()), "bench/"+project.FileName)
	require.NoError(t, l.Err(), d.yaml())
	return p, Settings{Version: "test", Pack: true, Told: l, Read: func(path string) ([]byte, error) {
		for i, q := range d.panels {
			if strings.HasSuffix(path, fmt.Sprintf("%d.dxf", i)) {
				return q.dxf(), nil
			}
		}
		return nil, fs.ErrNotExist
	}}
}

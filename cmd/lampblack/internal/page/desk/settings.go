package desk

import (
	"cmp"
	"fmt"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led/part"
)

// Setting is a key of the project file that the view of currents has a field for.
type Setting struct {
	Of     string   `json:"of"` // "supply", "feed", "all panels", or a panel's name
	At     string   `json:"at"` // the key, panels by name: what a Change is at
	Words  string   `json:"words"`
	Value  string   `json:"value"`            // as it is written; empty: it is not
	Usual  string   `json:"usual"`            // what holds then
	Choose []string `json:"choose,omitempty"` // values that are good; others may be too
	Slide  *Slide   `json:"slide,omitempty"`  // for a value that one tries
}

// Slide is how a value is slid through.
type Slide struct {
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
	Step  float64 `json:"step"`
	Unit  string  `json:"unit"`
}

// settings gives the fields of the view of currents, in their order. The project may have errors: the fields are there to mend them.
func settings(a *asked) (given, error) {
	p, _, err := a.project()
	if err != nil {
		return given{}, err
	}
	src, err := a.read(project.FileName)
	if err != nil {
		return given{}, err
	}
	kinds := kindsOf(p)
	var wires []string
	for _, w := range part.WireSizes() {
		wires = append(wires, w.Text)
	}
	var out []Setting
	add := func(of, at, written, row, words string, choose []string, slide *Slide) {
		s := Setting{Of: of, At: at, Words: words, Choose: choose, Slide: slide}
		s.Value, _ = project.Said(src, written)
		for _, r := range project.Reference(row) {
			if r.Path == row {
				s.Usual = strings.ReplaceAll(r.Usual, "`", "")
			}
		}
		for _, all := range out { // a panel's own follows what all panels have
			if all.At == s.Usual {
				s.Usual = cmp.Or(all.Value, all.Usual) + ", as all panels"
			}
		}
		out = append(out, s)
	}
	plain := func(of, at, words string, choose []string, slide *Slide) { add(of, at, at, at, words, choose, slide) }
	current, feed := &Slide{0.5, 30, 0.5, "mA"}, &Slide{50, 2000, 50, "mm"}
	plain("supply", "supply.volts", "voltage of the supply, or a window such as 11.1 V .. 12.6 V", nil, &Slide{5, 24, 0.5, "V"})
	plain("supply", "supply.amps", "what it can give", nil, &Slide{0.5, 10, 0.1, "A"})
	plain("feed", "feed.wire", "wire from supply to boards", wires, nil)
	plain("feed", "feed.connector", "what a contact of the connectors carries", nil, nil)
	plain("all panels", "defaults.led", "kind of LED", kinds, nil)
	plain("all panels", "defaults.current", "current in each LED", nil, current)
	plain("all panels", "defaults.feed_length", "length of each feed, from board to board", nil, feed)
	for i, q := range p.Panels {
		at, written := "panels."+q.Name+".", fmt.Sprintf("panels.%d.", i)
		for _, k := range []struct {
			key, words string
			choose     []string
			slide      *Slide
		}{
			{"led", "kind of LED", kinds, nil}, {"current", "current in each LED", nil, current},
			{"feed_length", "length of its feed, from the board before it or the supply", nil, feed}, {"wire", "wire of its feed", wires, nil},
		} {
			add(q.Name, at+k.key, written+k.key, "panels[]."+k.key, k.words, k.choose, k.slide)
		}
	}
	return given{gives: out}, nil
}

// kindsOf returns the kinds of LEDs that a project can name: its own first.
func kindsOf(p project.Project) []string {
	var out []string
	for _, k := range p.Kinds {
		out = append(out, k.Name)
	}
	for _, k := range part.Kinds() {
		out = append(out, k.Name)
	}
	return out
}

// allOf is the kind of all LEDs of an entry; empty where rules tell it.
func allOf(p project.Project, e project.Panel) string {
	if len(e.LEDs) > 0 {
		return ""
	}
	return cmp.Or(e.LED, p.Defaults.LED)
}

// roomTold is what is told of the room behind the openings of an entry.
func roomTold(e project.Panel) string {
	switch {
	case len(e.Room) == 0:
		return ""
	case !e.Room[0].All:
		return "rules"
	case e.Room[0].Beyond == 0:
		return "none"
	}
	return "openings + " + e.Room[0].Beyond.String()
}

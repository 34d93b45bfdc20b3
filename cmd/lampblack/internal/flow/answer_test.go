package flow

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/paneltest/sketch"
	"lampblack/panel/read"
)

// TestAnswersChangeNothingElse: whatever is answered, as a question's choice or by a change that comes with a finding, what other things
// were taken for is the same, and nothing is told that does not follow from the answer: above all not that what was understood
// before is guessed. What else was asked is asked still, or settled by the answer.
func TestAnswersChangeNothingElse(t *testing.T) {
	last := uint64(15)
	if testing.Short() {
		last = 5
	}
	a := answers{t: t}
	for _, d := range benches() {
		a.try(d)
	}
	require.Greater(t, a.n, 12)
	for seed := uint64(1); seed <= last; seed++ {
		a.try(sketch.Of(seed).Drawing)
		a.try(sketch.StackOf(seed).Drawing)
		a.try(sketch.FieldOf(seed).Drawing)
	}
	for _, c := range sketch.Cases() {
		d, _ := dxf.Read(t.Context(), c.Source, "case.dxf")
		a.try(d)
	}
	t.Logf("%d answers", a.n)
}

// benches are panels of a greenhouse's desk in the manners of several people, each with two questions at least: with all on layer 0, told
// apart by colour, in blocks, on layers of which some are ours, and in a frame.
func benches() []dxf.Drawing {
	loop := func(layer string, p ...dxf.XY) dxf.Entity {
		e := dxf.Entity{Type: "LWPOLYLINE", Layer: layer, Path: dxf.Path{Closed: true}}
		for _, v := range p {
			e.Path.Vertices = append(e.Path.Vertices, dxf.Vertex{XY: v})
		}
		return e
	}
	box := func(layer string, x, y, w, h float64) dxf.Entity {
		return loop(layer, dxf.XY{X: x, Y: y}, dxf.XY{X: x + w, Y: y}, dxf.XY{X: x + w, Y: y + h}, dxf.XY{X: x, Y: y + h})
	}
	hole := func(layer string, x, y, d float64) dxf.Entity {
		e := loop(layer, dxf.XY{X: x - d/2, Y: y}, dxf.XY{X: x + d/2, Y: y})
		e.Path.Vertices[0].Bulge, e.Path.Vertices[1].Bulge = 1, 1
		return e
	}
	bench := func(name string, on func(what string, e *dxf.Entity), more ...dxf.Entity) dxf.Drawing {
		all := []dxf.Entity{box("edge", 0, 0, 160, 90)}
		for _, at := range [][2]float64{{5, 5}, {155, 5}, {155, 85}, {5, 85}} {
			all = append(all, hole("screw", at[0], at[1], 3.2))
		}
		for i := range 6 {
			all = append(all, hole("row", 30+20*float64(i), 60, 3.2)) // LEDs or screws
		}
		all = append(all, hole("one", 80, 30, 4), hole("knob", 30, 30, 7.2), hole("switch", 130, 30, 12.2))
		for i := range all {
			what := all[i].Layer
			all[i].Layer = "0"
			on(what, &all[i])
		}
		word := dxf.Entity{Type: "TEXT", Layer: "0", Text: &dxf.Text{Text: "VENT", Height: 5, At: dxf.XY{X: 60, Y: 72}}}
		tick := dxf.Entity{Type: "LINE", Layer: "0", Path: dxf.Path{Vertices: []dxf.Vertex{{XY: dxf.XY{X: 60, Y: 15}}, {XY: dxf.XY{X: 100, Y: 17}}}}}
		all = append(append(all, word, tick), more...)
		for i := range all {
			all[i].Line, all[i].Handle = 10*(i+1), fmt.Sprintf("%X", 64+i)
		}
		return dxf.Drawing{Name: name, Version: "AC1015", Units: dxf.Units{Name: "millimetres", MMPerUnit: 1}, Entities: all}
	}
	return []dxf.Drawing{
		bench("layer 0", func(string, *dxf.Entity) {}),
		bench("by colour", func(what string, e *dxf.Entity) {
			e.Colour = map[string]uint32{"edge": 6, "row": 1, "one": 1, "knob": 5, "switch": 5}[what]
		}),
		bench("in blocks", func(what string, e *dxf.Entity) {
			e.Block = map[string]string{"row": "SPOT", "one": "SPOT", "switch": "TOGGLE"}[what]
		}),
		bench("mixed", func(what string, e *dxf.Entity) {
			e.Layer = map[string]string{"edge": "OUTLINE", "switch": "OPENING", "row": "0", "one": "Holes", "screw": "Holes", "knob": "0"}[what]
		}),
		bench("in a frame", func(string, *dxf.Entity) {}, box("0", -70, -70, 297, 210), box("0", 127, -70, 100, 30)),
	}
}

// answers tries answers one by one.
type answers struct {
	t *testing.T
	n int
}

// follows are the codes of what may come of an answer itself: what is an opening now has openings in it, what was the only LED is a
// screw's hole, a line that is engraved lies where it may not.
var follows = []string{"panel-island", "panel-no-leds", "panel-lettering-near", "panel-lettering-over"}

func (a *answers) try(d dxf.Drawing) {
	a.t.Helper()
	const bare = "supply: {volts: 12 V, amps: 2 A}\npanels:\n  - name: desk\n    drawing: desk.dxf\n"
	before, l := read.Survey(a.t.Context(), d, read.Options{Name: "desk"})
	for _, f := range l {
		if f.Question != nil {
			for _, c := range f.Question.Choices {
				if strings.HasPrefix(c.YAML(), "roles") {
					a.made(d, before, l, bare+"    "+c.YAML()+"\n", c.Role)
				}
			}
		}
		for _, c := range f.Changes {
			if strings.HasPrefix(c.At, "panels.desk.roles") {
				out, err := project.Edited([]byte(bare), "lampblack.yaml", []diag.Change{c})
				require.NoError(a.t, err, "%s: %s", d.Name, f.Text)
				role := string(panel.RoleIgnore)
				if strings.Contains(c.Words, "engrave") {
					role = string(panel.RoleLettering)
				}
				a.made(d, before, l, string(out), role)
			}
		}
	}
}

// made reads the drawing with a project that says so.
func (a *answers) made(d dxf.Drawing, before read.Report, l diag.List, text, role string) {
	a.t.Helper()
	a.n++
	p, told := project.Read([]byte(text), "lampblack.yaml")
	require.NoError(a.t, told.Err(), "%s: %s", d.Name, text)
	after, found := read.Survey(a.t.Context(), d, Options(p, p.Panels[0]))
	said := fmt.Sprintf("%s, for %s:\n%s", d.Name, role, text)
	was, now := takenAs(before), takenAs(after)
	open := map[string]bool{} // questions that are left may be judged anew, since more is known
	for _, g := range after.Groups {
		for _, i := range g.Loops {
			open[identity(after.Loops[i])] = g.Asked != nil
		}
	}
	for id := range was {
		if _, ok := now[id]; !ok {
			require.Equal(a.t, string(panel.RoleIgnore), role, "%s is nowhere any more: %s", id, said) // an open line that means nothing
		}
	}
	island := slices.ContainsFunc(found, func(f diag.Finding) bool { return f.Code == "panel-island" })
	for id, r := range now {
		if r == was[id] || is(r, role) || open[id[:strings.LastIndex(id, ", ")]] || island && was[id] == panel.RoleOpening && r == "" {
			continue
		}
		require.Equal(a.t, was[id], r, "%s: %s", id, said)
	}
	key := func(f diag.Finding) string {
		if f.Code == "panel-layer-ignored" || f.Code == "dxf-open-line" {
			return "line without a use" // a note of its layer, where layers sort; a warning, where rules do
		}
		return f.Code + ", " + f.Severity.String()
	}
	had := map[string]int{}
	for _, f := range l {
		had[key(f)]++
	}
	for _, f := range found {
		k := key(f)
		if had[k]--; !slices.Contains(follows, f.Code) {
			require.GreaterOrEqual(a.t, had[k], 0, "%s: %s: %s", k, f.Text, said)
		}
	}
}

func identity(l read.Loop) string { return fmt.Sprintf("%s %.2f %.2f", l.Layer, l.Box, l.AreaMM2) }

// takenAs returns what each thing of a drawing is taken for.
func takenAs(r read.Report) map[string]panel.Role {
	out := map[string]panel.Role{}
	put := func(id string, role panel.Role) {
		if role == panel.RoleIgnore {
			role = ""
		}
		for n := 1; ; n++ { // several may lie at one place
			k := fmt.Sprint(id, ", ", n)
			if _, ok := out[k]; !ok {
				out[k] = role
				return
			}
		}
	}
	for _, l := range r.Loops {
		put(identity(l), l.Role)
	}
	for _, l := range r.Lines {
		put(fmt.Sprintf("%s %.2f open", l.Layer, l.Path.Box()), l.Role)
	}
	for _, t := range r.Texts {
		put(fmt.Sprintf("%s %q %.2f", t.Layer, t.Text.Text, t.Text.At), t.Role)
	}
	return out
}

package flow

import (
	"fmt"
	"math"
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

// TestEveryChoiceHolds: each choice of each question that drawings raise, put into a project, is accepted, makes of the things
// what it says, and is not asked again.
func TestEveryChoiceHolds(t *testing.T) {
	last := uint64(70)
	if testing.Short() {
		last = 20
	}
	var questions, choices int
	try := func(d dxf.Drawing) {
		t.Helper()
		before, l := read.Survey(t.Context(), d, read.Options{Name: "desk"})
		for _, f := range l {
			if f.Question == nil {
				continue
			}
			questions++
			require.GreaterOrEqual(t, len(f.Question.Choices), 2, f.Text)
			require.Equal(t, f.Question.Assumed, f.Question.Choices[0].Role, f.Text)
			for k := range f.Question.Choices {
				chosen(t, d, before, f, k)
				choices++
			}
		}
	}
	for seed := uint64(1); seed <= last; seed++ {
		try(sketch.Of(seed).Drawing)
		try(sketch.StackOf(seed).Drawing)
		try(sketch.FieldOf(seed).Drawing)
	}
	for _, c := range sketch.Cases() {
		d, _ := dxf.Read(t.Context(), c.Source, "case.dxf")
		try(d)
	}
	t.Logf("%d choices of %d questions", choices, questions)
	require.Greater(t, questions, int(last)/10)
}

// chosen puts a choice into a project and compares what it makes of the drawing with what it says.
func chosen(t *testing.T, d dxf.Drawing, before read.Report, f diag.Finding, k int) {
	t.Helper()
	q, c := f.Question, f.Question.Choices[k]
	text := "supply: {volts: 12 V, amps: 2 A}\npanels:\n  - name: desk\n    drawing: desk.dxf\n    " + c.YAML() + "\n"
	p, l := project.Read([]byte(text), "lampblack.yaml")
	require.NoError(t, l.Err(), "%s: %s", d.Name, text)
	after, found := read.Survey(t.Context(), d, Options(p, p.Panels[0]))
	for _, g := range found {
		if g.Question != nil {
			require.False(t, g.Question.Things == q.Things && slices.Equal(g.Question.At, q.At), "%s: %s is asked again with %s", d.Name, q.Things, c.YAML())
		}
	}
	switch c.Role {
	case string(read.SheetsApart):
		require.Greater(t, len(after.Panels), len(q.At)-1, "%s: %s", d.Name, f.Text)
		return
	case string(read.SheetsTogether), string(read.SheetsMirrored):
		require.NotEmpty(t, after.Sheets, "%s: %s", d.Name, f.Text)
		if k == 0 {
			require.Equal(t, before.Panels, after.Panels, "%s: %s", d.Name, f.Text)
		} else {
			require.NotEqual(t, before.Panels, after.Panels, "%s: %s", d.Name, f.Text)
		}
		return
	}
	if opened(before, q) { // a line that is not quite closed
		got := slices.ContainsFunc(after.Loops, func(o read.Loop) bool { return o.Role == panel.RoleOpening && touches(o.Box, q.At[0]) }) ||
			slices.ContainsFunc(after.Lines, func(o read.Line) bool { return o.Role == panel.RoleLettering && touches(o.Path.Box(), q.At[0]) })
		require.Equal(t, c.Role != string(panel.RoleIgnore), got, "%s: %q does not make it %q: %s", d.Name, c.YAML(), c.Role, f.Text)
		return
	}
	var of int
	var size float64 // of circles: several may lie round one centre
	if k, _ := fmt.Sscanf(strings.Replace(q.Things, "circles", "circle", 1), "%d circle of %g mm", &of, &size); k < 2 {
		size = 0
	}
	n := 0
	for _, at := range q.At {
		for i := range before.Loops {
			b := &before.Loops[i]
			if m := b.Box.Centre(); m.Dist(dxf.XY{X: at.X, Y: at.Y}) > 0.01+0.25*min(b.Box.W(), b.Box.H()) || !is(b.Role, q.Assumed) || size > 0 && math.Abs(b.D-size) > 0.1 {
				continue
			}
			k := slices.IndexFunc(after.Loops, func(o read.Loop) bool { return o.Handle == b.Handle && o.Box == b.Box })
			require.GreaterOrEqual(t, k, 0, "%s: %s", d.Name, f.Text)
			require.True(t, is(after.Loops[k].Role, c.Role), "%s: %q makes it %q, by %s\n%s", d.Name, c.YAML(), after.Loops[k].Role, f.Text, text)
			n++
		}
	}
	require.GreaterOrEqual(t, n, len(q.At), "%s: not all are found: %s", d.Name, f.Text)
}

// opened reports whether a question is about an open line.
func opened(rep read.Report, q *diag.Question) bool {
	return slices.ContainsFunc(rep.Open, func(e read.OpenEnd) bool { return e.At.Dist(dxf.XY{X: q.At[0].X, Y: q.At[0].Y}) < 2 })
}

// touches reports whether a place lies on the border of a box.
func touches(b dxf.Box, at diag.Point) bool {
	const play = 2.0 // mm: half a gap
	in := func(by float64) bool {
		return at.X > b.Min.X+by && at.X < b.Max.X-by && at.Y > b.Min.Y+by && at.Y < b.Max.Y-by
	}
	return in(-play) && !in(play)
}

// is reports whether a survey's role is that of a question.
func is(r panel.Role, role string) bool {
	return string(r) == role || r == "" && role == string(panel.RoleIgnore)
}

package read_test

import (
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/paneltest"
	"lampblack/panel/paneltest/sketch"
	"lampblack/panel/read"
)

// sketches reads the sketches of the seeds and returns how many are read as a builder sees them, and how many of the others
// are told without a question. With TELL set, it says what is wrong with those.
func sketches(t *testing.T, of func(uint64) sketch.Sketch, from, to uint64) (right, all, silent int) {
	t.Helper()
	for seed := from; seed <= to; seed++ {
		s := of(seed)
		ps, l := read.Panels(t.Context(), s.Drawing, read.Options{})
		why := s.Why(ps)
		if l.HasErrors() {
			why = append(why, l.Err().Error())
		}
		all++
		if len(why) == 0 {
			right++
			continue
		}
		if !l.HasErrors() && !slices.ContainsFunc(l, func(f diag.Finding) bool { return f.Question != nil }) {
			silent++
		}
		if os.Getenv("TELL") != "" {
			t.Log(strconv.FormatUint(seed, 10), s.Name+":", strings.Join(why, "; "))
		}
	}
	return right, all, silent
}

// TestSketches: drawings of seven kinds of panels in ten manners of CAD export are read as a builder sees them, nearly all,
// and of those that are not a question is asked. SEEDS=200-300 tries others.
func TestSketches(t *testing.T) {
	from, to := seeds(1, 70)
	right, all, silent := sketches(t, sketch.Of, from, to)
	t.Logf("%d of %d, %d of the others without a question", right, all, silent)
	require.GreaterOrEqual(t, right*100, all*95)
	require.Zero(t, silent)
}

// TestMixedPanels: panels on which much is easily mistaken (screws of the LEDs' size, rings in rings, letters as closed lines, slots
// of a rack, openings not quite closed) are read as a builder sees them, nearly all, and none is read wrongly in silence.
func TestMixedPanels(t *testing.T) {
	from, to := seeds(1, 60)
	right, all, silent := sketches(t, sketch.FieldOf, from, to)
	t.Logf("%d of %d, %d of the others without a question", right, all, silent)
	require.GreaterOrEqual(t, right*100, all*95)
	require.Zero(t, silent)
}

// seeds returns those that are usual, or those that SEEDS=200-300 names.
func seeds(from, to uint64) (uint64, uint64) {
	if v := os.Getenv("SEEDS"); v != "" {
		a, b, _ := strings.Cut(v, "-")
		from, _ = strconv.ParseUint(a, 10, 64)
		to, _ = strconv.ParseUint(b, 10, 64)
	}
	return from, to
}

// sameByRules fails where the rules that a survey proposes do not give exactly the panels that were guessed, or are more
// than a person can read.
func sameByRules(t *testing.T, d dxf.Drawing) {
	t.Helper()
	rep, l := read.Survey(t.Context(), d, read.Options{})
	if len(rep.Proposal) == 0 {
		return
	}
	require.LessOrEqual(t, len(rep.Proposal), 25, d.Name)
	opt := read.Options{Sheets: rep.Together}
	var told []string
	for _, p := range rep.Proposal {
		r, err := read.ParseRule(p.Rule.Role, p.Rule.String())
		require.NoError(t, err)
		require.Equal(t, p.Rule, r)
		opt.Rules = append(opt.Rules, r)
		told = append(told, string(r.Role)+": "+r.String())
		require.False(t, r.AtNear, "%s: a single place: %s", d.Name, r)
	}
	again, m := read.Survey(t.Context(), d, opt)
	got := again.Panels
	require.Equal(t, len(rep.Panels), len(got), "%s: %v", d.Name, told)
	for i := range got {
		require.Equal(t, rep.Panels[i], got[i], "%s: %s", d.Name, strings.Join(told, "\n"))
	}
	require.Equal(t, l.HasErrors(), m.HasErrors(), "%s: %v", d.Name, told)
	for _, f := range m {
		if f.Code == "dxf-nearly-closed" {
			continue // a line that is not closed is nothing that the rules speak of
		}
		require.Nil(t, f.Question, "%s: what the rules say is asked again: %s, by %v", d.Name, f.Text, told)
	}
}

// TestProposalIsTheGuess: the rules proposed give exactly the guessed panels, in whatever manner they are drawn.
func TestProposalIsTheGuess(t *testing.T) {
	for seed := uint64(1); seed <= 70; seed++ {
		sameByRules(t, sketch.Of(seed).Drawing)
		sameByRules(t, sketch.FieldOf(seed).Drawing)
		if seed <= 3*sketch.Stacks {
			sameByRules(t, sketch.StackOf(seed).Drawing)
		}
	}
	for _, c := range sketch.Cases() {
		if d, l := dxf.Read(t.Context(), c.Source, c.Name+".dxf"); !l.HasErrors() {
			sameByRules(t, d)
		}
	}
	for i, e := range sketch.Exports() {
		d, l := dxf.Read(t.Context(), e.Source(sketch.Plain(uint64(i))), e.Name+".dxf")
		require.NoError(t, l.Err())
		sameByRules(t, d)
	}
	dirs := []string{"testdata/*/*.dxf", "../../examples/*/*.dxf", "../../testdata/*/*.dxf"}
	if v := os.Getenv("DRAWINGS"); v != "" {
		dirs = append(dirs, v)
	}
	for _, pattern := range dirs {
		for _, f := range paneltest.Files(t, pattern) {
			d, l := dxf.Read(t.Context(), f.Data, f.Name)
			if !l.HasErrors() {
				sameByRules(t, d)
			}
		}
	}
}

// TestExports: what programs of thirteen kinds make of the same sketches when they save them is read as a builder sees it.
func TestExports(t *testing.T) {
	for _, e := range sketch.Exports() {
		right := 0
		for seed := uint64(1); seed <= 2*sketch.Kinds; seed++ {
			s := sketch.Plain(seed)
			d, l := dxf.Read(t.Context(), e.Source(s), e.Name+".dxf")
			ps, m := read.Panels(t.Context(), d, read.Options{})
			l = append(l, m...)
			why := s.Moved(e.By).Why(ps)
			if l.HasErrors() {
				why = append(why, l.Err().Error())
			}
			if len(why) == 0 {
				right++
				continue
			}
			if os.Getenv("TELL") != "" {
				t.Log(e.Name, seed, s.Name+":", strings.Join(why, "; "))
			}
		}
		require.Equal(t, 2*sketch.Kinds, right, e.Name)
	}
}

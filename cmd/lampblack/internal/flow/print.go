package flow

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/board/legend"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// wanted is a text that the project wants on a board.
type wanted struct {
	panel.Text           // its middle at At; without a place at the origin
	Free       bool      // it has no place
	Heights    []geom.Nm // that may be tried without one
	Keys       []string  // that ask for it
}

// inscribeIn is what is printed on a board besides what it says itself.
type inscribeIn struct {
	Board string // its name, so that boards on which nothing is printed do not share one run
	Drawn [2]panel.Print
	Texts [2][]wanted
	Faces facesIn
	Rules board.Rules
}

type inscribeOut struct {
	says
	Items [2][]legend.Item
}

// inscribing makes the print of a board areas.
var inscribing = stage[inscribeIn, inscribeOut]{"print", func(ctx context.Context, in inscribeIn) (out inscribeOut) {
	work.Until(ctx, func(w *work.Watch) {
		thin := legend.Thinnest(in.Rules)
		s := scribe{w: w, thin: thin, rules: in.Rules, faces: in.Faces.faces(thin)}
		for _, side := range geom.BothSides() {
			for _, t := range in.Drawn[side].Texts {
				out.Items[side] = append(out.Items[side], s.text(t, nil))
			}
			for _, k := range in.Drawn[side].Symbols {
				if g := lettering.SymbolRegion(s.widened(k), max(usualLine, thin)); len(g) > 0 {
					out.Items[side] = append(out.Items[side], legend.Item{Parts: []geom.Region{g}})
				}
			}
			for _, t := range in.Texts[side] {
				out.Items[side] = append(out.Items[side], s.wanted(t))
			}
		}
		out.Findings = s.told
	})
	return out
}}

// usualLine is the width of printed lines to which the drawing gives none.
const usualLine = geom.Millimetre / 5

// scribe sets the texts of print.
type scribe struct {
	w     *work.Watch
	thin  geom.Nm // width of the thinnest line
	rules board.Rules
	faces *lettering.Faces
	told  diag.List
}

// widened returns a symbol whose line is as wide as can be printed, at the least.
func (s *scribe) widened(k panel.Symbol) panel.Symbol {
	if k.Width > 0 {
		k.Width = max(k.Width, s.thin)
	}
	return k
}

// text returns a text as an item, its stems as wide as can be printed at the least; and tells what it lacks.
func (s *scribe) text(t panel.Text, keys []string) legend.Item {
	out := legend.Item{Text: t.Text, Height: t.Height, Behind: t.Mirror, Subject: keys, Parts: s.letters(t)}
	short := fmt.Sprintf("%q", strings.ReplaceAll(t.Text, "\n", " "))
	tell := func(code, format string, args ...any) *diag.Finding {
		return s.told.Add(diag.Warning, code, format, args...).About(keys...).At(t.At.X.MM(), t.At.Y.MM())
	}
	for _, l := range s.faces.Missing(t) {
		tell("print-letter-missing", "the face %s has no %q, as in %q of the print", l.Face.Name(), string(l.Rune), l.Word).
			Fix("write it in another way, or take a face that has it")
	}
	if t.Height < s.rules.LegendText {
		tell("print-small", "the print %s has letters of %v, which silkscreen hardly shows: %v is legible", short, t.Height, s.rules.LegendText).
			Fix("make them larger, %v at least", s.rules.LegendText)
	} else if stem, ok := s.faces.Stem(t); ok && stem < s.thin-2*geom.FlattenTolerance {
		f := tell("print-thickened", "the strokes of the print %s are %v wide and are printed as wide as silkscreen is at the least, %v", short, stem, s.thin)
		f.Severity = diag.Note
		f.Fix("nothing to do, if it looks well; larger letters or the face %s keep their shapes", lettering.SingleLine)
	}
	return out
}

// letters returns the areas of a text's letters.
func (s *scribe) letters(t panel.Text) []geom.Region {
	s.w.Look()
	grow := geom.Nm(0)
	if stem, ok := s.faces.Stem(t); ok && stem < s.thin {
		grow = (s.thin - stem + 1) / 2
	}
	var out []geom.Region
	for _, c := range s.faces.Characters(t) {
		out = append(out, c.Region.Grown(grow))
	}
	return out
}

// wanted returns a text of the project as an item: about its place, or in the sizes that may be tried.
func (s *scribe) wanted(t wanted) legend.Item {
	if !t.Free {
		return s.text(t.Text, t.Keys)
	}
	t.Height = t.Heights[0]
	out := s.text(t.Text, t.Keys)
	out.Parts = nil
	for _, h := range t.Heights {
		t.Height = h
		out.Sizes = append(out.Sizes, s.letters(t.Text))
	}
	return out
}

// inscribeIn returns what is to be printed on board k of a panel: of what is drawn for several, what lies nearest to it.
func (s *session) inscribeIn(b *Built, k int) inscribeIn {
	in := inscribeIn{Board: b.Boards[k].Name(), Faces: s.lettered, Rules: s.project.Rules}
	m := b.Boards[k]
	own := func(q geom.Pt) bool {
		best := 0
		for i := range b.Boards {
			if at := geom.BoxOf(q); at.Dist(b.Boards[i].Part.Box) < at.Dist(b.Boards[best].Part.Box) {
				best = i
			}
		}
		return best == k
	}
	for side, p := range b.Panel.Print {
		for _, t := range p.Texts {
			if own(t.At) {
				in.Drawn[side].Texts = append(in.Drawn[side].Texts, t)
			}
		}
		for _, q := range p.Symbols {
			if own(q.Shape.Box().Centre()) {
				in.Drawn[side].Symbols = append(in.Drawn[side].Symbols, q)
			}
		}
	}
	says := map[project.Placeholder]string{project.ConsoleName: s.project.Console, project.PanelName: m.Name(),
		project.RevisionOf: s.project.Revision, project.DateOf: s.day()}
	for side, lines := range s.lines(b.Panel) {
		for i, l := range lines {
			text, _ := l.Filled(says)
			t := wanted{Text: panel.Text{Text: text, Height: l.Height, Angle: l.Angle * math.Pi / 180, Width: 1, Anchor: panel.Anchor{H: panel.Centre, V: panel.Middle}},
				Free: l.At == nil, Heights: sizes(l.Height, s.project.Rules), Keys: s.printKeys(b.Panel, side, i)}
			if l.At != nil {
				t.At = onPanel(b.Panel, diag.Point{X: l.At.X, Y: l.At.Y})
				if t.Height == 0 {
					t.Height = t.Heights[len(t.Heights)/2]
				}
				if !own(t.At) {
					continue
				}
			}
			if text != "" {
				in.Texts[side] = append(in.Texts[side], t)
			}
		}
	}
	return in
}

// sizes are the heights in which a text without a place is tried.
func sizes(told geom.Nm, r board.Rules) []geom.Nm {
	if told > 0 {
		return []geom.Nm{told}
	}
	h := r.LegendText
	return []geom.Nm{h * 5 / 2, h * 2, h * 5 / 3, h * 4 / 3, h}
}

// lines returns the lines of print that the project wants on a panel's boards, by side.
func (s *session) lines(p panel.Panel) (out [2][]project.Line) {
	if i, ok := s.drawn(p); ok {
		e := s.drawings[i].Entry
		out[geom.Top], out[geom.Bottom] = e.Print.Front, e.Print.Back
	}
	return out
}

// printKeys returns the keys under which the project has a line of print.
func (s *session) printKeys(p panel.Panel, side, i int) []string {
	key := project.LineKey(side == int(geom.Top), i)
	return []string{diag.PanelKey(p.Name, key), "defaults." + key}
}

// given returns what a panel's lines say of the words of a board's title.
func (s *session) given(p panel.Panel) (out [2]legend.Given) {
	for side, lines := range s.lines(p) {
		for _, l := range lines {
			g := &out[side]
			g.Name = g.Name || l.Says(project.PanelName)
			g.Revision = g.Revision || l.Says(project.RevisionOf)
			g.Date = g.Date || l.Says(project.DateOf)
		}
	}
	return out
}

// tellPlaceholders tells lines of print that name what the project does not have; each line of the defaults once.
func (s *session) tellPlaceholders(panels []panel.Panel) diag.List {
	var l diag.List
	says := map[project.Placeholder]string{project.ConsoleName: s.project.Console, project.PanelName: "-", project.RevisionOf: s.project.Revision, project.DateOf: s.day()}
	advice := map[project.Placeholder]string{project.RevisionOf: "write revision: A in the project file", project.DateOf: "write date: 2026-03-01 in the project file, or give --date"}
	seen := map[string]bool{}
	for _, p := range panels {
		for side, lines := range s.lines(p) {
			for i, line := range lines {
				_, missing := line.Filled(says)
				for _, m := range missing {
					key := s.printKeys(p, side, i)
					id := line.Text + string(m)
					if seen[id] {
						continue
					}
					seen[id] = true
					fix := advice[m]
					if fix == "" {
						fix = "write console: NAME in the project file"
					}
					f := l.Add(diag.Warning, "print-nothing-to-say", "the line of print %q names the %s, and the project tells none: that is left out", line.Text, m).
						About(slices.Concat(key, []string{string(m)})...)
					f.Fix("%s; or take {%s} out of the line", fix, m)
					f.SparesBoards()
				}
			}
		}
	}
	return l
}

package legend_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	whole "lampblack/board/boardtest/made"
	"lampblack/board/footprint"
	"lampblack/board/legend"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// signs finds the plus and minus signs among the ink of a side by their look alone: two lines of one length that cross in
// the middle of both, and a level line with no other ink near it.
func signs(b board.Board, on geom.Side) (plus, minus []geom.Pt) {
	var lines []geom.Segment
	for _, s := range b.Legend {
		if s.On == on && len(s.Path) == 2 {
			lines = append(lines, geom.Segment{A: s.Path[0], B: s.Path[1]})
		}
	}
	mid := func(s geom.Segment) geom.Pt { return s.Box().Centre() }
	small := func(s geom.Segment) bool {
		return s.A.Dist(s.B) > float64(geom.MM(0.4)) && s.A.Dist(s.B) < float64(geom.MM(0.7))
	}
	for _, h := range lines {
		if h.A.Y != h.B.Y || !small(h) {
			continue
		}
		crossed, alone := false, true
		for _, v := range lines {
			if v.A.X == v.B.X && small(v) && mid(v).Dist(mid(h)) < 2 && math.Abs(v.A.Dist(v.B)-h.A.Dist(h.B)) < 2 {
				crossed = true
			}
		}
		for _, s := range b.Legend {
			for _, o := range s.Path.Segments() {
				if s.On == on && o != h && o.Dist(h) < float64(geom.MM(0.2)) {
					alone = false
				}
			}
		}
		switch {
		case crossed:
			plus = append(plus, mid(h))
		case alone:
			minus = append(minus, mid(h))
		}
	}
	return plus, minus
}

// owner returns the pad with a polarity that a reader takes the sign to belong to: the nearest, and clearly so.
func owner(t *testing.T, b board.Board, on geom.Side, at geom.Pt, what string) (ref string, pad board.Pad) {
	best, second := math.Inf(1), math.Inf(1)
	for _, p := range b.Parts {
		for _, q := range p.Pads {
			if p.On != on || q.Function == "" {
				continue
			}
			switch d := q.Contour(0).Ring(1000).Box().Dist(geom.BoxOf(at)); {
			case d < best:
				best, second = d, best
				ref, pad = p.Ref, q
			case d < second:
				second = d
			}
		}
	}
	require.Less(t, best, float64(geom.MM(4)), "%s: beside its pad, or the body over it", what)
	require.Less(t, best, second, "%s: nearest to one pad", what)
	return ref, pad
}

func bench() board.Board {
	return board.Board{Rules: board.UsualRules(), Outline: geom.Rect(geom.BoxOf(geom.PtMM(0, 0), geom.PtMM(90, 60)))}
}

func placed(t *testing.T, b board.Board, name, ref string, kind board.Kind, at geom.Pt, turn int, on geom.Side) board.Part {
	f, ok := footprint.Lookup(name)
	require.True(t, ok, name)
	return f.Place(ref, kind, at, turn, on, b.Rules.MaskMargin)
}

// The board's print of every kind of LED, however turned: one plus sign, on the LED side, at the anode; beyond the cathode a
// line of at least 1.4 mm across the leads' axis, and none beyond the anode.
func TestPrintedPolarityOfEveryLED(t *testing.T) {
	for _, kind := range part.Kinds() {
		for turn := range 8 {
			what := fmt.Sprintf("%s, turned by %d degrees", kind.Name, 45*turn)
			b := bench()
			d := placed(t, b, kind.Package, "D1", board.LED, geom.PtMM(40, 30), 45*turn, geom.Top)
			b.Parts = []board.Part{d}
			b = printed(b, legend.Options{})
			plus, minus := signs(b, geom.Top)
			require.Len(t, plus, 1, what)
			require.Empty(t, minus, what)
			_, pad := owner(t, b, geom.Top, plus[0], what)
			require.Equal(t, "A", pad.Function, what)
			toA := []geom.Vec{{X: 1}, {X: 1, Y: 1}, {Y: 1}, {X: -1, Y: 1}, {X: -1}, {X: -1, Y: -1}, {Y: -1}, {X: 1, Y: -1}}[turn] // the cathode is at the left at turn 0
			require.Positive(t, plus[0].Sub(d.At).Dot(toA), what)
			lines := map[bool]int{} // beyond the cathode?
			for _, s := range b.Legend {
				require.Equal(t, geom.Top, s.On, what)
				for _, e := range s.Path.Segments() {
					across := (toA.Cross(e.A.Sub(d.At)) > 0) != (toA.Cross(e.B.Sub(d.At)) > 0) && math.Abs(float64(e.B.Sub(e.A).Dot(toA))) <= float64(4*(turn%2))
					if across && e.A.Dist(e.B) >= float64(geom.MM(1.4)) {
						lines[float64(e.A.Sub(d.At).Dot(toA))/toA.Len() < -float64(geom.MM(1.27))]++
					}
				}
			}
			require.Positive(t, lines[true], "%s: a line beyond the cathode", what)
			require.Zero(t, lines[false], "%s: none beyond the anode", what)
		}
	}
}

// Every pin of every connector, however turned, has its own sign on the wiring side: minus at 0 V, the last pin, plus at the
// others; and IN and OUT stand at the connector of that role, to be read from behind.
func TestPrintedSignsOfConnectors(t *testing.T) {
	for _, name := range []string{"terminal-3.5", "terminal-5.08", "header-2.54", "wire-pads", "terminal-3.5-3", "wire-pads-4", "header-2.54-5"} {
		for turn := range 4 {
			what := fmt.Sprintf("%s, turn %d", name, turn)
			b := bench()
			in := placed(t, b, name, "J1", board.Connector, geom.PtMM(22, 30), 90*turn, geom.Bottom)
			out := placed(t, b, name, "J2", board.Connector, geom.PtMM(68, 30), 90*((turn+2)%4), geom.Bottom)
			in.Role, out.Role = led.In, led.Out
			b.Parts = []board.Part{in, out}
			b = printed(b, legend.Options{})
			plus, minus := signs(b, geom.Bottom)
			seen := map[string]int{}
			for sign, at := range map[string][]geom.Pt{"+": plus, "-": minus} {
				for _, p := range at {
					ref, pad := owner(t, b, geom.Bottom, p, what)
					require.Equal(t, sign, pad.Function, what)
					seen[ref+"."+pad.Pin]++
				}
			}
			for _, p := range b.Parts {
				for k, q := range p.Pads {
					require.Equal(t, 1, seen[p.Ref+"."+q.Pin], "%s: %s.%s has one sign", what, p.Ref, q.Pin)
					require.Equal(t, map[bool]string{true: "-", false: "+"}[k == len(p.Pads)-1], q.Function, what)
				}
			}
			n := letters(b, geom.Bottom, 'N')
			u := letters(b, geom.Bottom, 'T')
			require.Len(t, n, 1, what)
			require.Len(t, u, 1, what)
			require.True(t, n[0].behind && u[0].behind, "%s: read from behind", what)
			require.Less(t, n[0].at.Dist(in.At), n[0].at.Dist(out.At), "%s: IN stands at J1", what)
			require.Less(t, u[0].at.Dist(out.At), u[0].at.Dist(in.At), "%s: OUT stands at J2", what)
			top, _ := signs(b, geom.Top)
			require.Empty(t, top, "nothing of it on the LED side")
		}
	}
}

// letter is an N or a T found in the ink.
type letter struct {
	at     geom.Pt
	behind bool // its strokes run as seen from behind
}

// letters finds N and T by their strokes. An N's diagonal falls from the upper left to the lower right for whoever can read
// it; a T tells where its top is, and the letter before it on its left (an O or a U) where the line begins.
func letters(b board.Board, on geom.Side, want rune) []letter {
	var out []letter
	for _, s := range b.Legend {
		if s.On != on {
			continue
		}
		p := s.Path
		switch {
		case want == 'N' && len(p) == 4:
			up, fall, up2 := p[1].Sub(p[0]), p[2].Sub(p[1]), p[3].Sub(p[2])
			if up == up2 && up.Dot(fall) < 0 && up.Cross(fall) != 0 {
				out = append(out, letter{p.Box().Centre(), up.Cross(fall) > 0}) // to the left of upward: mirrored
			}
		case want == 'T' && len(p) == 2:
			foot := slices.ContainsFunc(b.Legend, func(q board.Stroke) bool {
				return q.On == on && len(q.Path) == 2 && q.Path.Box().Centre().Dist(p[1]) < 2
			})
			for _, q := range b.Legend {
				if q.On != on || len(q.Path) != 2 || q.Path[0] == p[0] || foot { // with a foot it is an I
					continue
				}
				up, bar := p[0].Sub(p[1]), q.Path[1].Sub(q.Path[0])
				if up.Dot(bar) == 0 && q.Path.Box().Centre().Dist(p[0]) < 2 && up.Len() > bar.Len() {
					// The nearest six-cornered stroke is the U before it.
					best, side := math.Inf(1), int64(0)
					for _, o := range b.Legend {
						if o.On == on && len(o.Path) == 6 && o.Path.Box().Centre().Dist(p[0]) < best {
							best, side = o.Path.Box().Centre().Dist(p[0]), up.Cross(o.Path.Box().Centre().Sub(p[1]))
						}
					}
					out = append(out, letter{p.Box().Centre(), side < 0})
				}
			}
		}
	}
	return out
}

// A word on the LED side reads from the front, the same word on the wiring side from behind.
func TestTitlesRead(t *testing.T) {
	b := printed(bench(), legend.Options{Name: "N"})
	for _, side := range geom.BothSides() {
		n := letters(b, side, 'N')
		require.Len(t, n, 1, side)
		require.Equal(t, side == geom.Bottom, n[0].behind, side)
	}
}

// On whole boards, too, no sign is left out for want of room: every LED has its plus and every connector's pin its sign.
func TestSignsOfWholeBoards(t *testing.T) {
	for seed := range uint64(6) {
		b, _, found := whole.Board(seed, 6+int(seed)*9)
		require.False(t, found.HasErrors())
		seen := map[string]int{}
		for _, side := range geom.BothSides() {
			plus, minus := signs(b, side)
			for sign, at := range map[string][]geom.Pt{"+": plus, "-": minus} {
				for _, p := range at {
					if sign == "-" && side == geom.Top {
						continue // dashes in words
					}
					ref, pad := owner(t, b, side, p, fmt.Sprintf("seed %d, %s", seed, sign))
					require.Equal(t, sign, map[string]string{"A": "+"}[pad.Function]+map[string]string{"+": "+", "-": "-"}[pad.Function], "seed %d, %s", seed, ref)
					seen[ref+"."+pad.Pin]++
				}
			}
		}
		for _, p := range b.Parts {
			for _, q := range p.Pads {
				if q.Function != "" && q.Function != "K" {
					require.Positive(t, seen[p.Ref+"."+q.Pin], "seed %d: %s.%s", seed, p.Ref, q.Pin)
				}
			}
		}
	}
}

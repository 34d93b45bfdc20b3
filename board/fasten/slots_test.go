package fasten_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/material"
	"lampblack/panel/paneltest"
)

func slotted(p panel.Panel, s fasten.Stack, boards ...board.Board) (mounts []fasten.Mount, held []fasten.Support, slots []panel.Slot, cramped []int) {
	mounts = fasten.Mounts(p, boards, s)
	for _, b := range boards {
		held = append(held, fasten.SupportOf(p, b, mounts, s, material.UsualClimate(), nil))
	}
	slots, cramped = fasten.Slots(p, mounts, held, s, material.UsualClimate())
	mounts, held = fasten.Slotted(p, mounts, held, slots)
	return mounts, held, slots, cramped
}

// The board of TestGrowth, 310 long, held at both ends and near its middle: 155 mm of acrylic grow by 20 K · (72 - 15) millionths and by
// 0.3 % less what it has at 50 % of humidity, 0.167 %, against it (the project's list of published check values, section 22): 0.383 mm.
// Slots of 3.2 + 2 · 0.4 = 4.0 mm in face, diffuser and LED sheet, along the board, and a round hole near the middle.
func TestSlots(t *testing.T) {
	p, b := wide(310, 10, geom.PtMM(5, 5), geom.PtMM(305, 5), geom.PtMM(160, 5))
	mounts, held, slots, cramped := slotted(p, stack(), b)
	require.Empty(t, cramped)
	require.Len(t, slots, 6)
	for i, s := range slots {
		require.Equal(t, i/3, s.Mount)
		require.Equal(t, panel.Sheet(i%3), s.Sheet)
		require.Equal(t, geom.Vec{}, geom.Pt{X: s.Along.A.X + s.Along.B.X, Y: s.Along.A.Y + s.Along.B.Y}.Sub(geom.Pt{X: 2 * p.Mounts[s.Mount].At.X, Y: 2 * p.Mounts[s.Mount].At.Y}), "the mount in its middle")
		require.Zero(t, s.Along.B.Y-s.Along.A.Y)
		box := s.Shape(p.Mounts[s.Mount].D).Box()
		require.InDelta(t, 4.0, box.W().MM(), 1e-3)
		require.InDelta(t, 3.2, box.H().MM(), 1e-3)
	}
	require.Equal(t, []geom.Nm{geom.MM(4), geom.MM(4), 0}, []geom.Nm{mounts[0].Slot, mounts[1].Slot, mounts[2].Slot})
	require.Equal(t, 2, held[0].Slotted)
	require.Equal(t, geom.MM(4), held[0].Longest)
	l := fasten.JudgeSupport(p, b, held[0])
	paneltest.Subjects(t, l)
	require.Contains(t, codesOf(l), "fasten-slots")
	require.NotContains(t, codesOf(l), "fasten-growth")
	require.Empty(t, fasten.JudgeSlots(p, mounts, slots, cramped), "1.6 + 0.8 is within a head of 5.6")

	// Wide holes leave enough, and so does a sheet that grows as boards do.
	wider := p
	wider.Mounts = nil
	for _, m := range p.Mounts {
		m.D = geom.MM(3.4)
		wider.Mounts = append(wider.Mounts, m)
	}
	_, _, slots, _ = slotted(wider, stack(), b)
	require.Empty(t, slots)
	s := stack()
	s.Thick.Face.Kind, s.Thick.Diffuser.Kind, s.Thick.LED.Kind = material.Metal, material.Metal, material.Metal
	_, _, slots, _ = slotted(p, s, b)
	require.Empty(t, slots)
}

func codesOf(l diag.List) (out []string) {
	for _, f := range l {
		out = append(out, f.Code)
	}
	return out
}

// Wherever sheets and boards grow, and whatever they are made of, every screw stays within its slot: told apart from how slots are made by
// moving each thing for itself, the face about the mount where all is held, each board from where it is held to the face, each sheet
// from the former. Play of the holes is left for what is not where it was drawn, but for what is below a slot's least length.
func TestScrewsStayInTheirSlots(t *testing.T) {
	for name, kinds := range map[string][3]material.Kind{
		"acrylic": {}, "metal face": {material.Metal, material.Cast, material.Cast}, "metal LED sheet": {material.Extruded, material.Cast, material.Metal},
	} {
		s := stack()
		s.Thick.Face.Kind, s.Thick.Diffuser.Kind, s.Thick.LED.Kind = kinds[0], kinds[1], kinds[2]
		p, left := wide(250, 170, corners(250, 170, 6)...)
		right := board.Board{Name: "right", Rules: left.Rules, Laminate: left.Laminate, Outline: geom.Rect(geom.BoxOf(geom.PtMM(260, 0), geom.PtMM(520, 170)))}
		for _, q := range []geom.Pt{geom.PtMM(266, 6), geom.PtMM(514, 6), geom.PtMM(400, 120), geom.PtMM(514, 164)} {
			p.Mounts = append(p.Mounts, panel.Hole{At: q, D: geom.MM(3.2)})
			right.Holes = append(right.Holes, board.Hole{At: q, D: geom.MM(3.2), What: board.MountHole})
		}
		p.Outline = geom.Rect(geom.Box{Max: geom.PtMM(520, 170)})
		mounts, held, slots, cramped := slotted(p, s, left, right)
		require.Empty(t, cramped)
		require.NotEmpty(t, slots)
		main := held[0].Round
		if middle := geom.PtMM(260, 85); held[1].Round.Dist(middle) < main.Dist(middle) {
			main = held[1].Round
		}
		c := material.UsualClimate()
		grown := func(q, about geom.Pt, by float64) [2]float64 {
			return [2]float64{q.X.MM() + (q.X-about.X).MM()*by, q.Y.MM() + (q.Y-about.Y).MM()*by}
		}
		for _, warm := range []bool{false, true} {
			of := func(x material.Strain) float64 {
				if warm {
					return x.Most
				}
				return x.Least
			}
			for i, m := range mounts {
				h := held[0]
				if m.Board == "right" {
					h = held[1]
				}
				round, screw := grown(h.Round, main, of(kinds[0].Strain(c))), grown(m.At, h.Round, of(material.BoardStrain(c)))
				for k := range screw {
					screw[k] += round[k] - [2]float64{h.Round.X.MM(), h.Round.Y.MM()}[k]
				}
				for sheet, kind := range kinds {
					a, b := m.At, m.At
					for _, o := range slots {
						if o.Mount == i && o.Sheet == panel.Sheet(sheet) {
							a, b = o.Along.A, o.Along.B
						}
					}
					e := of(kind.Strain(c))
					u, v := grown(a, main, e), grown(b, main, e)
					require.Less(t, away(screw, u, v), 0.055, "%s: mount %d, %s, warm %v", name, i, panel.Sheet(sheet), warm)
				}
			}
		}
	}
}

// away is the distance of q from the straight piece from a to b.
func away(q, a, b [2]float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = min(1, max(0, ((q[0]-a[0])*dx+(q[1]-a[1])*dy)/l))
	}
	return math.Hypot(q[0]-a[0]-t*dx, q[1]-a[1]-t*dy)
}

// A slot that is drawn holds nothing in its place, though it is nearest to the middle.
func TestDrawnSlotsStayAsTheyAre(t *testing.T) {
	p, b := wide(310, 10, geom.PtMM(5, 5), geom.PtMM(305, 5))
	p.Openings = []panel.Opening{{Mount: true, Contour: geom.Stadium(geom.Segment{A: geom.PtMM(153, 5), B: geom.PtMM(157, 5)}, geom.MM(1.6))}}
	_, held, slots, _ := slotted(p, stack(), b)
	require.Equal(t, p.Mounts[0].At, held[0].Round)
	require.Len(t, slots, 3)
	require.Equal(t, 1, slots[0].Mount)
}

// Where an opening leaves less than a millimetre beside the slot, and more beside the hole, the hole stays round, and that is told.
func TestCrampedSlot(t *testing.T) {
	p, b := wide(310, 10, geom.PtMM(5, 5), geom.PtMM(305, 5), geom.PtMM(160, 5))
	for at, want := range map[float64]int{1.2: 1, 1.5: 0} { // from the hole's edge; the slot reaches 0.4 beyond it
		p.Openings = []panel.Opening{{Contour: geom.Rect(geom.BoxOf(geom.PtMM(5+1.6+at, 2), geom.PtMM(20, 8)))}}
		mounts, held, slots, cramped := slotted(p, stack(), b)
		require.Len(t, cramped, want, at)
		require.Len(t, slots, 6-3*want)
		l := fasten.JudgeSlots(p, mounts, slots, cramped)
		require.Len(t, l, want)
		if want > 0 {
			require.Equal(t, "fasten-slot-cramped", l[0].Code)
			require.Contains(t, codesOf(fasten.JudgeSupport(p, b, held[0])), "fasten-slots")
		}
	}
}

// The head of an M3 screw is 5.6 across and a washer 7 (ISO 7045, ISO 7089: the same list, section 15). The slot of a screw 400 mm from
// the round one reaches 1.0 either way, and 3.6 from the screw that stands at its other end: a washer does not cover that, but at 250 mm.
func TestSlotsThatShow(t *testing.T) {
	for far, want := range map[float64]struct {
		sev    diag.Severity
		advice string
	}{400: {diag.Note, "a washer under the head that is 8 mm across"}, 270: {diag.Note, "a washer M3 under the head (ISO 7089), 7 mm across"}, 700: {diag.Warning, "11 mm across"}} {
		p, b := wide(10+far, 10, geom.PtMM(5, 5), geom.PtMM(5+far, 5))
		mounts, _, slots, cramped := slotted(p, stack(), b)
		l := fasten.JudgeSlots(p, mounts, slots, cramped)
		require.Len(t, l, 1)
		require.Equal(t, "fasten-slot-shows", l[0].Code)
		require.Equal(t, want.sev, l[0].Severity, far)
		require.Contains(t, l[0].Advice, want.advice)
		paneltest.Subjects(t, l)
	}
}

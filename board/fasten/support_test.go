package fasten_test

import (
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

// wide is a board of w by h with screws at the places, a through-hole lamp at 60, 30 and a chip resistor.
func wide(w, h float64, screws ...geom.Pt) (panel.Panel, board.Board) {
	p := panel.Panel{Name: "dome", Outline: geom.Rect(geom.Box{Max: geom.PtMM(w, h)})}
	b := board.Board{
		Name: "dome", Rules: board.UsualRules(), Laminate: board.Laminate{Thickness: geom.MM(1.6)}, Outline: p.Outline,
		Parts: []board.Part{
			{Ref: "D1", Kind: board.LED, At: geom.PtMM(60, 30), Height: geom.MM(6.1), Pads: []board.Pad{{Through: true, At: geom.PtMM(60, 30)}},
				Courtyard: geom.Ring{geom.PtMM(58, 28), geom.PtMM(62, 28), geom.PtMM(62, 32), geom.PtMM(58, 32)}},
			{Ref: "R1", Kind: board.Resistor, At: geom.PtMM(70, 10), Pads: []board.Pad{{At: geom.PtMM(70, 10)}}},
		},
	}
	for _, q := range screws {
		p.Mounts = append(p.Mounts, panel.Hole{At: q, D: geom.MM(3.2)})
		b.Holes = append(b.Holes, board.Hole{At: q, D: geom.MM(3.2), What: board.MountHole})
	}
	return p, b
}

func supported(p panel.Panel, b board.Board, s fasten.Stack, engraved ...geom.Region) fasten.Support {
	return fasten.SupportOf(p, b, fasten.Mounts(p, []board.Board{b}, s), s, material.UsualClimate(), engraved)
}

func corners(w, h, in float64) []geom.Pt {
	return []geom.Pt{geom.PtMM(in, in), geom.PtMM(w-in, in), geom.PtMM(w-in, h-in), geom.PtMM(in, h-in)}
}

// In the middle of 240 x 10 a place is 120 from screws at both ends: a span of 240, of which IPC-6012 allows 1.8 with surface-mount
// parts and 3.6 without (the project's list of published check values, section 22).
func TestBowBetweenScrews(t *testing.T) {
	p, b := wide(240, 10, geom.PtMM(0, 5), geom.PtMM(240, 5))
	b.Parts = b.Parts[1:] // the chip alone
	s := supported(p, b, stack())
	require.InDelta(t, 120, s.Distance.MM(), 1.5, "on a lattice of 2 mm")
	require.InDelta(t, 1.8, s.Flat.MM(), 0.03)
	p, b = wide(240, 10, geom.PtMM(0, 5), geom.PtMM(240, 5))
	b.Parts = b.Parts[:1]
	require.InDelta(t, 3.6, supported(p, b, stack()).Flat.MM(), 0.05)
}

// Within 100 mm of a screw nothing is proposed; beyond, one where there is room, not on the lamp that stands in the middle.
func TestFarFromScrews(t *testing.T) {
	p, b := wide(190, 60, corners(190, 60, 5)...)
	require.Empty(t, supported(p, b, stack()).Proposed)

	p, b = wide(240, 60, corners(240, 60, 5)...)
	b.Parts[0].At = geom.PtMM(120, 30)
	b.Parts[0].Courtyard = geom.Ring{geom.PtMM(118, 28), geom.PtMM(122, 28), geom.PtMM(122, 32), geom.PtMM(118, 32)}
	s := supported(p, b, stack())
	require.Greater(t, s.Distance, 100*geom.Millimetre)
	require.Len(t, s.Proposed, 1)
	require.Greater(t, s.Proposed[0].Dist(geom.PtMM(120, 30)), 7e6, "a washer and the lamp's body")
	l := fasten.JudgeSupport(p, b, s)
	require.Equal(t, "fasten-far", l[0].Code)
	require.Equal(t, diag.Note, l[0].Severity)
	require.Len(t, l[0].Related, 1)
	paneltest.Subjects(t, l)
	// With it drawn there is nothing left to tell.
	p.Mounts = append(p.Mounts, panel.Hole{At: s.Proposed[0], D: geom.MM(3.2)})
	b.Holes = append(b.Holes, board.Hole{At: s.Proposed[0], D: geom.MM(3.2), What: board.MountHole})
	require.Empty(t, supported(p, b, stack()).Proposed)
}

// Where none is drawn four are proposed near the corners, on the board and beside the lettering and the opening there.
func TestNoScrews(t *testing.T) {
	p, b := wide(90, 50)
	p.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(84, 6), geom.MM(6))}}
	word := geom.NewRegion(geom.Rect(geom.Box{Max: geom.PtMM(12, 8)}).Ring(geom.FlattenTolerance))
	s := supported(p, b, stack(), word)
	require.Zero(t, s.Screws)
	require.Len(t, s.Proposed, 4)
	for _, q := range s.Proposed {
		require.GreaterOrEqual(t, p.Outline.Ring(geom.FlattenTolerance).DistTo(q), 3.6e6, "%v: a hole of 3.2 and 2 for the head", q)
		require.Greater(t, word.DistTo(q), 4.5e6-1, "%v", q)
		require.Equal(t, geom.Outside, word.Locate(q))
		require.Greater(t, q.Dist(geom.PtMM(84, 6)), 7.4e6, "%v", q)
	}
	l := fasten.JudgeSupport(p, b, s)
	require.Len(t, l, 1)
	require.Equal(t, "shape-no-mount", l[0].Code)
	require.Equal(t, "shape-no-mount", l[0].Instead, "it takes the place of what is told without places")
	require.Len(t, l[0].Related, 4)
}

// A board without any room gets no places, and the finding of before stays.
func TestNoRoomForScrews(t *testing.T) {
	p, b := wide(90, 7)
	s := supported(p, b, stack())
	require.Empty(t, s.Proposed)
	require.Empty(t, fasten.JudgeSupport(p, b, s))
}

// Tips 1.5 from the diffuser are touched where board and diffuser bow by 1.5 and 1.3 over 200 and the LED sheet is 0.7 thin; tips 8 off
// are not.
func TestTipsTouch(t *testing.T) {
	p, b := wide(200, 10, geom.PtMM(0, 5), geom.PtMM(200, 5))
	s := cast()
	require.Positive(t, supported(p, b, s).Clear)
	s.Gap = geom.MM(1.5)
	held := supported(p, b, s)
	require.Negative(t, held.Clear)
	var codes []string
	for _, f := range fasten.JudgeSupport(p, b, held) {
		codes = append(codes, f.Code)
	}
	require.Contains(t, codes, "fasten-tips-touch")
}

// From 20 °C and 50 % to 40 and 80 acrylic grows by 0.00144 + 0.003 - 0.001667 and a board by 0.0003: 0.00247 more. Between screws 300
// apart that is 0.74, of which holes of 3.2 for M3 leave 0.4 at two of them; held fast it arches by √(3/8 · 300 · 0.34) = 6.2. Holes of
// 3.8 beside one that stays leave it all.
func TestGrowth(t *testing.T) {
	p, b := wide(310, 10, geom.PtMM(5, 5), geom.PtMM(305, 5), geom.PtMM(160, 5))
	s := supported(p, b, stack())
	require.Equal(t, geom.PtMM(160, 5), s.Round)
	require.InDelta(t, 0.742, s.Grows.MM(), 0.003)
	require.Equal(t, geom.MM(0.4), s.Play)
	require.Equal(t, geom.MM(3.4), s.Wider)
	require.InDelta(t, 6.2, fasten.Arch(s.Reach, s.Grows-s.Play).MM(), 0.05)
	var codes []string
	for _, f := range fasten.JudgeSupport(p, b, s) {
		codes = append(codes, f.Code)
	}
	require.Contains(t, codes, "fasten-growth")
	for i := range p.Mounts {
		p.Mounts[i].D = geom.MM(3.4)
	}
	require.Empty(t, fasten.JudgeSupport(p, b, supported(p, b, stack())))
	require.Zero(t, fasten.Arch(geom.MM(100), 0))
}

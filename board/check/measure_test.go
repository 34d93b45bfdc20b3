package check_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/check"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// TestMeasure: figures of the hand-made board, worked out by hand.
func TestMeasure(t *testing.T) {
	b, _ := focusBoard()
	f := check.Measure(context.Background(), b)
	require.Equal(t, 6, f.Nets)
	// V+: J1 J2 R1 R2 (3 joints); 0V: J1 J2 D2 D4 (3); S1.1, S1.2, S2.2: one each; S2.1: two, TP2 among them.
	require.Equal(t, 11, f.Connections)
	require.Zero(t, f.Unrouted)
	require.Equal(t, 1, f.Vias)
	require.Equal(t, geom.MM(0.4), f.MinTrack)
	require.Equal(t, geom.MM(0.25), f.MinRing, "the via: (0.9 - 0.4) / 2")
	require.Equal(t, geom.MM(0.4), f.MinDrill)
	// The nearest foreign copper is the two pads of an LED: 2.54 less 0.9 and 0.9.
	require.Equal(t, geom.MM(2.54-0.9-0.9), f.MinClearance)
	require.Equal(t, "annular ring", f.Tightest.Name)

	b.Tracks = b.Tracks[:4]
	b.Vias = nil
	f = check.Measure(context.Background(), b)
	require.Equal(t, 5, f.Unrouted)
	require.Equal(t, check.Figures{}, check.Measure(context.Background(), board.Board{}))
}

// TestBarelyLegal: at each limit exactly there is no finding, beyond the slack there is one.
func TestBarelyLegal(t *testing.T) {
	b, w := focusBoard()
	for _, c := range []struct {
		off  float64 // mm beyond the limit
		want bool
	}{{0, false}, {-0.0009, false}, {-0.0012, true}} {
		d := clone(b)
		// A V+ track beside the 0 V pad K of D2: 24.54 + 0.9 + clearance 0.2 + half of 0.4.
		x := 24.54 + 0.9 + 0.2 + 0.2 + c.off
		d.Tracks = append(d.Tracks, track(1, geom.Bottom, 0.4, x, 18.5, x, 22))
		require.Equal(t, c.want, hasCode(check.Audit(context.Background(), d, w).Sorted(), "check-copper-gap"), "%v", c.off)
	}
}

func hasCode(l diag.List, code string) bool {
	for _, f := range l {
		if f.Code == code {
			return true
		}
	}
	return false
}

// TestAuditSurvives throws boards at the audit that are nonsense in one or several places.
func TestAuditSurvives(t *testing.T) {
	good, w := focusBoard()
	check.Audit(context.Background(), board.Board{}, led.Wiring{})
	check.Audit(context.Background(), board.Board{}, w)
	check.Audit(context.Background(), good, led.Wiring{})
	r := rand.New(rand.NewPCG(3, 3))
	odd := []geom.Nm{0, -1, 1, 1000, geom.MM(5), -geom.MM(40), geom.MaxCoord, -geom.MaxCoord, geom.MaxCoord + 1, 1 << 62}
	some := func() geom.Nm { return odd[r.IntN(len(odd))] }
	for range 300 {
		b := clone(good)
		for range 1 + r.IntN(3) {
			switch r.IntN(12) {
			case 0:
				b.Tracks[r.IntN(len(b.Tracks))].Width = some()
			case 1:
				b.Tracks[r.IntN(len(b.Tracks))].Path[0] = geom.Pt{X: some(), Y: some()}
			case 2:
				b.Outline[r.IntN(len(b.Outline))].Pt = geom.Pt{X: some(), Y: some()}
			case 3:
				b.Outline[r.IntN(len(b.Outline))].Bulge = []float64{1e300, -1e9, 5, -3, 1e-300}[r.IntN(5)]
			case 4:
				p := &b.Parts[r.IntN(len(b.Parts))].Pads[0]
				p.W, p.H, p.Drill, p.Mask = some(), some(), some(), some()
			case 5:
				b.Areas[r.IntN(2)].Fill.Outer[r.IntN(4)] = geom.Pt{X: some(), Y: some()}
			case 6:
				b.Areas[r.IntN(2)].Fill.Holes = []geom.Ring{{}, {{X: some(), Y: some()}, {X: some(), Y: some()}, {X: some(), Y: some()}}}
			case 7:
				b.Vias[0] = board.Via{Net: led.NetID(r.IntN(9) - 1), At: geom.Pt{X: some(), Y: some()}, Drill: some(), D: some()}
			case 8:
				b.Parts[r.IntN(len(b.Parts))].Courtyard = geom.Ring{{X: some()}, {Y: some()}, {}, {X: some(), Y: some()}}
			case 9:
				b.Parts[r.IntN(len(b.Parts))].Body = geom.Ring{{X: some(), Y: some()}}
			case 10:
				b.Legend[0].Path, b.Legend[0].On = geom.Polyline{{X: some(), Y: some()}}, geom.Side(r.IntN(4))
			case 11:
				b.Keepout = append(b.Keepout, geom.Contour{{Pt: geom.Pt{X: some(), Y: some()}, Bulge: 1}, {Pt: geom.Pt{X: some(), Y: some()}}})
			}
		}
		check.Audit(context.Background(), b, w)
		check.Measure(context.Background(), b)
	}
}

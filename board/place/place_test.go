package place_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
	"lampblack/board/place"
	"lampblack/board/shape"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
)

func rect(x0, y0, x1, y1 float64) geom.Contour {
	return geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1)))
}

// placed shapes and places a panel with the plain test wiring.
func placed(t testing.TB, p panel.Panel, opt place.Options) (board.Board, led.Wiring, place.Figures, diag.List) {
	bare, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	require.False(t, l.HasErrors(), "%v", l)
	w := boardtest.Wiring(p)
	b, fig, found := place.Place(context.Background(), bare, p, w, opt)
	paneltest.Subjects(t, found)
	return b, w, fig, found
}

// yardAndBody returns the boxes of a part's outlines.
func yardAndBody(p board.Part) (yard, body geom.Box) { return p.Courtyard.Box(), p.Body.Box() }

// overlapping reports whether two boxes share more than a border.
func overlapping(a, b geom.Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// ringDist is the distance of two outlines, measured edge by edge.
func ringDist(a, b geom.Ring) float64 {
	best := math.Inf(1)
	for _, s := range a.Segments() {
		for _, u := range b.Segments() {
			best = min(best, s.Dist(u))
		}
	}
	return best
}

// audit checks a placement against the rules by brute force, with none of the placer's own indices.
func audit(t *testing.T, b board.Board, w led.Wiring, name string) {
	r := b.Rules
	area := b.Material()
	edges := area.Rings()
	var copper []geom.Ring // by pad, in order
	type owner struct{ part, pad int }
	var owners []owner
	b.Pads(func(i, k int) bool {
		copper = append(copper, b.Parts[i].Pads[k].Contour(0).Ring(geom.FlattenTolerance))
		owners = append(owners, owner{i, k})
		return true
	})
	for n, c := range copper {
		part := b.Parts[owners[n].part]
		pad := part.Pads[owners[n].pad]
		for _, e := range edges {
			if e.DistTo(pad.At) > float64(r.CopperToEdge)+float64(max(pad.W, pad.H)) {
				continue
			}
			require.GreaterOrEqual(t, ringDist(c, e), float64(r.CopperToEdge)-3000, "%s: %s.%s to the edge", name, part.Ref, pad.Pin)
		}
		require.Equal(t, geom.Inside, area.Locate(pad.At), "%s: %s.%s is on the board", name, part.Ref, pad.Pin)
		for _, h := range b.Holes {
			clear := r.CopperToHole
			if h.What == board.MountHole {
				clear = r.ScrewClear
			}
			require.GreaterOrEqual(t, c.DistTo(h.At)-float64(h.D)/2, float64(clear)-3000, "%s: %s.%s to a hole", name, part.Ref, pad.Pin)
		}
		for m := range n {
			other := b.Parts[owners[m].part]
			q := other.Pads[owners[m].pad]
			if owners[n].part == owners[m].part || pad.At.Dist(q.At) > 4e6 || !pad.Through && !q.Through && pad.On != q.On {
				continue
			}
			require.GreaterOrEqual(t, ringDist(c, copper[m]), float64(r.Clearance)-3000, "%s: %s.%s to %s.%s", name, part.Ref, pad.Pin, other.Ref, q.Pin)
		}
	}
	for i, p := range b.Parts {
		yard, body := yardAndBody(p)
		for _, h := range b.Holes {
			if h.What == board.MountHole {
				nearest := geom.Pt{X: min(max(h.At.X, body.Min.X), body.Max.X), Y: min(max(h.At.Y, body.Min.Y), body.Max.Y)}
				require.GreaterOrEqual(t, nearest.Dist(h.At), float64(h.D/2+r.ScrewClear)-3000, "%s: %s under a screw head", name, p.Ref)
			}
		}
		if p.Kind != board.LED {
			require.Equal(t, geom.Bottom, p.On, "%s: %s", name, p.Ref)
			for _, c := range p.Courtyard {
				require.Equal(t, geom.Inside, area.Locate(c), "%s: %s is on the board", name, p.Ref)
			}
		}
		for _, q := range b.Parts[:i] {
			other, otherBody := yardAndBody(q)
			if p.On == q.On {
				require.False(t, overlapping(yard, other), "%s: courtyards of %s and %s overlap", name, p.Ref, q.Ref)
				continue
			}
			// One of the two is an LED on the top: its leads come out at the bottom, and the joints of the other's leads
			// at the top.
			lamp, under, lampBody := q, p, otherBody
			if p.Kind == board.LED {
				lamp, under, lampBody = p, q, body
			}
			for _, pad := range lamp.Pads {
				require.False(t, pad.Through && overlapping(pad.Contour(0).Box(), under.Courtyard.Box()), "%s: %s on the leads of %s", name, under.Ref, lamp.Ref)
			}
			for _, pad := range under.Pads {
				require.False(t, pad.Through && overlapping(pad.Contour(0).Box(), lampBody), "%s: a joint of %s under %s", name, under.Ref, lamp.Ref)
			}
		}
	}
	auditNets(t, b, w, name)
}

// auditNets checks that every pin carries the net of the wiring: LEDs by the function of the pin, not its place.
func auditNets(t *testing.T, b board.Board, w led.Wiring, name string) {
	require.Equal(t, w.Nets, b.Nets)
	require.Len(t, b.Parts, len(w.LEDs)+len(w.Resistors)+len(w.Connectors), name)
	byRef := map[string]board.Part{}
	for _, p := range b.Parts {
		byRef[p.Ref] = p
	}
	for _, d := range w.LEDs {
		for _, pad := range byRef[d.Ref].Pads {
			want := map[string]led.NetID{"A": d.Anode, "K": d.Cathode}[pad.Function]
			require.Equal(t, want, pad.Net, "%s: %s.%s", name, d.Ref, pad.Function)
		}
	}
	for _, r := range w.Resistors {
		pads := byRef[r.Ref].Pads
		require.Equal(t, [2]led.NetID{r.From, r.To}, [2]led.NetID{pads[0].Net, pads[1].Net}, "%s: %s", name, r.Ref)
	}
	for _, c := range w.Connectors {
		pads := byRef[c.Ref].Pads
		require.Equal(t, c.Pins, []led.NetID{pads[0].Net, pads[1].Net}, "%s: %s", name, c.Ref)
		require.Equal(t, c.Role, byRef[c.Ref].Role)
	}
}

func TestPlaceRandomPanels(t *testing.T) {
	refused := 0
	for seed := range uint64(16) {
		n := 6 + int(seed)*20
		p := boardtest.Panel(seed, n)
		b, w, fig, found := placed(t, p, place.Options{})
		if found.HasErrors() {
			t.Logf("seed %d, %d LEDs: %v", seed, n, found.Err())
			refused++
			continue
		}
		name := fmt.Sprintf("seed %d", seed)
		audit(t, b, w, name)
		require.GreaterOrEqual(t, fig.Hops, fig.LowerHops, name)
		require.Zero(t, fig.Turned)

		again, _, figAgain, _ := placed(t, p, place.Options{})
		require.Equal(t, b, again, "%s: same input, same board", name)
		require.Equal(t, fig, figAgain)
	}
	// The generator leaves room for everything but, now and then, two connectors at the edge.
	require.LessOrEqual(t, refused, 1)
}

func TestKeepTurn(t *testing.T) {
	p := boardtest.Panel(3, 40)
	free, _, figFree, _ := placed(t, p, place.Options{})
	b, w, fig, found := placed(t, p, place.Options{KeepTurn: true})
	require.False(t, found.HasErrors())
	audit(t, b, w, "one way")
	count := map[int]int{}
	for _, q := range b.Parts {
		if q.Kind == board.LED {
			count[q.Turn]++
		}
	}
	most := 0
	for _, n := range count {
		most = max(most, n)
	}
	require.Equal(t, len(p.LEDs)-fig.Turned, most)
	require.LessOrEqual(t, figFree.Hops, fig.Hops, "free turns are never worse")
	require.Positive(t, fig.TurnCost)
	require.Zero(t, figFree.TurnCost)
	require.NotEqual(t, free, b)
	require.Empty(t, found)
}

// Three LEDs in a row, 10 mm apart: each cathode faces the next anode, so that both hops are 10 - 2.54 mm long, which
// is the bound.
func TestTurnsOfARow(t *testing.T) {
	p := panel.Panel{
		Name: "focus", Outline: rect(0, 0, 60, 40), Mounts: []panel.Hole{{At: geom.PtMM(6, 6), D: geom.MM(3.2)}},
		LEDs: []panel.Hole{{At: geom.PtMM(20, 25), D: geom.MM(3)}, {At: geom.PtMM(30, 25), D: geom.MM(3)}, {At: geom.PtMM(40, 25), D: geom.MM(3)}},
	}
	b, w, fig, found := placed(t, p, place.Options{})
	require.Empty(t, found)
	audit(t, b, w, "row")
	require.Equal(t, geom.MM(2*(10-2.54)), fig.Hops)
	require.Equal(t, fig.LowerHops, fig.Hops)
	// They stand one way by themselves.
	_, _, same, found := placed(t, p, place.Options{KeepTurn: true})
	require.Empty(t, found)
	require.Zero(t, same.TurnCost)
	for _, q := range b.Parts[:3] {
		for _, pad := range q.Pads {
			require.Equal(t, pad.Function == "K", pad.At.X > q.At.X, "%s: the cathode looks to the next LED, on the right", q.Ref)
		}
	}
}

func TestConnectorsFaceOutward(t *testing.T) {
	p := boardtest.Panel(5, 30)
	mid := p.Outline.Box().Centre()
	for _, c := range []struct {
		in, out place.Edge
	}{{place.Auto, place.Auto}, {place.Bottom, place.Top}, {place.Right, place.Left}} {
		b, w, _, found := placed(t, p, place.Options{In: c.in, Out: c.out})
		require.False(t, found.HasErrors())
		audit(t, b, w, "connectors")
		for _, q := range b.Parts {
			if q.Kind != board.Connector {
				continue
			}
			want := map[bool]place.Edge{true: c.in, false: c.out}[q.Role == led.In]
			if want == place.Auto {
				want = map[bool]place.Edge{true: place.Left, false: place.Right}[q.Role == led.In]
			}
			dir := map[place.Edge]geom.Vec{place.Left: {X: -1}, place.Right: {X: 1}, place.Bottom: {Y: -1}, place.Top: {Y: 1}}[want]
			require.Positive(t, q.At.Sub(mid).Dot(dir), "%s stands at the wished edge", q.Ref)
			// Wires leave along -Y of the footprint, turned.
			require.Equal(t, dir, geom.Vec{Y: -1}.Turned(q.Turn), "%s faces outward", q.Ref)
		}
	}
}

func TestNoRoom(t *testing.T) {
	// A board hardly larger than its LEDs.
	p := panel.Panel{Name: "tiny", Outline: rect(0, 0, 12, 9), LEDs: []panel.Hole{{At: geom.PtMM(6, 4.5), D: geom.MM(3)}}}
	_, _, _, found := placed(t, p, place.Options{})
	require.True(t, found.HasErrors())
	for _, f := range found {
		require.NotEmpty(t, f.Advice)
		require.NotNil(t, f.Place.At)
		require.Equal(t, "tiny", f.Panel)
	}
}

func TestUnknownPackage(t *testing.T) {
	p := boardtest.Panel(1, 6)
	bare, _ := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	w := boardtest.Wiring(p)
	w.Resistors[0].Package = "9999"
	_, _, found := place.Place(context.Background(), bare, p, w, place.Options{})
	paneltest.Subjects(t, found)
	require.Len(t, found, 1)
	require.Equal(t, "place-unknown-package", found[0].Code)
}

func BenchmarkPlace(b *testing.B) {
	for _, n := range []int{60, 500} {
		p := boardtest.Panel(7, n)
		bare, _ := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
		w := boardtest.Wiring(p)
		b.Run(fmt.Sprintf("%d-LEDs", n), func(b *testing.B) {
			var fig place.Figures
			for b.Loop() {
				_, fig, _ = place.Place(context.Background(), bare, p, w, place.Options{})
			}
			b.ReportMetric(float64(fig.Hops)/float64(max(fig.LowerHops, 1)), "hops/bound")
			b.ReportMetric(float64(fig.Heads)/1e6/float64(len(w.Resistors)), "mm/head")
		})
	}
}

// lamps returns LED holes on a square grid.
func lamps(n int, pitch, margin float64) panel.Panel {
	size := float64(n-1)*pitch + 2*margin
	p := panel.Panel{Name: "dense", Outline: rect(0, 0, size, size)}
	for i := range n {
		for k := range n {
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(margin+float64(i)*pitch, margin+float64(k)*pitch), D: geom.MM(3)})
		}
	}
	return p
}

// On a grid of 7 mm with 8.5 mm free round it there is no room for terminals, but for wire pads, whose strain-relief
// holes come along.
func TestSmallerConnector(t *testing.T) {
	b, w, _, found := placed(t, lamps(8, 7, 9.5), place.Options{})
	require.False(t, found.HasErrors(), "%v", found)
	audit(t, b, w, "dense")
	relief := 0
	for _, h := range b.Holes {
		if h.What == board.StrainRelief {
			relief++
		}
	}
	require.Equal(t, 4, relief)
	require.Len(t, found, 2)
	require.Equal(t, "place-smaller-connector", found[0].Code)
}

// At 4.4 mm two LEDs in line would touch (4.4 - 2.54 - 1.8 = 0.06 mm): rows and columns must be turned alternately,
// which no string can do by itself.
func TestBreakout(t *testing.T) {
	b, _, _, found := placed(t, lamps(8, 4.4, 10), place.Options{})
	require.False(t, found.HasErrors(), "%v", found)
	for i, p := range b.Parts[:64] {
		for _, q := range b.Parts[:i] {
			for _, u := range p.Pads {
				for _, v := range q.Pads {
					if u.At.Dist(v.At) < 4e6 {
						d := ringDist(u.Contour(0).Ring(geom.FlattenTolerance), v.Contour(0).Ring(geom.FlattenTolerance))
						require.GreaterOrEqual(t, d, float64(b.Rules.Clearance), "%s to %s", p.Ref, q.Ref)
					}
				}
			}
		}
	}
}

func codesOf(l diag.List) []string {
	var out []string
	for _, f := range l {
		out = append(out, f.Code)
	}
	return out
}

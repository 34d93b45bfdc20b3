package shape_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest"
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

func lamp(x, y float64) panel.Hole { return panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3)} }

func screw(x, y float64) panel.Hole { return panel.Hole{At: geom.PtMM(x, y), D: geom.MM(3.2)} }

func opening(c geom.Contour) panel.Opening { return panel.Opening{Contour: c} }

// codes returns "severity code" of each finding.
func codes(l diag.List) string {
	var out []string
	for _, f := range l {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return strings.Join(out, ", ")
}

// Areas and findings that can be worked out by hand: margin 1, clearance 1, both with round corners of radius 1.
func TestDerive(t *testing.T) {
	dome := func(edit func(*panel.Panel)) panel.Panel {
		p := panel.Panel{
			Name: "dome", Outline: rect(0, 0, 100, 60),
			LEDs: []panel.Hole{lamp(20, 50), lamp(80, 50)}, Mounts: []panel.Hole{screw(6, 6)},
		}
		edit(&p)
		return p
	}
	cases := []struct {
		name    string
		panel   panel.Panel
		area    float64 // mm²
		cutouts int
		arcs    int // edges that are arcs, cutouts included
		want    string
	}{
		{"plain rectangle", dome(func(p *panel.Panel) {}), 98 * 58, 0, 0, ""},
		{"rectangular opening", dome(func(p *panel.Panel) {
			p.Openings = []panel.Opening{opening(rect(40, 20, 60, 30))}
		}), 98*58 - (20*10 + 2*30 + math.Pi), 1, 4, ""},
		{"round body", dome(func(p *panel.Panel) {
			p.Bodies = []geom.Contour{geom.Circle(geom.PtMM(50, 30), geom.MM(12))}
		}), 98*58 - 49*math.Pi, 1, 2, ""},
		{"L-shape: the inside corner gets radius 1", dome(func(p *panel.Panel) {
			p.Outline = geom.Straight(geom.PtMM(0, 0), geom.PtMM(100, 0), geom.PtMM(100, 60), geom.PtMM(60, 60), geom.PtMM(60, 30), geom.PtMM(0, 30))
			p.LEDs = []panel.Hole{lamp(20, 20), lamp(80, 50)}
		}), 98*58 - 60*30 + (1 - math.Pi/4), 0, 1, ""},
		{"round panel", dome(func(p *panel.Panel) {
			p.Outline = geom.Circle(geom.PtMM(50, 50), geom.MM(100))
			p.Mounts = []panel.Hole{screw(50, 10)}
		}), 49 * 49 * math.Pi, 0, 2, ""},
		{"a strip of 2 mm beside an opening goes", dome(func(p *panel.Panel) {
			p.Openings = []panel.Opening{opening(rect(40, 4, 60, 30))}
			// 1 mm margin, 3 mm to the opening, 1 mm clearance: 2 mm are left. The cut ends of the strip follow discs of
			// radius 2 that touch edge and opening: see below.
		}), 98*58 - (22*30 - 2*(1-math.Pi/4)) + stripEnds(2, 2), 0, -1, ""},
		{"no mount", dome(func(p *panel.Panel) { p.Mounts = nil }), 98 * 58, 0, 0, "warning shape-no-mount"},
		{"mount in the margin", dome(func(p *panel.Panel) { p.Mounts = append(p.Mounts, screw(0.5, 30)) }), 98*58 - beyond(3.6, 0.5), 0, 1, "note shape-mount-off"},
		{"mount at the edge", dome(func(p *panel.Panel) { p.Mounts = append(p.Mounts, screw(3, 30)) }), 98*58 - beyond(3.6, -2), 0, 1, "note shape-mount-off"},
		{"mount just on the board", dome(func(p *panel.Panel) { p.Mounts = append(p.Mounts, screw(3.4, 30)) }), 98 * 58, 0, 0, ""},
		{"mounts of a rack, two of them off a drawn edge", dome(func(p *panel.Panel) {
			p.Mounts = append(p.Mounts, screw(97, 3), screw(97, 57))
			p.Boards = []panel.Edge{{rect(2, 2, 90, 58)}}
		}), 88 * 56, 0, 0, "note shape-mount-off"},
		{"mount over a drawn edge", dome(func(p *panel.Panel) {
			p.Mounts = append(p.Mounts, screw(91, 30))
			p.Boards = []panel.Edge{{rect(2, 2, 90, 58)}}
		}), 88 * 56, 0, 0, "error shape-mount-edge"},
		{"LED outside", dome(func(p *panel.Panel) { p.LEDs = append(p.LEDs, lamp(120, 30)) }), 98 * 58, 0, 0, "error shape-led-outside"},
		{"LED at the edge", dome(func(p *panel.Panel) { p.LEDs = append(p.LEDs, lamp(50, 2.3)) }), 98 * 58, 0, 0, "error shape-led-edge"},
		{"LED just in", dome(func(p *panel.Panel) { p.LEDs = append(p.LEDs, lamp(50, 2.4)) }), 98 * 58, 0, 0, ""},
		{"LED under a screw", dome(func(p *panel.Panel) { p.LEDs = append(p.LEDs, lamp(10, 6)) }), 98 * 58, 0, 0, "error shape-led-mount"},
		{"LEDs touch", dome(func(p *panel.Panel) { p.LEDs = append(p.LEDs, lamp(24.1, 50)) }), 98 * 58, 0, 0, "error shape-led-led"},
		{"LEDs just apart: courtyards of 4.2", dome(func(p *panel.Panel) { p.LEDs = append(p.LEDs, lamp(24.21, 50)) }), 98 * 58, 0, 0, ""},
		{"cut in two", dome(func(p *panel.Panel) { p.Bodies = []geom.Contour{rect(45, -1, 55, 61)} }),
			43 * 58, 0, 0, "error shape-board-cut"},
		{"drawn edge", dome(func(p *panel.Panel) {
			p.Boards = []panel.Edge{{rect(2, 2, 98, 58), geom.Circle(geom.PtMM(50, 30), geom.MM(10))}}
		}), 96*56 - 25*math.Pi, 1, 2, ""},
		{"drawn edge over a body", dome(func(p *panel.Panel) {
			p.Boards = []panel.Edge{{rect(2, 2, 98, 58)}}
			p.Bodies = []geom.Contour{rect(40, 20, 60, 30)}
		}), 96 * 56, 0, 0, "error shape-board-on-body"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b, l := shape.Derive(c.panel, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
			require.Equal(t, c.want, codes(l), "%v", l)
			paneltest.Subjects(t, l)
			area, arcs := b.Outline.Area(), 0
			for _, k := range b.Cutouts {
				area -= k.Area()
				require.Negative(t, k.SignedArea(), "cutouts run clockwise")
			}
			for _, k := range append([]geom.Contour{b.Outline}, b.Cutouts...) {
				for _, e := range k.Edges() {
					if !e.Straight() {
						arcs++
					}
				}
			}
			require.Positive(t, b.Outline.SignedArea(), "the outline runs counter-clockwise")
			require.Len(t, b.Cutouts, c.cutouts)
			// Flattening misses an arc by 2 µm at most, so that arcs of some tens of mm move areas by hundredths of mm².
			require.InDelta(t, c.area, area, 0.02+float64(max(arcs, 1)-1)*0.03)
			if c.arcs >= 0 {
				require.Equal(t, c.arcs, arcs, "%v", b.Outline)
			}
		})
	}
}

// beyond is the area of the part of a disc of radius r that lies more than d beyond its middle.
func beyond(r, d float64) float64 { return r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d) }

// stripEnds is the area that stays at both ends of a strip of width w that is cut away between wide boards, counted
// from the opening's grown flank: a disc of radius d rolls in from the wide side until it touches both edges of the
// mouth, the straight one and the opening's corner, which is an arc of radius 1. It is negative when the disc keeps out
// in front of the flank.
//
// The disc's centre is at height d over the straight edge, the corner's centre at height w+1, at the opening's side. They
// touch when the centres are d+1 apart: h² = (d+1)² - (w+1-d)².
func stripEnds(d, w float64) float64 {
	h := math.Sqrt((d+1)*(d+1) - (w+1-d)*(w+1-d))
	// The opening's side stands at x = 0, its grown flank at x = -1, the disc's centre at (-h, d).
	const n = 200000
	sum := 0.0
	for i := range n {
		y := (w + 1) * (float64(i) + 0.5) / n
		// Right end of what stays at this height: the disc's right side, or the straight flank over the touching point.
		disc := -h + math.Sqrt(math.Max(0, d*d-(y-d)*(y-d)))
		touch := d + (w+1-d)*d/(d+1)
		flank := -1.0
		if y > w {
			flank = -math.Sqrt(math.Max(0, 1-(y-w-1)*(y-w-1)))
		}
		right := disc
		if y > touch {
			right = flank
		}
		sum += (right - -1.0) * (w + 1) / n
	}
	return 2 * sum
}

func TestFindingsSayHowMuch(t *testing.T) {
	p := panel.Panel{
		Name: "dome", Outline: rect(0, 0, 100, 60), Mounts: []panel.Hole{screw(50, 30)},
		LEDs: []panel.Hole{lamp(30, 2.15)},
	}
	_, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	require.Len(t, l, 1)
	// Edge at 1.0; pads reach 0.9 below the centre; 0.5 must stay: 2.4 - 2.15.
	require.Contains(t, l[0].Text, "0.25 mm are missing")
	require.Equal(t, &diag.Point{X: 30, Y: 2.15}, l[0].Place.At)
	require.Equal(t, "dome", l[0].Panel)
	require.NotEmpty(t, l[0].Advice)
}

// A panel whose only way round the display is 3 mm wide: kept, with a warning, because LEDs hang on it.
func TestNarrowNeckIsKeptForLEDs(t *testing.T) {
	p := panel.Panel{
		Name: "focus", Outline: rect(0, 0, 100, 60), Mounts: []panel.Hole{screw(10, 10)},
		LEDs:     []panel.Hole{lamp(10, 50), lamp(90, 50)},
		Openings: []panel.Opening{opening(rect(20, 5, 80, 60.5))},
	}
	b, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
	require.Equal(t, "warning shape-narrow-neck", codes(l))
	paneltest.Subjects(t, l)
	area := b.Material()
	require.Equal(t, geom.Inside, area.Locate(geom.PtMM(50, 2.5)))
	require.Equal(t, geom.Inside, area.Locate(geom.PtMM(90, 50)))
}

// Beside a notch that ends 1 mm before the board's corner a strip of laminate 1 mm wide and a little over 1 mm long would stick
// out: too short to be a strip of its own, too thin to last. It is cut off and told; a stub as wide as it is long stays.
func TestNeedlesAreCutOff(t *testing.T) {
	for _, c := range []struct {
		to   float64 // right end of the notch; its room reaches 1 mm further
		deep float64 // of the room, into the board
		kept bool
		want string
	}{
		{97, 1.2, false, "note shape-needle"},
		{97.2, 1.3, false, "note shape-needle"},
		{97, 0.4, true, ""},   // no more than a burr
		{95.9, 1.2, true, ""}, // 2.1 mm wide
	} {
		p := panel.Panel{
			Name: "dome", Outline: rect(0, 0, 100, 60), Mounts: []panel.Hole{screw(10, 30)}, LEDs: []panel.Hole{lamp(20, 50)},
			Openings: []panel.Opening{opening(rect(40, -2, c.to, c.deep))},
		}
		b, l := shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
		require.Equal(t, c.want, codes(l), "%v", c)
		paneltest.Subjects(t, l)
		got := b.Material()
		at := geom.PtMM((c.to+1+99)/2, 1.2)
		require.Equal(t, c.kept, got.Locate(at) == geom.Inside, "%v", c)
		require.Equal(t, geom.Inside, got.Locate(geom.PtMM(98.5, 1+c.deep+1)), "the corner above it stays")
	}
}

// On random panels the board keeps its distances, measured on the flattened shapes.
func TestBoardKeepsClear(t *testing.T) {
	r := board.UsualRules()
	for seed := range uint64(25) {
		p := boardtest.Panel(seed, 6+int(seed)*9)
		b, l := shape.Derive(p, led.Wiring{}, r, board.FloorsOf(r, nil), board.UsualLaminate())
		require.False(t, l.HasErrors(), "seed %d: %v", seed, l)
		const slack = 12_000 // nm: flattening of both shapes, arcs recovered, cuts
		outer := p.Outline.Ring(geom.FlattenTolerance)
		var keepout []geom.Ring
		for _, k := range b.Keepout {
			keepout = append(keepout, k.Ring(geom.FlattenTolerance))
		}
		area := b.Material()
		for _, ring := range area.Rings() {
			for _, q := range ring {
				require.Equal(t, geom.Inside, outer.Locate(q), "seed %d", seed)
				require.GreaterOrEqual(t, outer.DistTo(q), float64(r.Margin)-slack, "seed %d: %v", seed, q)
				for _, kr := range keepout {
					require.Equal(t, geom.Outside, kr.Locate(q), "seed %d", seed)
					require.GreaterOrEqual(t, kr.DistTo(q), float64(r.BodyClearance)-slack, "seed %d: %v", seed, q)
				}
			}
		}
		for _, led := range p.LEDs {
			require.Equal(t, geom.Inside, area.Locate(led.At), "seed %d", seed)
		}
		again, _ := shape.Derive(p, led.Wiring{}, r, board.FloorsOf(r, nil), board.UsualLaminate())
		require.Equal(t, b, again, "seed %d: same input, same board", seed)
	}
}

// Whatever the drawing, there is an answer.
func TestDeriveSurvives(t *testing.T) {
	r := board.UsualRules()
	for i, p := range []panel.Panel{
		{},
		{Outline: rect(0, 0, 1, 1)},
		{Outline: rect(0, 0, 50, 50), Bodies: []geom.Contour{rect(-5, -5, 60, 60)}},
		{Outline: rect(0, 0, 50, 50), Bodies: []geom.Contour{{}, geom.Straight(geom.PtMM(1, 1)), geom.Straight(geom.PtMM(1, 1), geom.PtMM(9, 9))}},
		{Outline: rect(0, 0, 50, 50), Boards: []panel.Edge{{{}}}},
		{Outline: geom.Straight(geom.PtMM(0, 0), geom.PtMM(50, 50), geom.PtMM(50, 0), geom.PtMM(0, 50)), LEDs: []panel.Hole{lamp(10, 25)}},
	} {
		require.NotPanics(t, func() { shape.Derive(p, led.Wiring{}, r, board.FloorsOf(r, nil), board.UsualLaminate()) }, fmt.Sprint(i))
	}
	_, l := shape.Derive(panel.Panel{Name: "dome", Outline: rect(0, 0, 1, 1)}, led.Wiring{}, r, board.FloorsOf(r, nil), board.UsualLaminate())
	require.Equal(t, "error shape-no-room", codes(l))
	paneltest.Subjects(t, l)
}

func BenchmarkDerive(b *testing.B) {
	for _, n := range []int{60, 500} {
		p := boardtest.Panel(7, n)
		b.Run(fmt.Sprintf("%d-LEDs", n), func(b *testing.B) {
			for b.Loop() {
				shape.Derive(p, led.Wiring{}, board.UsualRules(), board.FloorsOf(board.UsualRules(), nil), board.UsualLaminate())
			}
			b.ReportMetric(float64(len(p.Openings)+len(p.Bodies)), "shapes")
		})
	}
}

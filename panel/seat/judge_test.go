package seat_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

// at is a round opening.
func at(x, y, d float64) panel.Opening {
	return panel.Opening{Contour: geom.Circle(geom.PtMM(x, y), geom.MM(d))}
}

// judged returns what is told of a panel of 200 x 100 with openings and the kinds that sit in them.
func judged(t *testing.T, w seat.Wish, more func(*panel.Panel), openings []panel.Opening, told ...seat.Told) diag.List {
	t.Helper()
	p := panel.Panel{Name: "dome", Outline: rect(0, 0, 200, 100), Openings: openings}
	if more != nil {
		more(&p)
	}
	return seat.Judge(sits(t, p, w, told...), w.Stack, 0)
}

func codes(l diag.List) []string {
	out := []string{}
	for _, f := range l {
		out = append(out, f.Code)
	}
	return slices.Compact(out)
}

// flat is an opening of diameter d round a place whose upper side is flat, across from the lower one to there.
func flat(x, y, d, across float64) panel.Opening {
	r, up := d/2, across-d/2
	half := math.Sqrt(r*r - up*up)
	// The arc goes round below by 360° less what the chord cuts off; its bulge is the tangent of a quarter of that.
	sweep := 2*math.Pi - 2*math.Acos(up/r)
	return panel.Opening{Contour: geom.Contour{
		{Pt: geom.PtMM(x-half, y+up), Bulge: math.Tan(sweep / 4)},
		{Pt: geom.PtMM(x+half, y+up)},
	}}
}

// keySwitch has a bush of 10 that is flat on one side, 8.5 across.
func keySwitch() control.Kind {
	return control.Kind{Name: "key-lock", Use: control.Selector, Hole: control.Extent{W: mm(10.2)}, Bush: mm(10), Flat: mm(8.5), Thread: mm(14), Nut: mm(14), NutThick: mm(2),
		Body: control.Extent{W: mm(16)}, Depth: mm(20), ShaftLength: mm(15), Shaft: mm(6)}
}

// An opening that is flat on one side tells where the axis is, which is not the middle of its box, and which way a flattened bush stands:
// every sheet that is clamped has its flat on that side.
func TestFlattened(t *testing.T) {
	for q := range 4 {
		o := flat(50, 40, 10.2, 8.7)
		o.Contour = o.Contour.Turned(geom.PtMM(50, 40), 90*q)
		p := one(10.2)
		p.Openings[0] = o
		w := seat.Wish{Stack: stack()}
		p = sits(t, p, w, seat.Told{Kind: keySwitch(), Clamps: panel.ClampsStack})
		c := p.Controls[0]
		require.InDelta(t, 0, c.At.Dist(geom.PtMM(50, 40)), 2, "the axis, in nanometres")
		require.Equal(t, q, c.Quarters)
		for _, s := range []panel.Sheet{panel.DiffuserSheet, panel.LEDSheet} {
			for _, cut := range p.Cuts(s) {
				g, h := geom.NewRegion(cut.Ring(1000)), geom.NewRegion(o.Ring(1000))
				require.InDelta(t, 0, g.Minus(h).Area()+h.Minus(g).Area(), 0.05, "turned by %d", q)
			}
		}
		for _, f := range seat.Judge(p, w.Stack, 0) {
			require.NotContains(t, f.Code, "opening", f.Text)
		}
	}
}

// A knob that is wider than its opening ends before the face, however deep its shaft begins.
func TestKnobStaysInFront(t *testing.T) {
	for d, end := range map[float64]float64{7.2: 0, 21: 4} { // 18 of shaft in front of a bush that ends 10 behind the front; 12 of it are a knob's
		p := sits(t, one(d), seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "pot-7mm"), Clamps: panel.ClampsLEDSheet})
		for _, q := range seat.Pieces(p, p.Controls[0]) {
			if q.What == seat.Handle {
				require.Equal(t, [2]geom.Nm{mm(-8), mm(end)}, [2]geom.Nm{q.From, q.To}, "an opening of %v", d)
			}
		}
	}
}

// Every fault is told, and a panel without it is not: of each pair the first has it.
func TestFaults(t *testing.T) {
	plain := seat.Wish{Stack: stack()}
	behind := seat.Wish{Stack: stack(), Said: true} // on the LED sheet
	plated := seat.Wish{Stack: stack()}
	plated.Stack.Plate = mm(1.6)
	thin := seat.Wish{Stack: stack()}
	thin.Stack.Plate = mm(0.5)
	led := func(x, y float64) func(*panel.Panel) {
		return func(p *panel.Panel) { p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(x, y), D: mm(3)}) }
	}
	mount := func(x, y float64) func(*panel.Panel) {
		return func(p *panel.Panel) { p.Mounts = append(p.Mounts, panel.Hole{At: geom.PtMM(x, y), D: mm(3.2)}) }
	}
	body := func(w, h float64) func(*panel.Panel) {
		return func(p *panel.Panel) { p.Bodies = append(p.Bodies, rect(50-w/2, 50-h/2, 50+w/2, 50+h/2)) }
	}
	one := func(name string) []seat.Told { return []seat.Told{{Kind: kind(t, name)}} }
	two := func(a, b string) []seat.Told { return append(one(a), one(b)...) }
	on := func(name string, c panel.Clamp) []seat.Told { return []seat.Told{{Kind: kind(t, name), Clamps: c}} }
	keyed := func(c panel.Clamp) []seat.Told { return []seat.Told{{Kind: keySwitch(), Clamps: c}} }
	longer := kind(t, "toggle-m12")
	longer.ShaftLength = mm(30)
	for _, c := range []struct {
		code     string
		w        seat.Wish
		more     func(*panel.Panel)
		openings []panel.Opening
		told     []seat.Told
		none     func(*panel.Panel) // as more, without the fault; nil: see well
		well     []panel.Opening
		toldWell []seat.Told
	}{
		// 11.5 of thread do not go through 17 of sheets and gap, but through 6.
		{"control-thread-short", plain, nil, []panel.Opening{at(50, 50, 12.2)}, on("toggle-m12", panel.ClampsStack), nil, nil, one("toggle-m12")},
		// 4.5 of a jack's thread hold no nut of 1.5 on 3.2 mm, as builders of modules know, who use 1.5 to 2 mm.
		{"control-thread-short", seat.Wish{Stack: seat.Stack{Face: mm(3.2), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}}, nil, []panel.Opening{at(50, 50, 6.2)}, one("jack-3.5mm"),
			nil, []panel.Opening{at(50, 50, 7.2)}, one("pot-7mm")},
		// A data sheet's panel of 0.5 to 3.2.
		{"control-sheet-thick", plain, nil, []panel.Opening{at(50, 50, 16.2)}, on("push-16mm", panel.ClampsDiffuser), nil, nil, on("push-16mm", panel.ClampsFace)},
		// A locking tab wants a panel of 1.3 or more (section 22): a plate of 0.5 is too thin, a face of 3 is not.
		{"control-sheet-thin", thin, nil, []panel.Opening{at(50, 50, 14)}, one("pot-10mm"), nil, nil, on("pot-10mm", panel.ClampsFace)},
		// Clips for 0.8 to 3 find nothing to hold on in 0.5.
		{"control-sheet-thin", thin, nil, []panel.Opening{{Contour: rect(40, 44, 59.2, 57)}}, on("rocker-small", panel.ClampsPlate), nil, nil, on("rocker-small", panel.ClampsFace)},
		{"control-opening-small", plain, nil, []panel.Opening{at(50, 50, 10)}, one("toggle-m12"), nil, []panel.Opening{at(50, 50, 12)}, nil},
		{"control-opening-small", plain, nil, []panel.Opening{{Contour: rect(40, 44, 59, 57)}}, one("rocker-small"), nil, []panel.Opening{{Contour: rect(40, 44, 59.2, 57)}}, on("rocker-small", panel.ClampsFace)},
		// A bush of 12 goes through a hole of 12 as it is drawn, and lasers cut to ±0.1 mm (two cutting services: section 22).
		{"control-opening-tight", plain, nil, []panel.Opening{at(50, 50, 12)}, one("toggle-m12"), nil, []panel.Opening{at(50, 50, 12.2)}, nil},
		{"control-opening-large", plain, nil, []panel.Opening{at(50, 50, 13.5)}, one("toggle-m12"), nil, []panel.Opening{at(50, 50, 12.5)}, nil},
		{"control-opening-large", plain, nil, []panel.Opening{at(50, 50, 16)}, one("toggle-m12"), nil, []panel.Opening{at(50, 50, 12.2)}, nil},
		{"control-body-small", plain, body(14, 20), []panel.Opening{at(50, 50, 12.2)}, one("toggle-m12"), body(18, 28), nil, nil},
		// On a plate 17 behind the front, a lever that leans by 13 degrees does not pass 12.2, where 10 are left of the bush.
		{"control-not-through", plated, nil, []panel.Opening{at(50, 50, 8)}, one("toggle-m12"), nil, []panel.Opening{at(50, 50, 14)}, []seat.Told{{Kind: longer}}},
		// A nut of 16.5 across corners does not pass 14, but 24.
		{"control-nut-inside", plated, nil, []panel.Opening{at(50, 50, 14)}, []seat.Told{{Kind: longer}}, nil, []panel.Opening{at(50, 50, 24)}, nil},
		// 13 of an encoder's shaft in front of a bush that ends 10 behind the front.
		{"control-shaft-short", behind, nil, []panel.Opening{at(50, 50, 12.2)}, one("encoder-7mm"), nil, nil, on("encoder-7mm", panel.ClampsFace)},
		// 15 of a slider's lever behind the LED sheet end 2 behind the front.
		{"control-shaft-short", plain, nil, []panel.Opening{{Contour: rect(48, 20, 52, 82)}}, on("slider-60mm", panel.ClampsLEDSheet), nil, nil, one("slider-60mm")},
		// The LED sheet is cut for a body 28 high, up to 64.5; an LED of 3 at 66.3 has 0.3 of sheet beside it, at 70 it stands well.
		{"control-at-led", plain, led(50, 66.3), []panel.Opening{at(50, 50, 12.2)}, one("toggle-m12"), led(50, 70), nil, nil},
		// A washer of 16 on the LED sheet covers an LED 9 beside the axis, not one at 10; beside the tab's hole.
		{"control-at-led", behind, led(59, 50), []panel.Opening{at(50, 50, 14)}, one("toggle-m12"), led(60, 50), nil, nil},
		// The socket for a nut of 14.3 is 21 round, a pan head of M3 5.6: 13.3 apart is the least.
		{"control-nut-at-screw", plain, mount(63, 50), []panel.Opening{at(50, 50, 12.2)}, one("toggle-m12"), mount(63.5, 50), nil, nil},
		// In the gap the spacers are in the way.
		{"control-nut-at-screw", behind, mount(63, 50), []panel.Opening{at(50, 50, 14)}, one("toggle-m12"), mount(63.5, 50), nil, nil},
		// Two toggles 18 apart: the washer of 16 reaches 8, the socket 10.5.
		{"control-nut-at-control", plain, nil, []panel.Opening{at(50, 50, 12.2), at(68.1, 50, 12.2)}, two("toggle-m12", "toggle-m12"), nil, []panel.Opening{at(50, 50, 12.2), at(69, 50, 12.2)}, nil},
		// The nut of a push-button of 12, 16.2 across corners, behind the diffuser, 16 beside a toggle whose body is 18 wide there; 21 off they
		// are clear of each other.
		{"control-parts-meet", plain, nil, []panel.Opening{at(50, 50, 12.2), at(66, 50, 12.2)}, two("toggle-m12", "push-12mm"), nil, []panel.Opening{at(50, 50, 12.2), at(71, 50, 12.2)}, nil},
		// Knobs of 20 and 16, 17 apart; at 19 they pass each other.
		{"control-parts-meet", plain, nil, []panel.Opening{at(50, 50, 7.2), at(67, 50, 7.2)}, two("pot-7mm", "encoder-7mm"), nil, []panel.Opening{at(50, 50, 7.2), at(69, 50, 7.2)}, nil},
		// A bush that is flat on one side turns in a round hole, if nothing else that it clamps is cut for it.
		{"control-turns", plain, nil, []panel.Opening{at(50, 50, 10.2)}, keyed(panel.ClampsFace), nil, nil, keyed(panel.ClampsDiffuser)},
		{"control-turns", plain, nil, []panel.Opening{at(50, 50, 10.2)}, keyed(panel.ClampsFace), nil, []panel.Opening{flat(50, 50, 10.2, 8.7)}, nil},
		// Bodies of 24 at 23 mm.
		{"control-bodies-meet", plain, nil, []panel.Opening{at(50, 50, 10), at(73, 50, 10)}, two("pot-10mm", "pot-10mm"), nil, []panel.Opening{at(50, 50, 10), at(75, 50, 10)}, nil},
	} {
		l := judged(t, c.w, c.more, c.openings, slices.Clone(c.told)...)
		require.Contains(t, codes(l), c.code, "%v", l)
		for _, f := range l {
			require.True(t, f.HasSubject(), f.Code)
			require.NotEmpty(t, f.Advice, f.Code)
			require.NotNil(t, f.Place.At, f.Code)
		}
		openings, told := c.openings, c.told
		if c.well != nil {
			openings = c.well
		}
		if c.toldWell != nil {
			told = c.toldWell
		}
		l = judged(t, c.w, c.none, openings, slices.Clone(told)...)
		require.NotContains(t, codes(l), c.code, "%v", l)
	}
}

// A socket 21.02 round a nut on the LED sheet meets an LED of 3 that stands 10 beside the axis and out of the sheet; one that is flush with
// it is passed over.
func TestSpannerAtProudLED(t *testing.T) {
	w := seat.Wish{Stack: stack(), Said: true}
	p := one(14)
	p.LEDs = []panel.Hole{{At: geom.PtMM(60, 40), D: mm(3)}}
	p = sits(t, p, w, seat.Told{Kind: kind(t, "toggle-m12")})
	l := seat.Judge(p, w.Stack, mm(-2))
	require.Contains(t, codes(l), "control-at-led")
	require.Contains(t, l[slices.Index(codes(l), "control-at-led")].Text, "a spanner for its nut meets it")
	require.NotContains(t, codes(seat.Judge(p, w.Stack, 0)), "control-at-led")
}

// LEDs that are placed keep off nuts and washers on the LED sheet, as off its cut-outs.
func TestCovered(t *testing.T) {
	behind := sits(t, one(12.2), seat.Wish{Stack: stack(), Said: true}, seat.Told{Kind: kind(t, "toggle-m12")})
	most := 0.0
	for _, c := range seat.Covered(behind, stack()) {
		most = max(most, c.Box().W().MM())
	}
	require.InDelta(t, 16.52, most, 0.01, "its nut across corners; a washer of 16")
	front := sits(t, one(12.2), seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "toggle-m12")})
	require.Equal(t, front.Controls[0].Cuts[panel.LEDSheet], seat.Covered(front, stack()))
}

// MIL-STD-1472E (section 22 of the project's list of published check values): 13 mm between a toggle and a push-button, 19 between a
// toggle and a knob, 25 between a knob and a selector, edge to edge.
func TestFingers(t *testing.T) {
	wish := seat.Wish{Stack: stack()}
	for _, c := range []struct {
		a, b  control.Use
		want  float64
		pairs bool
	}{
		{control.Toggle, control.Pushbutton, 13, true}, {control.Pushbutton, control.Toggle, 13, true}, {control.Toggle, control.Knob, 19, true}, {control.Knob, control.Selector, 25, true},
		{control.Toggle, control.Toggle, 13, false}, {control.Lamp, control.Knob, 25, false},
	} {
		of := func(u control.Use) seat.Told {
			return seat.Told{Kind: control.Kind{Name: u.String(), Use: u, Held: control.Screws, Handle: mm(10)}}
		}
		told := func(apart float64) bool {
			l := judged(t, wish, nil, []panel.Opening{at(50, 50, 8), at(50+apart, 50, 8)}, of(c.a), of(c.b))
			return slices.Contains(codes(l), "control-fingers")
		}
		require.Equal(t, c.pairs, told(c.want+10-0.1), "%v %v", c.a, c.b)
		require.False(t, told(c.want+10+0.1), "%v %v", c.a, c.b)
	}
}

// Section 22: a nut of 11.2 does not pass a hole of 10, but one of 12.
func TestNutThroughHole(t *testing.T) {
	w := seat.Wish{Stack: stack()}
	w.Stack.Plate = mm(1.6)
	k := kind(t, "pot-7mm")
	k.Nut, k.ShaftLength = mm(9.69), mm(30) // 11.2 across corners
	require.InDelta(t, 11.2, k.Corners().MM(), 0.01)
	for d, inside := range map[float64]bool{10: true, 12: false} {
		l := judged(t, w, nil, []panel.Opening{at(50, 50, d)}, seat.Told{Kind: k})
		require.Equal(t, inside, slices.Contains(codes(l), "control-nut-inside"), "%v", d)
	}
}

// Of sheets of acrylic and the potentiometer of build logs, a panel of 3.2 is the thickest: section 22.
func TestThickestPanel(t *testing.T) {
	for face, short := range map[float64]bool{3.2: false, 3.3: true} {
		w := seat.Wish{Stack: seat.Stack{Face: mm(face), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}}
		l := judged(t, w, nil, []panel.Opening{at(50, 50, 6.5)}, seat.Told{Kind: kind(t, "pot-6.35mm")})
		require.Equal(t, short, slices.Contains(codes(l), "control-thread-short"), "%v", face)
	}
}

// A washer of 16 round (50, 40) reaches to 58, a knob of 20 to 60: a word from 55 to 75 has 3 of its 20 mm under the washer, one from
// 58 to 78 has 2 under the knob and none under a washer, and one from 61 on has nothing above it.
func TestHidden(t *testing.T) {
	word := func(x float64) []geom.Region {
		return []geom.Region{geom.NewRegion(rect(x, 39.9, x+20, 40.1).Ring(geom.FlattenTolerance))}
	}
	told := func(k control.Kind, x float64) diag.List {
		p := sits(t, one(12.2), seat.Wish{Stack: stack()}, seat.Told{Kind: k, Clamps: panel.ClampsFace})
		p.Lettering = []panel.Text{{Text: "GAIN"}}
		return seat.Hidden(p, word(x), nil)
	}
	k := kind(t, "toggle-m12")
	k.Use, k.Handle = control.Knob, mm(20)
	l := told(k, 55)
	require.Equal(t, []string{"control-over-lettering"}, codes(l))
	require.Equal(t, diag.Warning, l[0].Severity)
	require.Contains(t, l[0].Text, `covers 17 % of "GAIN"`, "the nut of 16.52 across corners is a little wider than the washer") // 58.26
	l = told(k, 58.3)
	require.Equal(t, diag.Note, l[0].Severity)
	require.Contains(t, l[0].Text, `a knob of 20 mm hides 9 % of "GAIN"`)
	require.Empty(t, told(k, 61))
	k.Handle = 0
	require.Empty(t, told(k, 58.3))
}

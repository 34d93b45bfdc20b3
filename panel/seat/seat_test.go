package seat_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/seat"
)

func mm(v float64) geom.Nm { return geom.MM(v) }

// stack is three sheets of 3 mm and 8 mm of air: face 0 to 3, diffuser to 6, LED sheet 14 to 17.
func stack() seat.Stack {
	return seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}
}

func rect(x0, y0, x1, y1 float64) geom.Contour {
	return geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1)))
}

// one is a panel with a round opening of diameter d at 50, 40, and what sits there.
func one(d float64, bodies ...geom.Contour) panel.Panel {
	return panel.Panel{Name: "dome", Outline: rect(0, 0, 100, 80), Openings: []panel.Opening{{Contour: geom.Circle(geom.PtMM(50, 40), mm(d))}}, Bodies: bodies}
}

func kind(t *testing.T, name string) control.Kind {
	t.Helper()
	k, ok := control.Find(name)
	require.True(t, ok, name)
	return k
}

func sits(t *testing.T, p panel.Panel, w seat.Wish, told ...seat.Told) panel.Panel {
	t.Helper()
	for i := range told {
		told[i].Set = true
	}
	return seat.In(p, told, w)
}

func TestSpans(t *testing.T) {
	s := stack()
	s.Plate = mm(1.6)
	for sheet, want := range map[panel.Sheet][2]float64{panel.FaceSheet: {0, 3}, panel.DiffuserSheet: {3, 6}, panel.LEDSheet: {14, 17}, panel.PlateSheet: {17, 18.6}} {
		from, to := s.Span(sheet)
		require.Equal(t, [2]geom.Nm{mm(want[0]), mm(want[1])}, [2]geom.Nm{from, to}, sheet.String())
	}
}

// Where nobody says, a thread that is long enough takes face and diffuser, a shorter one the face alone; a plate takes what has its
// nut in front, and where bodies begin tells the sheet before them.
func TestClamps(t *testing.T) {
	plate := stack()
	plate.Plate = mm(1.6)
	for _, c := range []struct {
		kind string
		w    seat.Wish
		told panel.Clamp
		want panel.Clamp
	}{
		{"toggle-m12", seat.Wish{Stack: stack()}, 0, panel.ClampsDiffuser}, // 11.5 - 6 - 3.6
		{"pot-7mm", seat.Wish{Stack: stack()}, 0, panel.ClampsFace},        // 7 - 6 - 2.5
		{"push-16mm", seat.Wish{Stack: stack()}, 0, panel.ClampsFace},      // 3.2 at most
		{"toggle-m12", seat.Wish{Stack: stack(), Said: true}, 0, panel.ClampsLEDSheet},
		{"toggle-m12", seat.Wish{Stack: stack(), Said: true, From: panel.BehindFace}, 0, panel.ClampsFace},
		{"push-16mm", seat.Wish{Stack: stack(), Said: true}, 0, panel.ClampsFace},
		{"toggle-m12", seat.Wish{Stack: plate}, 0, panel.ClampsPlate},
		{"push-16mm", seat.Wish{Stack: plate}, 0, panel.ClampsFace},
		{"toggle-m12", seat.Wish{Stack: plate}, panel.ClampsStack, panel.ClampsStack},
		{"display", seat.Wish{Stack: stack()}, panel.ClampsFace, panel.ClampsNothing},
	} {
		p := sits(t, one(12.2), c.w, seat.Told{Kind: kind(t, c.kind), Clamps: c.told})
		require.Len(t, p.Controls, 1)
		require.Equal(t, c.want, p.Controls[0].Clamps, "%s %+v", c.kind, c.w)
	}
}

// Of a thread of 11.5 face and diffuser take 6, nut 2, washer 0.8 and lock washer 0.8: 1.9 are left. Through the whole stack it
// would take 17.
func TestThreadLeft(t *testing.T) {
	k := kind(t, "toggle-m12")
	p := sits(t, one(12.2), seat.Wish{Stack: stack()}, seat.Told{Kind: k})
	require.Equal(t, mm(1.9), p.Controls[0].Left)
	p = sits(t, one(12.2), seat.Wish{Stack: stack()}, seat.Told{Kind: k, Clamps: panel.ClampsStack})
	require.Equal(t, mm(11.5-17-3.6), p.Controls[0].Left)
}

// area is that of what a sheet is cut for, in mm².
func area(p panel.Panel, s panel.Sheet) float64 {
	sum := 0.0
	for _, c := range p.Cuts(s) {
		sum += c.Area()
	}
	return sum
}

func disc(d float64) float64 { return math.Pi / 4 * d * d }

// On the face and the diffuser the opening stays as drawn, and the body is cut out of the LED sheet, half a millimetre wider all
// round: where it stands in the gap it is a wall.
func TestClampedInFront(t *testing.T) {
	p := sits(t, one(12.2), seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "toggle-m12")})
	require.InDelta(t, disc(12.2), area(p, panel.FaceSheet), 0.01)
	require.InDelta(t, disc(12.2), area(p, panel.DiffuserSheet), 0.01)
	require.InDelta(t, 18*28+2*(18+28)*0.5+disc(1), area(p, panel.LEDSheet), 0.1)
	require.Equal(t, []geom.Contour{rect(41, 26, 59, 54)}, p.InGap())
	require.True(t, p.Controls[0].Brought)
	require.Equal(t, []geom.Contour{rect(41, 26, 59, 54)}, p.Bodies)
	require.Empty(t, p.InDiffuser())
	require.Empty(t, p.Drawn())
}

// A body that is drawn is the control's, and is cut out as drawn, once; one that lies there turned turns the control.
func TestDrawnBody(t *testing.T) {
	drawn := rect(34, 30, 66, 50)
	p := sits(t, one(12.2, drawn), seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "toggle-m12")})
	require.Equal(t, []geom.Contour{drawn}, p.Bodies)
	require.False(t, p.Controls[0].Brought)
	require.Equal(t, p.Bodies, p.Drawn())
	require.Equal(t, 1, p.Controls[0].Quarters)
	require.Equal(t, []geom.Contour{drawn}, p.Controls[0].Cuts[panel.LEDSheet])
	require.InDelta(t, 32*20, area(p, panel.LEDSheet), 0.01)
}

// On the LED sheet, as bodies that begin behind it have it: nut and washer stand in the gap, the sheets in front stay as drawn, the
// LED sheet gets the hole for the key, and nothing is a wall.
func TestClampedOnLEDSheet(t *testing.T) {
	p := sits(t, one(12.2), seat.Wish{Stack: stack(), Said: true}, seat.Told{Kind: kind(t, "toggle-m12")})
	require.InDelta(t, disc(12.2), area(p, panel.DiffuserSheet), 0.01)
	require.InDelta(t, disc(12.2)+disc(3.3), area(p, panel.LEDSheet), 0.01)
	require.Empty(t, p.InGap())
	require.Equal(t, mm(11.5-3-3.6), p.Controls[0].Left)
}

// On a plate, the LED sheet in front of it has room for a spanner round the nut (14.3 x 1.4 + 1, and half a millimetre all round), and
// the plate has the bush's hole and the key's. The body is behind it all.
func TestClampedOnPlate(t *testing.T) {
	s := stack()
	s.Plate = mm(1.6)
	p := sits(t, one(14), seat.Wish{Stack: s}, seat.Told{Kind: kind(t, "toggle-m12")})
	require.InDelta(t, disc(14), area(p, panel.FaceSheet), 0.01)
	require.InDelta(t, disc(14), area(p, panel.DiffuserSheet), 0.01)
	require.InDelta(t, disc(14.3*1.4+1+1), area(p, panel.LEDSheet), 0.5)
	require.InDelta(t, disc(12.2)+disc(3.3), area(p, panel.PlateSheet), 0.01)
}

// A push-button's nut comes behind the face: the diffuser has room for it, the LED sheet for its body.
func TestNutBehind(t *testing.T) {
	p := sits(t, one(16.2), seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "push-16mm")})
	c := p.Controls[0]
	require.Equal(t, panel.ClampsFace, c.Clamps)
	require.InDelta(t, disc(c.Kind.Corners().MM()+1), area(p, panel.DiffuserSheet), 0.01)
	require.InDelta(t, disc(17), area(p, panel.LEDSheet), 0.01)
	require.Equal(t, mm(10-3-3), c.Left)
}

// A window is not cut again, and what sits behind it begins where bodies do.
func TestDisplay(t *testing.T) {
	p := panel.Panel{Name: "mount", Outline: rect(0, 0, 200, 100), Openings: []panel.Opening{{Contour: rect(50, 30, 150, 70)}}}
	p = sits(t, p, seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "display")})
	require.Empty(t, p.InGap())
	require.Equal(t, [panel.Sheets][]geom.Contour{}, p.Controls[0].Cuts)
	require.InDelta(t, 100*40+2*140*6+math.Pi*36, p.Bodies[0].Area(), 0.1)
	require.Equal(t, mm(17), p.Controls[0].From)
}

// The lever of a slider moves along its slot, in every sheet in front of it.
func TestSlider(t *testing.T) {
	p := panel.Panel{Name: "vents", Outline: rect(0, 0, 100, 130), Openings: []panel.Opening{{Contour: rect(48, 29, 52, 91)}}}
	p = sits(t, p, seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "slider-60mm")})
	for s := range panel.LEDSheet {
		require.InDelta(t, 4*62, area(p, s), 0.01, s.String())
	}
	// 15 of its lever reach through face and diffuser and 9 beyond: there it is screwed on, and its body and pins reach into the LED sheet.
	require.Equal(t, mm(6), p.Controls[0].From)
	require.InDelta(t, 10*89, area(p, panel.LEDSheet), 0.5)
	require.Equal(t, 0, p.Controls[0].Quarters)
	require.Equal(t, []geom.Contour{rect(45.5, 16, 54.5, 104)}, p.Bodies)
	// Lying, it is turned.
	p = panel.Panel{Name: "vents", Outline: rect(0, 0, 130, 100), Openings: []panel.Opening{{Contour: rect(29, 48, 91, 52)}}}
	p = sits(t, p, seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "slider-60mm")})
	require.Equal(t, []geom.Contour{rect(16, 45.5, 104, 54.5)}, p.Bodies)
}

// A thread that reaches through the diffuser in front of a thin LED sheet widens its hole, which keeps what is drawn.
func TestInFront(t *testing.T) {
	s := seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(1), LED: mm(2)}
	p := sits(t, one(8), seat.Wish{Stack: s, Said: true}, seat.Told{Kind: kind(t, "toggle-m12")})
	require.InDelta(t, disc(8), area(p, panel.FaceSheet), 0.01)
	require.InDelta(t, disc(16.52+1), area(p, panel.DiffuserSheet), 0.01, "its nut, across corners")
}

// Parts of a control touch each other without a gap, from the lever to the terminals.
func TestPieces(t *testing.T) {
	p := sits(t, one(12.2), seat.Wish{Stack: stack()}, seat.Told{Kind: kind(t, "toggle-m12")})
	got := map[seat.What][2]float64{}
	for _, q := range seat.Pieces(p, p.Controls[0]) {
		got[q.What] = [2]float64{q.From.MM(), q.To.MM()}
	}
	require.Equal(t, map[seat.What][2]float64{
		seat.Washer: {-0.8, 0}, seat.Nut: {-2.8, -0.8}, seat.LockWasher: {6, 6.8}, seat.Bush: {-4.7, 6.8}, seat.Shaft: {-22.2, -4.7}, seat.Handle: {-22.2, -10.2},
		seat.Body: {6.8, 28.8}, seat.Terminals: {28.8, 38.8},
	}, got)
}

package height_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/fasten"
	"lampblack/board/footprint"
	"lampblack/board/height"
	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
	"lampblack/panel/seat"
)

var mm = geom.MM

// put is a part of the catalogue in its place.
func put(t *testing.T, ref, name string, x, y float64) board.Part {
	t.Helper()
	fp, ok := footprint.Lookup(name)
	require.True(t, ok, name)
	kind, on := board.Connector, geom.Bottom
	switch ref[0] {
	case 'D':
		kind, on = board.LED, geom.Top
	case 'R':
		kind = board.Resistor
	}
	return fp.Place(ref, kind, geom.PtMM(x, y), 0, on, 0)
}

func rect(x0, y0, x1, y1 float64) geom.Contour {
	return geom.Rect(geom.BoxOf(geom.PtMM(x0, y0), geom.PtMM(x1, y1)))
}

// built is a panel of 100 x 60 with a board of 1.6 behind it, two millimetres smaller all round, and the sheets of usual stacks.
func built(parts ...board.Part) height.In {
	b := board.Board{Name: "dome", Outline: rect(2, 2, 98, 58), Laminate: board.Laminate{Thickness: mm(1.6)}, Parts: parts}
	p := panel.Panel{Name: "dome", Outline: rect(0, 0, 100, 60)}
	for _, q := range parts {
		if q.Kind == board.LED {
			p.LEDs = append(p.LEDs, panel.Hole{At: q.At, D: mm(3)})
		}
	}
	return height.In{Panel: p, Boards: []board.Board{b}, Stack: fasten.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), Sheet: mm(3)}}
}

func find(t *testing.T, in height.In, of, what string) height.Piece {
	t.Helper()
	for _, q := range in.Pieces() {
		if q.Of == of && q.What == what {
			return q
		}
	}
	require.Fail(t, "no such piece", "%s of %s in %v", what, of, in.Pieces())
	return height.Piece{}
}

// A lamp of 6.1 mm whose tip is flush with the front of the LED sheet of 3, spacers being whole: the board lies 3 mm behind the sheet, 20
// behind the front, and ends at 21.6.
func TestPieces(t *testing.T) {
	in := built(put(t, "D1", "radial-3mm", 50, 30), put(t, "J1", "terminal-3.5", 20, 10), put(t, "R1", "axial-10.16", 50, 15), put(t, "J2", "header-2.54", 80, 10), put(t, "J3", "wire-pads", 60, 10))
	for _, c := range []struct {
		of, what string
		from, to float64
		why      string
	}{
		{"D1", height.Lens, 13.9, 19, "6.1 high, its flange 1"},
		{"D1", height.Flange, 19, 20, "on the board"},
		{"D1", height.Lead, 20, 23.1, "cut 1.5 behind the board"},
		{"D1", height.Joint, 21.6, 22.6, "on the bottom"},
		{"J1", height.Body, 21.6, 30.4, "8.8 high"},
		{"J1", height.Pin, 18, 21.6, "3.6 long: 2.0 stand out of the front"},
		{"R1", height.Body, 21.6, 24.3, "2.4 across, 0.3 over the board"},
		{"R1", height.Lead, 18.5, 21.6, "cut 1.5 in front of the board"},
		{"J2", height.Body, 21.6, 24.14, "the insulator"},
		{"J2", height.Plug, 24.14, 35.6, "14 with its plug"},
		{"J2", height.Pin, 18.4, 21.6, "3.2 long"},
		{"J2", height.Wire, 35.6, 41.9, "three times 2.1 behind the plug"},
	} {
		q := find(t, in, c.of, c.what)
		require.InDelta(t, c.from, q.From.MM(), 1e-9, "%s %s: %s", c.of, c.what, c.why)
		require.InDelta(t, c.to, q.To.MM(), 1e-9, "%s %s: %s", c.of, c.what, c.why)
	}
	for _, q := range in.Pieces() {
		require.NotEqual(t, "J3"+height.Body, q.Of+q.What, "wires alone have no body")
	}
	deepest, ok := in.Across(nil, in.TellingLine()).Deepest()
	require.True(t, ok)
	require.Equal(t, "J2", deepest.Of)
}

// A thin board lets stiff pins stand out farther, wire ends are cut.
func TestPinsThroughThinBoards(t *testing.T) {
	in := built(put(t, "J1", "terminal-3.5", 20, 10), put(t, "R1", "axial-10.16", 50, 15))
	in.Boards[0].Laminate.Thickness = mm(0.8)
	front, _ := in.Span(in.Boards[0])
	require.InDelta(t, 2.8, (front - find(t, in, "J1", height.Pin).From).MM(), 1e-9)
	require.InDelta(t, 1.5, (front - find(t, in, "R1", height.Lead).From).MM(), 1e-9)
}

// What the project tells of a kind holds in place of what is typical, for any number of poles.
func TestToldHeights(t *testing.T) {
	in := built(put(t, "J1", "terminal-3.5-3", 20, 10), put(t, "J2", "terminal-5.08", 50, 10), put(t, "D1", "radial-3mm", 50, 30))
	in.Kinds = height.Kinds{{Name: "terminal-3.5", Height: mm(12), Pins: mm(4.6)}, {Name: "radial-3mm", Height: mm(8)}}
	in.Boards = in.Kinds.Measured(in.Boards)
	front, back := in.Span(in.Boards[0])
	require.InDelta(t, 22, front.MM(), 1e-9, "8 - 3 - 0.25, in whole millimetres behind 17")
	require.Equal(t, mm(12), find(t, in, "J1", height.Body).To-back)
	require.Equal(t, mm(3), front-find(t, in, "J1", height.Pin).From)
	require.Equal(t, mm(10), find(t, in, "J2", height.Body).To-back)
	require.Equal(t, mm(14), find(t, in, "D1", height.Lens).From, "its tip is where the stack has tips")
}

func codes(l diag.List) []string {
	out := []string{}
	for _, f := range l {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

func TestBehind(t *testing.T) {
	for _, c := range []struct {
		what, ref, name string
		told            height.Told
		kinds           height.Kinds
		want            string
		advice          string
	}{
		{"nothing told", "J1", "terminal-3.5", height.Told{}, nil, "", ""},
		{"deep enough", "J1", "terminal-3.5", height.Told{Behind: mm(8.8)}, nil, "", ""},
		{"parts of one sort differ", "J1", "terminal-3.5", height.Told{Behind: mm(8.7)}, nil, "warning height-tall", "wire-pads (4 mm)"},
		{"by no more than that", "J1", "terminal-3.5", height.Told{Behind: mm(7.7)}, nil, "error height-too-tall", "wire-pads (4 mm)"},
		{"the lower block", "J1", "terminal-5.08", height.Told{Behind: mm(8.9)}, nil, "error height-too-tall", "terminal-3.5 (8.8 mm) or wire-pads (4 mm)"},
		{"nothing is so low", "J1", "wire-pads", height.Told{Behind: mm(2)}, nil, "error height-too-tall", "no connector is so low"},
		{"measured", "J1", "terminal-3.5", height.Told{Behind: mm(8.7)}, height.Kinds{{Name: "terminal-3.5", Height: mm(8.6)}}, "", ""},
		{"measured is exact", "J1", "terminal-3.5", height.Told{Behind: mm(8.7)}, height.Kinds{{Name: "terminal-3.5", Height: mm(8.8)}}, "error height-too-tall", "wire-pads"},
		{"plug", "J1", "header-2.54", height.Told{Behind: mm(12)}, nil, "error height-too-tall", "terminal-5.08 (10 mm) or terminal-3.5 (8.8 mm)"},
		{"the wire's bend", "J1", "header-2.54", height.Told{Behind: mm(20.2)}, nil, "warning height-wires", "terminal-5.08"},
		{"room for the bend", "J1", "header-2.54", height.Told{Behind: mm(20.3)}, nil, "", ""},
		{"chip", "R1", "r-1206", height.Told{Behind: mm(1)}, nil, "", ""},
		{"lying resistor", "R1", "axial-10.16", height.Told{Behind: mm(1.6)}, nil, "error height-too-tall", "1206"},
		{"leads of LEDs", "D1", "radial-3mm", height.Told{Behind: mm(1.4)}, nil, "warning height-tall", "make room"},
		{"no leads", "D1", "plcc2", height.Told{Behind: mm(0.1)}, nil, "", ""},
		// Without LEDs with leads the board lies on the LED sheet, 17 behind the front, and ends at 18.6.
		{"case", "J1", "terminal-3.5", height.Told{Depth: mm(27.4)}, nil, "", ""},
		{"shallow case", "J1", "terminal-3.5", height.Told{Depth: mm(27.3)}, nil, "warning height-tall", "wire-pads"},
		{"the nearer one counts", "J1", "terminal-3.5", height.Told{Depth: mm(40), Behind: mm(5)}, nil, "error height-too-tall", "wire-pads"},
	} {
		t.Run(c.what, func(t *testing.T) {
			in := built(put(t, c.ref, c.name, 20, 10))
			in.Kinds = c.kinds
			in.Boards = in.Kinds.Measured(in.Boards)
			l := in.Behind(c.told)
			if c.want == "" {
				require.Empty(t, l)
				return
			}
			require.Equal(t, []string{c.want}, codes(l))
			require.Contains(t, l[0].Advice, c.advice)
			require.NotEmpty(t, l[0].Subject.Part)
			require.NotEmpty(t, l[0].Subject.Keys, "the room is a key of the project")
			paneltest.Subjects(t, l)
		})
	}
}

// Controls and screws reach as deep as they are, wherever they stand.
func TestDeepCase(t *testing.T) {
	in := built(put(t, "D1", "led-0805", 50, 30))
	in.Panel.Openings = []panel.Opening{{Contour: geom.Circle(geom.PtMM(20, 30), mm(12.2))}}
	k, ok := control.Find("toggle-m12")
	require.True(t, ok)
	s := seat.Stack{Face: mm(3), Diffuser: mm(3), Gap: mm(8), LED: mm(3)}
	in.Panel = seat.In(in.Panel, []seat.Told{{Set: true, Kind: k}}, seat.Wish{Stack: s})
	ends := find(t, in, "toggle-m12", "terminals").To
	require.Equal(t, []string{"warning height-deep"}, codes(in.Judge(height.Told{Depth: ends - 1})))
	require.Empty(t, in.Judge(height.Told{Depth: ends}))
	in.Mounts = []fasten.Mount{{At: geom.PtMM(90, 30), D: mm(3.2), Thread: "M3", Screw: mm(60), Out: mm(38.6)}}
	require.Equal(t, mm(60), find(t, in, "M3 x 60", height.Shank).To)
	require.InDelta(t, -2.4, find(t, in, "M3 x 60", height.Head).From.MM(), 1e-9, "ISO 7045 (section 15 of the project's list of published check values)")
	require.Equal(t, []string{"warning height-deep"}, codes(in.Judge(height.Told{Depth: ends})), "the screw")
}

// Chip LEDs let the board lie on the LED sheet; their bodies must go into their holes.
func TestLEDsUnderTheSheet(t *testing.T) {
	for name, want := range map[string][]string{"led-0805": {}, "plcc2": {"warning height-led-under-sheet"}} {
		in := built(put(t, "D1", name, 50, 30)) // behind a hole of 3: chips are 2.4 and 4.5 from corner to corner
		require.Equal(t, want, codes(in.Judge(height.Told{})), name)
		in.Panel.LEDs[0].D = mm(4.5)
		require.Empty(t, in.Judge(height.Told{}), name)
		in.Panel.LEDs[0].D, in.Stack.Told = mm(3), mm(1.9)
		require.Empty(t, in.Judge(height.Told{}), name)
	}
}

package check_test

import (
	"fmt"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// focusBoard is a board made by hand for the focuser panel of the observatory desk: 60 x 30 mm, two strings of two
// LEDs, feed in and out, a via, an area on each side. The 0 V way from IN to OUT runs through the top area's spoke.
func focusBoard() (board.Board, led.Wiring) {
	w := led.Wiring{
		Panel: "focus",
		Nets:  []led.Net{{}, {Name: "V+"}, {Name: "0V"}, {Name: "S1.1"}, {Name: "S1.2"}, {Name: "S2.1"}, {Name: "S2.2"}},
		LEDs: []led.LED{
			{Ref: "D1", String: 0, Anode: 3, Cathode: 4}, {Ref: "D2", String: 0, Anode: 4, Cathode: 2},
			{Ref: "D3", String: 1, Anode: 5, Cathode: 6}, {Ref: "D4", String: 1, Anode: 6, Cathode: 2},
		},
		Resistors:  []led.Resistor{{Ref: "R1", String: 0, From: 1, To: 3}, {Ref: "R2", String: 1, From: 1, To: 5}},
		Connectors: []led.Connector{{Ref: "J1", Role: led.In, Pins: []led.NetID{1, 2}}, {Ref: "J2", Role: led.Out, Pins: []led.NetID{1, 2}}},
		Strings:    []led.String{{LEDs: []int{0, 1}, Resistor: 0}, {LEDs: []int{2, 3}, Resistor: 1}},
		Label:      "12 V",
	}
	b := board.Board{Name: "focus", Rules: board.UsualRules(), Nets: slices.Clone(w.Nets)}
	q := 0.41421356237309503 // tan(90°/4)
	at := func(x, y, bulge float64) geom.Vertex { return geom.Vertex{Pt: geom.PtMM(x, y), Bulge: bulge} }
	b.Outline = geom.Contour{at(2, 0, 0), at(58, 0, q), at(60, 2, 0), at(60, 28, q), at(58, 30, 0), at(2, 30, q), at(0, 28, 0), at(0, 2, q)}
	b.Cutouts = []geom.Contour{geom.Circle(geom.PtMM(29, 25), geom.MM(5)).Reversed()}
	b.Keepout = []geom.Contour{geom.Rect(geom.Box{Min: geom.PtMM(61, 0), Max: geom.PtMM(70, 30)})}
	b.Parts = []board.Part{
		ledAt("D1", 17.27, 22, 3, 4), ledAt("D2", 23.27, 22, 4, 2), ledAt("D3", 17.27, 9, 5, 6), ledAt("D4", 23.27, 9, 6, 2),
		resistorAt("R1", 11, 22, 1, 3), resistorAt("R2", 11, 9, 1, 5),
		connectorAt("J1", 5, 18.5), connectorAt("J2", 55, 18.5),
	}
	b.Holes = []board.Hole{
		{At: geom.PtMM(4, 4), D: geom.MM(3.2)}, {At: geom.PtMM(56, 4), D: geom.MM(3.2)},
		{At: geom.PtMM(4, 26), D: geom.MM(3.2)}, {At: geom.PtMM(56, 26), D: geom.MM(3.2)},
		{At: geom.PtMM(5, 11), D: geom.MM(2), What: board.StrainRelief},
	}
	b.Tracks = []board.Track{
		track(1, geom.Bottom, 1, 5, 18.5, 55, 18.5),
		track(1, geom.Bottom, 0.6, 9.5, 22, 9.5, 9),
		track(2, geom.Top, 1, 5, 15, 40, 15),
		track(2, geom.Top, 0.6, 24.54, 22, 24.54, 9),
		track(3, geom.Bottom, 0.4, 12.5, 22, 16, 22),
		track(4, geom.Bottom, 0.4, 18.54, 22, 22, 22),
		track(5, geom.Bottom, 0.4, 12.5, 9, 14, 7.5, 14.5, 7.5, 16, 9),
		track(6, geom.Bottom, 0.4, 18.54, 9, 20.27, 9),
		track(6, geom.Top, 0.4, 20.27, 9, 22, 9),
	}
	b.Vias = []board.Via{{Net: 6, At: geom.PtMM(20.27, 9), Drill: geom.MM(0.4), D: geom.MM(0.9)}}
	b.Spots = []board.Spot{
		{Ref: "TP2", Net: 5, At: geom.PtMM(14.25, 7.2), On: geom.Bottom, D: geom.MM(1.5), Mask: geom.MM(0.05)},
		{Use: board.Fiducial, At: geom.PtMM(10, 27), On: geom.Top, D: geom.MM(1), Mask: geom.MM(0.5)},
	}
	b.Areas = []board.Area{
		{Net: 2, On: geom.Top, Fill: geom.Polygon{
			Outer: ring(34, 6, 52, 6, 52, 14.7, 54.5, 14.7, 54.5, 15.3, 52, 15.3, 52, 15.6, 34, 15.6),
			Holes: []geom.Ring{ring(40, 8, 40, 12, 44, 12, 44, 8)},
		}},
		{Net: 1, On: geom.Bottom, Fill: geom.Polygon{Outer: ring(34, 18, 52, 18, 52, 26, 34, 26)}},
	}
	b.Legend = []board.Stroke{
		{On: geom.Top, Width: geom.MM(0.15), Path: line(12, 26, 20, 26)},
		{On: geom.Bottom, Width: geom.MM(0.2), Path: line(36, 4, 44, 4)},
	}
	b.Ink = []board.Ink{
		{On: geom.Top, Fill: geom.Polygon{Outer: rectRing(35, 2, 39, 6), Holes: []geom.Ring{rectRing(36, 3, 38, 5).Reversed()}}},
		inked(geom.Bottom, rectRing(36, 5, 44, 5.15)), // as narrow as can be
	}
	return b, w
}

func line(xy ...float64) geom.Polyline {
	var l geom.Polyline
	for i := 0; i < len(xy); i += 2 {
		l = append(l, geom.PtMM(xy[i], xy[i+1]))
	}
	return l
}

func ring(xy ...float64) geom.Ring { return geom.Ring(line(xy...)) }

func track(n led.NetID, on geom.Side, width float64, xy ...float64) board.Track {
	return board.Track{Net: n, On: on, Width: geom.MM(width), Path: line(xy...)}
}

func inked(on geom.Side, outer geom.Ring) board.Ink {
	return board.Ink{On: on, Fill: geom.Polygon{Outer: outer}}
}

func rectRing(x0, y0, x1, y1 float64) geom.Ring { return ring(x0, y0, x1, y0, x1, y1, x0, y1) }

func ledAt(ref string, x, y float64, a, k led.NetID) board.Part {
	pad := func(pin, fn string, dx float64, n led.NetID, s board.PadShape) board.Pad {
		return board.Pad{Pin: pin, Function: fn, Net: n, At: geom.PtMM(x+dx, y), Shape: s, W: geom.MM(1.8), H: geom.MM(1.8),
			Through: true, Drill: geom.MM(0.9), Mask: geom.MM(0.05)}
	}
	return board.Part{Ref: ref, Kind: board.LED, Value: "red-3mm", Footprint: "radial-3mm", At: geom.PtMM(x, y), On: geom.Top,
		Pads:      []board.Pad{pad("2", "A", -1.27, a, board.Round), pad("1", "K", 1.27, k, board.Square)},
		Body:      rectRing(x-1.5, y-1.5, x+1.5, y+1.5),
		Courtyard: rectRing(x-2.4, y-1.9, x+2.4, y+1.9),
		Marks:     []board.Stroke{{On: geom.Top, Width: geom.MM(0.15), Path: line(x-1, y+1.7, x+1, y+1.7)}}}
}

func resistorAt(ref string, x, y float64, a, b led.NetID) board.Part {
	pad := func(pin string, dx float64, n led.NetID) board.Pad {
		return board.Pad{Pin: pin, Net: n, At: geom.PtMM(x+dx, y), Shape: board.Square, W: geom.MM(1.2), H: geom.MM(1.8),
			On: geom.Bottom, Mask: geom.MM(0.05), Paste: true}
	}
	return board.Part{Ref: ref, Kind: board.Resistor, Value: "470R", Footprint: "r-1206", At: geom.PtMM(x, y), On: geom.Bottom,
		Pads: []board.Pad{pad("1", -1.5, a), pad("2", 1.5, b)},
		Body: rectRing(x-1.6, y-0.8, x+1.6, y+0.8), Courtyard: rectRing(x-2.35, y-1.15, x+2.35, y+1.15)}
}

func connectorAt(ref string, x, y float64) board.Part {
	pad := func(pin, fn string, dy float64, n led.NetID) board.Pad {
		return board.Pad{Pin: pin, Function: fn, Net: n, At: geom.PtMM(x, y+dy), Shape: board.Round, W: geom.MM(2), H: geom.MM(2),
			Through: true, Drill: geom.MM(1), Mask: geom.MM(0.05)}
	}
	return board.Part{Ref: ref, Kind: board.Connector, Value: "IN", Footprint: "terminal-3.5", At: geom.PtMM(x, y-1.75), On: geom.Bottom,
		Pads: []board.Pad{pad("1", "+", 0, 1), pad("2", "-", -3.5, 2)},
		Body: rectRing(x-3, y-5.2, x+3, y+1.7), Courtyard: rectRing(x-3.2, y-5.4, x+3.2, y+1.9)}
}

// clone copies everything a mutation may change.
func clone(b board.Board) board.Board {
	b.Outline = slices.Clone(b.Outline)
	b.Cutouts = slices.Clone(b.Cutouts)
	b.Keepout = slices.Clone(b.Keepout)
	b.Nets = slices.Clone(b.Nets)
	b.Parts = slices.Clone(b.Parts)
	for i := range b.Parts {
		p := &b.Parts[i]
		p.Pads, p.Body, p.Courtyard, p.Marks = slices.Clone(p.Pads), slices.Clone(p.Body), slices.Clone(p.Courtyard), slices.Clone(p.Marks)
	}
	b.Holes, b.Vias, b.Spots, b.Legend, b.Ink = slices.Clone(b.Holes), slices.Clone(b.Vias), slices.Clone(b.Spots), slices.Clone(b.Legend), slices.Clone(b.Ink)
	b.Tracks = slices.Clone(b.Tracks)
	for i := range b.Tracks {
		b.Tracks[i].Path = slices.Clone(b.Tracks[i].Path)
	}
	b.Areas = slices.Clone(b.Areas)
	for i := range b.Areas {
		f := &b.Areas[i].Fill
		f.Outer, f.Holes = slices.Clone(f.Outer), slices.Clone(f.Holes)
		for k := range f.Holes {
			f.Holes[k] = slices.Clone(f.Holes[k])
		}
	}
	return b
}

// part finds a part by name.
func part(b *board.Board, ref string) *board.Part {
	for i := range b.Parts {
		if b.Parts[i].Ref == ref {
			return &b.Parts[i]
		}
	}
	panic(fmt.Sprintf("no part %s", ref))
}

// shift moves a part with all that belongs to it.
func shift(p *board.Part, dx, dy float64) {
	v := geom.Vec{X: geom.MM(dx), Y: geom.MM(dy)}
	p.At = p.At.Add(v)
	for i := range p.Pads {
		p.Pads[i].At = p.Pads[i].At.Add(v)
	}
	p.Body, p.Courtyard = p.Body.Moved(v), p.Courtyard.Moved(v)
	for i := range p.Marks {
		path := slices.Clone(p.Marks[i].Path)
		for k := range path {
			path[k] = path[k].Add(v)
		}
		p.Marks[i].Path = path
	}
}

package boardtest_test

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// confirm looks whether the reason of a refusal holds, by plain means that share nothing with the stage that gave it: by
// trying every place, or by measuring. An error says that it does not, or that no panel of the field should be refused for it.
func confirm(o outcome, f diag.Finding) error {
	switch f.Code {
	case "place-no-room":
		return confirmNoRoom(o, f)
	case "shape-led-edge", "shape-led-outside", "shape-led-mount", "shape-led-led", "shape-board-cut", "shape-no-room", "shape-mount-edge":
		return confirmShape(o, f)
	}
	return fmt.Errorf("%s is no reason to refuse a panel of the field: %s", f.Code, f.Text)
}

// confirmNoRoom tries the part everywhere among the others as they stand, on a grid of 0.25 mm, at both turns.
func confirmNoRoom(o outcome, f diag.Finding) error {
	ref := ""
	for _, w := range strings.FieldsFunc(f.Text, func(r rune) bool { return r == ' ' || r == ',' }) {
		if len(w) > 1 && (w[0] == 'R' || w[0] == 'J') && w[1] >= '0' && w[1] <= '9' {
			ref = w
		}
	}
	pkgs := []string{}
	for _, r := range o.wiring.Resistors {
		if r.Ref == ref {
			pkgs = append(pkgs, r.Package)
		}
	}
	if len(pkgs) == 0 {
		return fmt.Errorf("the field has room for every connector: %s", f.Text)
	}
	fp, ok := footprint.Lookup(pkgs[0])
	if !ok {
		return fmt.Errorf("no footprint %q", pkgs[0])
	}
	edge := o.board.Material()
	box := edge.Box()
	const step = geom.Millimetre / 4
	for _, turn := range [2]int{0, 90} {
		for x := box.Min.X; x <= box.Max.X; x += step {
			for y := box.Min.Y; y <= box.Max.Y; y += step {
				part := fp.Place(ref, board.Resistor, geom.Pt{X: x, Y: y}, turn, geom.Bottom, 0)
				if fitsIn(o.board, edge, part) {
					return fmt.Errorf("%s would have room at (%.2f, %.2f)", ref, x.MM(), y.MM())
				}
			}
		}
	}
	return nil
}

// fitsIn reports whether a part may stand among the others with a hair of room.
func fitsIn(b board.Board, material geom.Region, part board.Part) bool {
	yard := part.Courtyard.Box()
	for _, o := range b.Parts {
		if o.On == part.On && boxGap(yard, o.Courtyard.Box()) < 0.05e6 {
			return false
		}
		for _, p := range o.Pads {
			if p.Through && boxGap(yard, p.Contour(0).Box()) < 0.05e6 {
				return false
			}
		}
		if part.Pads[0].Through && boxGap(yard, o.Body.Box()) <= 0 {
			return false
		}
	}
	for _, h := range b.Holes {
		clear := b.Rules.CopperToHole
		if h.What == board.MountHole {
			clear = b.Rules.ScrewClear
		}
		if boxGap(yard, geom.Box{Min: h.At, Max: h.At}) < float64(h.D/2+clear) {
			return false
		}
	}
	if material.Locate(yard.Centre()) != geom.Inside {
		return false
	}
	need := float64(b.Rules.CopperToEdge) + 0.03e6
	c := part.Courtyard
	for i := range c {
		side := geom.Segment{A: c[i], B: c[(i+1)%len(c)]}
		for _, r := range material.Rings() {
			for _, e := range r.Segments() {
				if side.Dist(e) < need {
					return false
				}
			}
		}
	}
	return true
}

func boxGap(a, b geom.Box) float64 {
	dx := float64(max(a.Min.X-b.Max.X, 0, b.Min.X-a.Max.X))
	dy := float64(max(a.Min.Y-b.Max.Y, 0, b.Min.Y-a.Max.Y))
	return math.Hypot(dx, dy)
}

// confirmShape measures what the drawing itself says about the LED or mount that the finding points at.
func confirmShape(o outcome, f diag.Finding) error {
	if f.Place.At == nil {
		return nil
	}
	at := geom.PtMM(f.Place.At.X, f.Place.At.Y)
	near := math.Inf(1)
	rings := []geom.Ring{o.Panel.Outline.Ring(geom.FlattenTolerance)}
	for _, c := range o.Panel.Bodies {
		rings = append(rings, c.Ring(geom.FlattenTolerance))
	}
	for _, c := range o.Panel.Openings {
		rings = append(rings, c.Ring(geom.FlattenTolerance))
	}
	for _, r := range rings {
		near = min(near, r.DistTo(at))
	}
	switch f.Code {
	case "shape-led-edge", "shape-led-outside", "shape-mount-edge":
		// A rule of 1 mm to the board's edge, then half a millimetre, a pad and half the pitch; twice that where edges meet.
		if near > 6e6 {
			return fmt.Errorf("nothing is nearer than %.2f mm", near/1e6)
		}
	case "shape-led-mount":
		if !slices.ContainsFunc(o.Panel.Mounts, func(m panel.Hole) bool { return m.At.Dist(at) < 6e6 }) {
			return fmt.Errorf("no mount is near")
		}
	case "shape-led-led":
		n := 0
		for _, l := range o.Panel.LEDs {
			if l.At.Dist(at) < 7e6 {
				n++
			}
		}
		if n < 2 {
			return fmt.Errorf("no LED is near")
		}
	}
	return nil
}

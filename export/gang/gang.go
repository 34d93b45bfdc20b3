// Package gang puts several boards on one manufacturing panel: artwork in, artwork out.
//
// In go pieces, each the proven artwork of one board and how many of it, in the panel frame of each; out comes a Plan: the
// artwork of the whole array in a frame of its own (origin at its lower left corner, X right, Y up, seen from the front),
// where each board lies, and how much of the laminate is boards. Boards are moved and turned by quarters, never mirrored,
// so that every coordinate stays exact. A frame round them carries tooling holes and fiducials.
//
// The boards are packed as rectangles by the maximal rectangles method (pack.go). They are parted either by slots of the
// router with tabs, whose perforation lets them be broken out (slot.go, tab.go), or by V-cuts (vcut.go), which need
// rectangular boards of one kind. Nets and parts get the board's number in front, "2.V+" and "2D7", so that a netlist of
// the array tells them apart. Silkscreen keeps off perforation and scored lines (ink.go): tabs are put where there is none, and what
// stands there all the same is cut. What cannot be made is a finding: boards that do not fit, tabs that find no place.
package gang

import (
	"context"
	"fmt"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Piece is a board and how many of it.
type Piece struct {
	Art       export.Artwork // with its profile; all pieces of one laminate
	Count     int
	EdgeClear geom.Nm // copper to the board's edge
	HoleClear geom.Nm // copper to an unplated hole
	InkClear  geom.Nm // silkscreen to a hole
}

// Cut is how boards are parted.
type Cut uint8

const (
	Tabs  Cut = iota // routed slots, with tabs to break
	Vcuts            // scored half through from both sides
)

// Options are the measures of the array.
type Options struct {
	Name   string
	Order  string  // of the project, as findings name it
	Width  geom.Nm // at most
	Height geom.Nm
	Rail   geom.Nm // width of the frame
	Gap    geom.Nm // of a slot: the router bit
	Cut    Cut
	Mask   geom.Nm // soldermask opening beyond a hole, each side
}

// keys returns the paths of the order's keys in the project file.
func (o Options) keys(names ...string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = diag.OrderKey(o.Order, n)
	}
	return out
}

// Placed is one board of the array.
type Placed struct {
	Piece int // index into the pieces
	Pose
	Box geom.Box // in the array's frame
}

// Plan is a finished array.
type Plan struct {
	Art    export.Artwork
	Boards []Placed // their number in the array is the index, from 1
	Tabs   []Tab
	Used   float64 // share of the array's area that is boards
	Method string  // of packing, for people

	pieces []Piece
	opt    Options
	edges  []geom.Contour // of each piece: its outline
	score  []geom.Segment // lines to score
}

// Make plans an array. Once ctx is done what it returns means nothing.
func Make(ctx context.Context, pieces []Piece, opt Options) (p Plan, l diag.List) {
	work.Until(ctx, func(w *work.Watch) { p, l = planned(w, pieces, opt) })
	return p, l
}

func planned(w *work.Watch, pieces []Piece, opt Options) (Plan, diag.List) {
	var l diag.List
	p := Plan{pieces: pieces, opt: opt, Method: method}
	for _, q := range pieces {
		outline, ok := outlineOf(q.Art)
		if !ok {
			l.Add(diag.Error, "gang-no-outline", "the board %s has no closed edge", q.Art.Name).Of(q.Art.Name).Ours()
			return p, l
		}
		p.edges = append(p.edges, outline)
	}
	var cuts []geom.Contour
	if opt.Cut == Vcuts {
		p.score, l = p.grid()
	} else {
		l = p.packed(w)
	}
	if l.HasErrors() {
		return p, l
	}
	if opt.Cut == Tabs {
		var more diag.List
		cuts, more = p.slots(w)
		if l = append(l, more...); l.HasErrors() {
			return p, l
		}
	}
	p.assemble(w, cuts)
	area := 0.0
	for _, b := range p.Boards {
		area += materialOf(pieces[b.Piece].Art)
	}
	p.Used = area / (p.Art.Size.W().MM() * p.Art.Size.H().MM())
	return p, l
}

// Outline returns the edge of board i in the array's frame.
func (p Plan) Outline(i int) geom.Contour { return p.Boards[i].contour(p.edges[p.Boards[i].Piece]) }

// Number is what stands before the nets ("2.") and parts ("2") of board i.
func Number(i int) string { return fmt.Sprint(i + 1) }

// outlineOf returns the largest curve of a profile, counter-clockwise.
func outlineOf(a export.Artwork) (geom.Contour, bool) {
	outline, _ := export.Parted(a.Edges())
	return outline, len(outline) > 0
}

// materialOf returns the area of a board without its cut-outs, in mm².
func materialOf(a export.Artwork) float64 {
	most, sum := 0.0, 0.0
	for _, c := range a.Edges() {
		most = max(most, c.Area())
		sum += c.Area()
	}
	return 2*most - sum
}

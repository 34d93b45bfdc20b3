package result

import (
	"lampblack/board"
	"lampblack/board/check"
	"lampblack/board/copper"
	"lampblack/board/fill"
	"lampblack/board/place"
	"lampblack/board/route"
	"lampblack/export/stencil"
	"lampblack/led"
	"lampblack/led/group"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Board is one finished board.
type Board struct {
	Width        float64 `json:"width_mm" doc:"of its edge" schema:"min=0"`
	Height       float64 `json:"height_mm" doc:"of its edge" schema:"min=0"`
	Area         float64 `json:"area_mm2" doc:"of its laminate" schema:"min=0"`
	Outline      Path    `json:"outline,omitempty" doc:"corners of its edge in the drawing, as those of an opening"`
	Cutouts      []Path  `json:"cutouts,omitempty" doc:"what is cut out of it, each as its edge"`
	Nets         int     `json:"nets" doc:"that have two pads or more" schema:"min=0"`
	Connections  int     `json:"connections" doc:"joints that the nets need: pads less one, over all nets" schema:"min=0"`
	Unrouted     int     `json:"unrouted" doc:"joints that copper does not make" schema:"min=0"`
	TrackMM      float64 `json:"track_mm" doc:"length of all tracks" schema:"min=0"`
	Vias         int     `json:"vias" doc:"plated holes that carry no part" schema:"min=0"`
	MinClearance float64 `json:"min_clearance_mm" doc:"least gap between copper of two nets" schema:"min=0"`

	SignalMM    float64  `json:"signal_mm" doc:"length of the tracks within the strings" schema:"min=0"`
	SignalRatio float64  `json:"signal_ratio" doc:"the same over their spanning trees" schema:"min=0"`
	Hops        Hops     `json:"hops" doc:"the way from LED to LED within the strings"`
	SignalVias  int      `json:"signal_vias" doc:"vias within the strings" schema:"min=0"`
	StitchVias  int      `json:"stitch_vias" doc:"vias between areas" schema:"min=0"`
	Areas       int      `json:"areas" doc:"pieces of copper area" schema:"min=0"`
	Spokes      int      `json:"spokes" doc:"that join pads to areas" schema:"min=0"`
	Cover       float64  `json:"cover" doc:"share of both sides that areas cover" schema:"min=0,max=1"`
	Through     *Through `json:"through,omitempty" doc:"resistance from IN to OUT"`
	MinTrack    float64  `json:"min_track_mm" doc:"narrowest track" schema:"min=0"`
	MinRing     float64  `json:"min_ring_mm" doc:"least annular ring" schema:"min=0"`
	MinHole     float64  `json:"min_hole_mm" doc:"least finished hole" schema:"min=0"`
	MinEdge     float64  `json:"min_edge_mm" doc:"copper to the board's edge" schema:"min=0"`

	Connectors []Connector `json:"connectors,omitempty" doc:"where its wires come"`

	Otherwise []string `json:"turned_otherwise,omitempty" doc:"LEDs that stand another way round than most"`
	Mixed     bool     `json:"turned_differently,omitempty" doc:"LEDs stand different ways, so that none is named"`

	Tightest *Limit       `json:"tightest,omitempty" doc:"the limit that the board comes nearest to"`
	Stencil  *Stencil     `json:"stencil,omitempty" doc:"how solder paste leaves the stencil, as the pack's own files have it; none where no part stands on the surface"`
	Travel   *DrillTravel `json:"drill_travel,omitempty" doc:"way of the drill over it"`
}

// Connector is a connector of the feed.
type Connector struct {
	Ref  string  `json:"ref" doc:"its reference"`
	Role string  `json:"role" doc:"what it is for" schema:"enum=IN|OUT"`
	X    float64 `json:"x" doc:"of its middle in the drawing, mm"`
	Y    float64 `json:"y" doc:"of its middle in the drawing, mm"`
	Turn int     `json:"turn" doc:"degrees counter-clockwise, seen from the front"`
	Side string  `json:"side" doc:"of the board that it is on" schema:"enum=top|bottom"`
}

// Limit is a limit and what the board uses of it.
type Limit struct {
	Limit    string  `json:"limit" doc:"in a builder's words"`
	Found    float64 `json:"found_mm" doc:"on the board" schema:"min=0"`
	Required float64 `json:"required_mm" doc:"by the rules" schema:"min=0"`
}

// Stencil is how solder paste leaves the openings of a stencil, by IPC-7525.
type Stencil struct {
	Thickness float64 `json:"thickness_mm" doc:"of the stencil" schema:"min=0"`
	Openings  int     `json:"openings" doc:"in it" schema:"min=0"`
	Area      float64 `json:"area_ratio" doc:"the least of all: an opening's area over that of its walls, at least 0.66" schema:"min=0"`
	Aspect    float64 `json:"aspect_ratio" doc:"the least of all: an opening's width over the stencil's thickness, at least 1.5" schema:"min=0"`
	Of        string  `json:"of,omitempty" doc:"the part that has the least area ratio"`
	Thickest  float64 `json:"thickest_mm" doc:"stencil that all of them can have" schema:"min=0"`
}

// Hops is the way from LED to LED within the strings: between the centres of the LEDs, the least that any grouping could
// have, and how much keeping all LEDs one way costs.
type Hops struct {
	MM         float64 `json:"mm" doc:"between the centres of the LEDs" schema:"min=0"`
	BoundMM    float64 `json:"bound_mm" doc:"the least that any grouping could have" schema:"min=0"`
	Ratio      float64 `json:"ratio" doc:"of the two" schema:"min=0"`
	KeepTurnMM float64 `json:"keep_turn_mm,omitempty" doc:"what keeping all LEDs one way costs"`
}

// Through is the resistance from IN to OUT of the supply and of 0 V: of the copper as it is, and by the ruler along the
// tracks alone.
type Through struct {
	PlusOhms        float64 `json:"plus_ohms" doc:"of the supply's copper" schema:"min=0"`
	MinusOhms       float64 `json:"minus_ohms" doc:"of the 0 V's copper" schema:"min=0"`
	SimplePlusOhms  float64 `json:"simple_plus_ohms" doc:"by the ruler along the tracks alone" schema:"min=0"`
	SimpleMinusOhms float64 `json:"simple_minus_ohms" doc:"by the ruler along the tracks alone" schema:"min=0"`
}

// Made is a board and the figures of merit of the stages that made it.
type Made struct {
	Panel   panel.Panel
	Wiring  led.Wiring
	Board   board.Board
	Figures check.Figures
	Placed  place.Figures
	Routed  route.Figures
	Filled  fill.Figures
	Copper  copper.Figures // zero without both connectors
	Travel  *DrillTravel
	Paste   stencil.Figures
}

// BoardOf tells of a board; nil where it was not begun.
func BoardOf(m Made) *Board {
	if len(m.Board.Outline) == 0 {
		return nil
	}
	box, f := m.Board.Outline.Box(), m.Figures
	b := &Board{
		Width: (box.Max.X - box.Min.X).MM(), Height: (box.Max.Y - box.Min.Y).MM(),
		Area: num(m.Board.Material().Area(), 4),
		Nets: f.Nets, Connections: f.Connections, Unrouted: f.Unrouted,
		TrackMM: num(f.TrackLen.MM(), 3), Vias: f.Vias, MinClearance: f.MinClearance.MM(),
		MinTrack: f.MinTrack.MM(), MinRing: f.MinRing.MM(), MinHole: f.MinDrill.MM(), MinEdge: f.MinEdge.MM(),
		SignalMM: num(m.Routed.SignalMM, 3), SignalRatio: num(m.Routed.SignalRatio, 3), SignalVias: m.Routed.SignalVias,
		StitchVias: m.Filled.Stitches, Areas: m.Filled.Pieces, Spokes: m.Filled.Spokes, Cover: num(m.Filled.Cover, 3),
		Hops: hopsOf(m), Travel: m.Travel,
	}
	at := frame(m.Panel.Origin)
	b.Outline = at.path(m.Board.Outline)
	for _, c := range m.Board.Cutouts {
		b.Cutouts = append(b.Cutouts, at.path(c))
	}
	for _, p := range m.Board.Parts {
		if p.Kind == board.Connector {
			x, y := at.at(p.At)
			b.Connectors = append(b.Connectors, Connector{p.Ref, p.Role.String(), x, y, p.Turn, p.On.String()})
		}
	}
	_, b.Mixed = m.Board.Odd()
	b.Otherwise = m.Board.OddRefs()
	if t := f.Tightest; t.Name != "" {
		b.Tightest = &Limit{t.Name, t.Found.MM(), t.Required.MM()}
	}
	if p := m.Paste; p.Openings > 0 {
		b.Stencil = &Stencil{p.Thickness.MM(), p.Openings, num(p.Area, 3), num(p.Aspect, 3), p.Of, p.Thickest.MM()}
	}
	if c := m.Copper; c != (copper.Figures{}) {
		b.Through = &Through{
			PlusOhms: num(float64(c.Plus), 6), MinusOhms: num(float64(c.Minus), 6),
			SimplePlusOhms: num(float64(c.SimplePlus), 6), SimpleMinusOhms: num(float64(c.SimpleMinus), 6),
		}
	}
	return b
}

func hopsOf(m Made) Hops {
	length, bound := group.Hops(m.Wiring, func(hole int) geom.Pt {
		if hole < 0 || hole >= len(m.Panel.LEDs) {
			return geom.Pt{} // of a wiring that place has refused
		}
		return m.Panel.LEDs[hole].At
	})
	h := Hops{MM: num(length.MM(), 3), BoundMM: num(bound.MM(), 3), KeepTurnMM: num(m.Placed.TurnCost.MM(), 3)}
	if bound > 0 {
		h.Ratio = num(float64(length)/float64(bound), 3)
	}
	return h
}

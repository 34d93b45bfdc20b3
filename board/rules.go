package board

import g "lampblack/panel/geom"

// Rules are the limits a board is made and checked to. All are lengths.
type Rules struct {
	// Shape.
	Margin        g.Nm // panel outline to board edge
	BodyClearance g.Nm // body or opening to board edge
	InnerRadius   g.Nm // smallest inside corner radius the router bit leaves

	// Copper.
	Track         g.Nm // narrowest track allowed
	Signal        g.Nm // usual width of a track within a string
	Clearance     g.Nm // copper to copper of another net
	EdgeClearance g.Nm // copper to board edge
	HoleClearance g.Nm // copper to an unplated hole
	ScrewClear    g.Nm // copper and parts kept from a mount hole's edge, for the screw head and its washer
	HoleToHole    g.Nm // edge to edge
	HoleToEdge    g.Nm // hole edge to board edge
	AnnularRing   g.Nm // copper round a plated hole
	Drill         g.Nm // smallest finished hole
	ViaDrill      g.Nm
	ViaPad        g.Nm
	Neck          g.Nm // narrowest part of an area
	Spoke         g.Nm // width of a thermal spoke
	SpokeGap      g.Nm // gap between pad and area where spokes bridge it

	// Soldermask and silkscreen.
	MaskMargin  g.Nm // mask opening beyond the pad, each side
	MaskWeb     g.Nm // narrowest mask between two openings
	LegendWidth g.Nm // silkscreen line
	LegendText  g.Nm // height of a capital letter, at least
	LegendClear g.Nm // silkscreen to mask opening, hole and board edge
}

// UsualRules returns limits that most board houses hold on two layers of 35 µm copper without extra cost.
//
// Source of the manufacturing limits: the "cautious" column of common practice for two-layer boards (track and
// space 0.20, finished drill 0.30, ring 0.20, copper to routed edge 0.50, mask 0.05 per side, web 0.10, legend line
// 0.15 and text 1.0, hole to hole 0.50, NPTH to copper 0.25 mm): common practice. The shape and track widths are
// ours; the screw clearance covers an M3 washer of 7 mm over a 3.2 mm hole with some play (ISO 7089, from memory).
func UsualRules() Rules {
	return Rules{
		Margin:        g.MM(1.0),
		BodyClearance: g.MM(1.0),
		InnerRadius:   g.MM(1.0),
		Track:         g.MM(0.20),
		Signal:        g.MM(0.40),
		Clearance:     g.MM(0.20),
		EdgeClearance: g.MM(0.50),
		HoleClearance: g.MM(0.25),
		ScrewClear:    g.MM(2.00),
		HoleToHole:    g.MM(0.50),
		HoleToEdge:    g.MM(0.80),
		AnnularRing:   g.MM(0.20),
		Drill:         g.MM(0.30),
		ViaDrill:      g.MM(0.40),
		ViaPad:        g.MM(0.90),
		Neck:          g.MM(0.30),
		Spoke:         g.MM(0.50),
		SpokeGap:      g.MM(0.30),
		MaskMargin:    g.MM(0.05),
		MaskWeb:       g.MM(0.10),
		LegendWidth:   g.MM(0.15),
		LegendText:    g.MM(1.20),
		LegendClear:   g.MM(0.15),
	}
}

package flow

import (
	"lampblack/board/copper"
	"lampblack/led"
	"lampblack/panel/geom"
)

// quality fills in how good the board is.
func (r *BoardResult) quality(b Built) {
	r.SignalMM, r.SignalRatio, r.SignalVias = num(b.Routed.SignalMM, 3), num(b.Routed.SignalRatio, 3), b.Routed.SignalVias
	r.StitchVias, r.Areas, r.Spokes, r.Cover = b.Filled.Stitches, b.Filled.Pieces, b.Filled.Spokes, num(b.Filled.Cover, 3)
	length, bound := led.Hops(b.Wiring, func(hole int) geom.Pt {
		if hole < 0 || hole >= len(b.Panel.LEDs) {
			return geom.Pt{} // of a wiring that place has refused
		}
		return b.Panel.LEDs[hole].At
	})
	r.Hops = HopsResult{MM: num(length.MM(), 3), BoundMM: num(bound.MM(), 3), KeepTurnMM: num(b.Placed.TurnCost.MM(), 3)}
	if bound > 0 {
		r.Hops.Ratio = num(float64(length)/float64(bound), 3)
	}
	if c := b.Copper; c != (copper.Figures{}) {
		r.Through = &ThroughResult{
			PlusOhms: num(float64(c.Plus), 6), MinusOhms: num(float64(c.Minus), 6),
			SimplePlusOhms: num(float64(c.SimplePlus), 6), SimpleMinusOhms: num(float64(c.SimpleMinus), 6),
		}
	}
}

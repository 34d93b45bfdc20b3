package route

import (
	"lampblack/led"
	"lampblack/panel/geom"
)

// Open is a joint that is missing: the nearest pins of the two parts of a net that it would make one, and what is in its way.
type Open struct {
	Net      led.NetID
	From, To geom.Pt     // the middles of the two pads
	At       geom.Pt     // where the way ends
	Of, With string      // the pins, as D1.A
	Why      string      // in words
	Taken    []led.NetID // nets whose copper is in the way; none: pads, holes and edges are
	Width    geom.Nm     // of the track that finds no way
}

// blocked is what stops a part of a net.
type blocked struct {
	at            geom.Pt
	where, advice string
	taken         []led.NetID
	width         geom.Nm
}

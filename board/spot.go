package board

import (
	"lampblack/led"
	"lampblack/panel/geom"
)

// Spot is a round pad on one side that no part stands on: bare copper in an opening of the soldermask, without paste.
type Spot struct {
	Use  SpotUse
	Ref  string    // of a test point, as led.Probe has it; a fiducial has none
	Net  led.NetID // NoNet of a fiducial
	At   geom.Pt
	On   geom.Side
	D    geom.Nm // of the copper
	Mask geom.Nm // soldermask opening beyond the copper, each side
}

// SpotUse is what a spot is for.
type SpotUse uint8

const (
	TestPoint SpotUse = iota // a meter's tip
	Fiducial                 // a machine's camera
)

// Pad returns the spot as a pad.
func (s Spot) Pad() Pad {
	return Pad{Pin: "1", Net: s.Net, At: s.At, Shape: Round, W: s.D, H: s.D, On: s.On, Mask: s.Mask, Solid: true}
}

// Name is what people call the spot.
func (s Spot) Name() string {
	if s.Use == Fiducial {
		return "fiducial"
	}
	return s.Ref
}

// TestPoint returns the test point of that reference.
func (b Board) TestPoint(ref string) (Spot, bool) {
	for _, s := range b.Spots {
		if s.Use == TestPoint && s.Ref == ref {
			return s, true
		}
	}
	return Spot{}, false
}

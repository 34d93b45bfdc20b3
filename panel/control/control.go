// Package control knows what sits in the openings of a panel: switches, knobs, jacks, lamps, displays, each kind with the sizes that
// the sheets are cut by. Its catalogue is embedded data (see catalogue.go); a project may add kinds of its own.
//
// A control has an axis, which goes through the middle of its opening. Most have a bush: a threaded tube, round which the sheet lies,
// and a nut on it. The bush of a switch or a potentiometer begins at a shoulder, before which its body ends, and reaches forward: the
// nut is in front of the sheet. That of a push-button begins at a flange and reaches back: the nut is behind.
package control

import (
	"fmt"
	"math"
	"slices"

	"lampblack/panel/geom"
)

// Kind is a kind of control. A length that it does not have, or that is not known, is 0.
type Kind struct {
	Name  string // "toggle-m12"
	Words string // "toggle switch with a bush of 12 mm"
	Use   Use
	Held  Held

	Hole Extent  // that it wants in the sheet that it clamps, or that it snaps into; zero: whatever is drawn
	Bush geom.Nm // across
	Flat geom.Nm // across it where it is flattened against turning, and from the flat to the other side: the hole has the same
	// Thread is the bush's length: of NutInFront from the shoulder to its end in front, of NutBehind from the flange back.
	Thread geom.Nm

	Nut         geom.Nm // across flats
	NutThick    geom.Nm
	Washer      geom.Nm // outer diameter
	WasherThick geom.Nm
	LockWasher  geom.Nm // thickness of a toothed one, on the side of the body
	Tab         geom.Nm // the hole for a key or a locking tab
	TabAt       geom.Nm // of its middle, from the axis, upward as the body stands
	LeastSheet  geom.Nm // thinnest and thickest that it clamps, where that is told
	MostSheet   geom.Nm
	Body        Extent  // behind the shoulder, as it stands upright
	Beyond      geom.Nm // in place of Body: how far it reaches beyond its opening
	Depth       geom.Nm // of the body
	Terminals   geom.Nm // behind it
	Shaft       geom.Nm // or lever: across
	ShaftLength geom.Nm // in front of the bush
	Handle      geom.Nm // what fingers hold, across: a knob, a lever's end, a button
	Flange      geom.Nm // in front of the sheet, across
	FlangeThick geom.Nm

	Sources []Source // where the values are from
}

// Source says where some values of a kind are from.
type Source struct{ Of, From string }

// Extent is the size of something: of a circle, whose diameter is W, or of a rectangle.
type Extent struct{ W, H geom.Nm }

// Round reports whether it is a circle's.
func (e Extent) Round() bool { return e.H == 0 }

// String returns it as people write it: "16 mm", "18 x 28 mm".
func (e Extent) String() string {
	if e.Round() {
		return e.W.String()
	}
	return fmt.Sprintf("%g x %v", e.W.MM(), e.H)
}

// Held is how a control is held.
type Held uint8

const (
	NutInFront Held = iota // its bush comes through the sheet from behind
	NutBehind              // its bush comes through from the front, up to a flange
	Clips                  // it snaps in from the front
	Screws                 // it is screwed on from behind, by whatever the builder draws or drills
)

var heldWords = [...]string{"nut-in-front", "nut-behind", "clips", "screws"}

// Holds returns the words for how controls are held, in the order of Held.
func Holds() []string { return slices.Clone(heldWords[:]) }

func (h Held) String() string { return heldWords[h] }

// Bushed reports whether a nut on a bush holds it.
func (h Held) Bushed() bool { return h == NutInFront || h == NutBehind }

// Use is how a control is used, by which its distance from others is told.
type Use uint8

const (
	Toggle Use = iota
	Pushbutton
	Knob     // turned without steps
	Selector // turned in steps
	Rocker
	Jack
	Lamp
	Display
)

var useWords = [...]string{"toggle", "pushbutton", "knob", "selector", "rocker", "jack", "lamp", "display"}

// Uses returns the words for uses, in the order of Use.
func Uses() []string { return slices.Clone(useWords[:]) }

func (u Use) String() string { return useWords[u] }

// Corners is the nut across corners, for six: flats over cos 30°, rounded up to 10 µm.
func (k Kind) Corners() geom.Nm {
	const step = 10 * geom.Micrometre
	return geom.Nm(math.Ceil(float64(k.Nut)/math.Cos(math.Pi/6)/float64(step))) * step
}

// NutRoom is the circle that the nut and its washer take up.
func (k Kind) NutRoom() geom.Nm { return max(k.Corners(), k.Washer) }

// Spanner is the outer diameter of a socket for the nut: 1.4 times its size and 1 mm more, which is within 0.5 mm of sockets of 8
// (12.2), 10 (15), 14 (20.6) and 17 mm (24.8) (common practice). No less than the washer.
func (k Kind) Spanner() geom.Nm {
	if k.Nut == 0 {
		return 0
	}
	return max(k.Nut*14/10+geom.Millimetre, k.Washer)
}

// OnThread is what nut and washers take of the thread beside the sheet.
func (k Kind) OnThread() geom.Nm { return k.NutThick + k.WasherThick + k.LockWasher }

// Room is the depth that it takes up behind its shoulder or flange.
func (k Kind) Room() geom.Nm { return k.Depth + k.Terminals }

package result

import (
	"lampblack/board/height"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Depth is how far a panel reaches before and behind its face, with its boards and all that stands on them.
type Depth struct {
	Behind  float64    `json:"behind_mm" doc:"from the face's front to the end of what reaches farthest back" schema:"min=0"`
	Deepest string     `json:"deepest,omitempty" doc:"what that is: the reference of a part, the kind of a control, a screw; absent: a sheet or a board"`
	Before  float64    `json:"before_mm" doc:"how far anything stands out before the face" schema:"min=0"`
	Case    float64    `json:"case_mm,omitempty" doc:"how deep the case is behind the face's front, as the project tells it" schema:"min=0"`
	Boards  []Standing `json:"boards,omitempty" doc:"how each board stands in the panel"`
	Line    [4]float64 `json:"line_mm" doc:"that side.svg is cut along: x, y, x, y; where it steps from line to line, from the first one's beginning to the last one's end"`

	Steps [][4]float64 `json:"steps_mm,omitempty" doc:"the lines that it steps along, in their order; absent: it is straight"`
}

// Standing is how a board stands in its panel.
type Standing struct {
	Board string     `json:"board" doc:"its name"`
	Front float64    `json:"front_mm" doc:"its front, behind the face's front" schema:"min=0"`
	Back  float64    `json:"back_mm" doc:"its back, behind the face's front" schema:"min=0"`
	Room  float64    `json:"room_mm" doc:"free before it, up to the LED sheet or the plate" schema:"min=0"`
	Sides []StandOut `json:"sides" doc:"what stands out of its front and of its back, the highest first"`
}

// StandOut is what stands out of a side of a board.
type StandOut struct {
	Side   string  `json:"side" doc:"front: the side of the LEDs" schema:"enum=front|back"`
	What   string  `json:"what" doc:"lens, flange, body, leads, pins, joints, plug or wires"`
	Of     string  `json:"of" doc:"LED, resistor or connector" schema:"enum=LED|resistor|connector"`
	Kind   string  `json:"kind" doc:"the part's body"`
	Height float64 `json:"height_mm" doc:"how far it stands out" schema:"min=0"`
	Count  int     `json:"count" doc:"parts with such" schema:"min=1"`
}

// DepthOf tells how deep a panel is; nil where it was not put together.
func DepthOf(q panel.Panel, stands []height.Stand, cut height.Cut, told geom.Nm) *Depth {
	if cut.Depth == 0 {
		return nil
	}
	f := frame(q.Origin)
	d := &Depth{Behind: cut.Depth.MM(), Before: cut.Before.MM(), Case: told.MM()}
	a, b := cut.Ends()
	d.Line[0], d.Line[1] = f.at(a)
	d.Line[2], d.Line[3] = f.at(b)
	for _, l := range cut.Path {
		var one [4]float64
		one[0], one[1] = f.at(l.A)
		if one[2], one[3] = f.at(l.B); len(cut.Path) > 1 {
			d.Steps = append(d.Steps, one)
		}
	}
	if p, ok := cut.Deepest(); ok && p.To == cut.Depth {
		d.Deepest = p.Of
	}
	for _, s := range stands {
		one := Standing{Board: s.Board, Front: s.Front.MM(), Back: s.Back.MM(), Room: s.Room.MM(), Sides: []StandOut{}}
		for _, o := range s.Sides {
			side := "front"
			if o.On == geom.Bottom {
				side = "back"
			}
			one.Sides = append(one.Sides, StandOut{side, o.What, o.Whose.String(), o.Kind, o.Height.MM(), o.Count})
		}
		d.Boards = append(d.Boards, one)
	}
	return d
}

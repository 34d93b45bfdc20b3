package result

import (
	"lampblack/panel"
	"lampblack/panel/control"
)

// Control is what sits in an opening.
type Control struct {
	Opening int      `json:"opening" doc:"which of openings it sits in, from 0" schema:"min=0"`
	Kind    string   `json:"kind" doc:"as the project names it"`
	Words   string   `json:"words" doc:"what that is"`
	X       float64  `json:"x" doc:"of its axis, mm"`
	Y       float64  `json:"y" doc:"of its axis, mm"`
	Clamps  string   `json:"clamps,omitempty" doc:"the sheets between its shoulder or flange and its nut; absent: it is screwed on from behind" schema:"enum=face|face and diffuser|LED sheet|face to LED sheet|plate"`
	Behind  float64  `json:"behind_mm" doc:"how far behind the face's front its body and terminals end" schema:"min=0"`
	Thread  float64  `json:"thread_mm,omitempty" doc:"length of its bush" schema:"min=0"`
	Used    float64  `json:"thread_used_mm,omitempty" doc:"of it, by the sheets, washers and nut" schema:"min=0"`
	Left    *float64 `json:"thread_left_mm,omitempty" doc:"what is left of it; negative where it is too short"`
	Tab     string   `json:"tab,omitempty" doc:"what becomes of its key or locking tab: cut where a sheet behind the face has a hole for it, off where it is to be broken off" schema:"enum=cut|off"`
	Body    bool     `json:"body_assumed,omitempty" doc:"its body is the kind's: nobody drew it"`
}

// ControlsOf tells what sits in a panel's openings.
func ControlsOf(q panel.Panel) []Control {
	var out []Control
	f := frame(q.Origin)
	for _, c := range q.Controls {
		x, y := f.at(c.At)
		k := c.Kind
		one := Control{Opening: c.Opening, Kind: k.Name, Words: k.Words, X: x, Y: y, Clamps: c.Clamps.String(), Body: c.Brought}
		begin := c.To
		if k.Held == control.NutBehind || k.Held == control.Clips {
			begin = c.From
		}
		one.Behind = (begin + k.Room()).MM()
		if k.Held.Bushed() {
			left := c.Left.MM()
			one.Thread, one.Used, one.Left = k.Thread.MM(), (k.Thread - c.Left).MM(), &left
		}
		if k.Tab > 0 {
			if one.Tab = "cut"; c.Clamps.Clamped(panel.FaceSheet) {
				one.Tab = "off"
			}
		}
		out = append(out, one)
	}
	return out
}

package panel

import (
	"lampblack/panel/control"
	"lampblack/panel/geom"
)

// Sheet is one of a panel's sheets, from the front.
type Sheet uint8

const (
	FaceSheet Sheet = iota
	DiffuserSheet
	LEDSheet
	PlateSheet // right behind the LED sheet, where the project asks for one: it carries the controls
	Sheets
)

// String returns what people call the sheet.
func (s Sheet) String() string {
	return [...]string{"face", "diffuser", "LED sheet", "plate"}[s]
}

// Clamp is what a control clamps: what lies between its shoulder or flange and its nut.
type Clamp uint8

const (
	ClampsUnsaid   Clamp = iota // nobody said
	ClampsFace                  // the face alone
	ClampsDiffuser              // the face and the diffuser that lies on it
	ClampsLEDSheet              // the LED sheet alone: face and diffuser come before it
	ClampsStack                 // all from the face to the LED sheet, with something as thick as the gap between
	ClampsPlate                 // the plate alone
	ClampsNothing               // it is screwed to something behind
)

// String returns what people call what it clamps.
func (c Clamp) String() string {
	return [...]string{"", "face", "face and diffuser", "LED sheet", "face to LED sheet", "plate", ""}[c]
}

// Clamped reports whether the control clamps the sheet.
func (c Clamp) Clamped(s Sheet) bool {
	switch c {
	case ClampsFace:
		return s == FaceSheet
	case ClampsDiffuser:
		return s <= DiffuserSheet
	case ClampsLEDSheet:
		return s == LEDSheet
	case ClampsStack:
		return s <= LEDSheet
	case ClampsPlate:
		return s == PlateSheet
	}
	return false
}

// Control is what sits in an opening, and what that takes of the sheets. Depths are from the face's front backward.
type Control struct {
	Opening  int     // index into Panel.Openings
	At       geom.Pt // of its axis: the middle of the opening
	Kind     control.Kind
	Quarters int // turns, counter-clockwise, from how it stands upright: 0 to 3, where only a flat of its opening makes it more than 1
	Clamps   Clamp
	From, To geom.Nm // the depths between which lies what it clamps; where it clamps nothing, both where its body begins
	Left     geom.Nm // of the thread, beyond the nut; negative: it is too short by so much. 0 where no nut holds it

	// Body is its body behind the panel, an index into Panel.Bodies: -1 where it has none. Brought says that nobody drew it and
	// it is the kind's.
	Body    int
	Brought bool

	// Cuts are what each sheet is cut for it in place of the opening as drawn; empty: the opening as drawn does.
	Cuts  [Sheets][]geom.Contour
	InGap []geom.Contour // of it, what stands in the gap between diffuser and LED sheet like a wall
}

// Cuts returns what is cut out of a sheet for openings and for what sits in them, and for bodies that begin before it. Mounts and
// the holes of LEDs are not among them.
func (p Panel) Cuts(s Sheet) []geom.Contour {
	out := make([]geom.Contour, 0, len(p.Openings))
	own := make([][]geom.Contour, len(p.Openings))
	for _, c := range p.Controls {
		own[c.Opening] = c.Cuts[s]
	}
	for i, o := range p.Openings {
		if len(own[i]) > 0 {
			out = append(out, own[i]...)
		} else {
			out = append(out, o.Contour)
		}
	}
	return append(out, p.loose(s)...)
}

// Wider returns those of a sheet's cuts that are larger than the openings: for bodies and for what sits in openings.
func (p Panel) Wider(s Sheet) []geom.Contour {
	var out []geom.Contour
	for _, c := range p.Controls {
		out = append(out, c.Cuts[s]...)
	}
	return append(out, p.loose(s)...)
}

// loose returns the bodies of no control that a sheet is cut for.
func (p Panel) loose(s Sheet) []geom.Contour {
	begin := [...]Sheet{BehindSheets: PlateSheet, BehindDiffuser: LEDSheet, BehindFace: DiffuserSheet}
	if s < begin[p.BodyDepth] {
		return nil
	}
	taken := make([]bool, len(p.Bodies))
	for _, c := range p.Controls {
		if c.Body >= 0 {
			taken[c.Body] = true
		}
	}
	var out []geom.Contour
	for i, b := range p.Bodies {
		if !taken[i] {
			out = append(out, b)
		}
	}
	return out
}

// Drawn returns the bodies that somebody drew: not those that controls bring.
func (p Panel) Drawn() []geom.Contour {
	n := len(p.Bodies)
	for _, c := range p.Controls {
		if c.Brought {
			n = min(n, c.Body)
		}
	}
	return p.Bodies[:n]
}

// InGap returns what stands in the gap between diffuser and LED sheet like a wall: bodies that begin before it, and those of controls.
func (p Panel) InGap() []geom.Contour {
	out := p.loose(LEDSheet)
	for _, c := range p.Controls {
		out = append(out, c.InGap...)
	}
	return out
}

// InDiffuser returns what the diffuser is cut for beyond the openings.
func (p Panel) InDiffuser() []geom.Contour { return p.Wider(DiffuserSheet) }

// ControlAt returns the control in an opening.
func (p Panel) ControlAt(opening int) (Control, bool) {
	for _, c := range p.Controls {
		if c.Opening == opening {
			return c, true
		}
	}
	return Control{}, false
}

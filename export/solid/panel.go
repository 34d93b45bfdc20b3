package solid

import (
	"math"

	"lampblack/board"
	"lampblack/board/height"
	"lampblack/export/scene"
	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Stack is a panel as it is put together.
type Stack struct {
	In     height.In
	Sheets []height.Solid // from the front, as they are cut
	Words  *lettering.Engraving
	Behind bool   // the paint is on the back of the face
	Boards []Node // of In.Boards, as Board makes them
	Lamps  Lamps
}

// coated is how far a film stands off what it lies on, so that viewers can tell which is in front: paint as thick as it usually is
// (common practice).
const coated = 50 * geom.Micrometre

// Panel returns the panel's sheets, boards, screws and controls, the face's front at Z = 0.
func Panel(w *work.Watch, s Stack) Node {
	root := Node{Name: s.In.Panel.Name, Told: Told{Kind: "panel"}}
	for i, sheet := range s.Sheets {
		w.Look()
		if len(sheet.Edge) > 0 && sheet.To > sheet.From {
			root.Children = append(root.Children, s.sheet(w, i, sheet))
		}
	}
	if st := s.In.Stack; len(s.In.Panel.Frame) > 0 && st.Gap > 0 {
		from := st.Face + st.Diffuser
		m := prism(s.In.Panel.Frame, -from-st.Gap, -from, both)
		m.Material = wall()
		root.Children = append(root.Children, Node{Name: "frame", Shape: &Shape{m}, Told: Told{Kind: "sheet", Span: span(from, from+st.Gap)}})
	}
	for i, b := range s.Boards {
		front, _ := s.In.Span(s.In.Boards[i])
		b.At.Z = -front
		if len(s.Boards) == 1 {
			b.Name = "board"
		}
		root.Children = append(root.Children, b)
	}
	made := map[string]*Shape{}
	for _, m := range s.In.Mounts {
		if pieces := s.In.OfMount(m); len(pieces) > 0 {
			root.Children = append(root.Children, screw(pieces, m.At, made))
		}
	}
	for _, c := range s.In.Panel.Controls {
		root.Children = append(root.Children, control(s.In.Panel, c))
	}
	return root
}

// sheet is one of the sheets: closed, with its holes; on the face the paint, and what of it is engraved, which the light shows.
func (s Stack) sheet(w *work.Watch, i int, sheet height.Solid) Node {
	knife := geom.Knife{Look: w.Look}
	holes := rings(sheet.Holes, chord)
	whole := knife.Without(region(sheet.Edge), holes...)
	m := prism(whole, -sheet.To, -sheet.From, both)
	m.Material = acrylic()
	switch sheet.Name {
	case panel.DiffuserSheet.String():
		m.Material = opal()
	case panel.PlateSheet.String():
		m.Material = aluminium()
	}
	shape := Shape{m}
	if sheet.Name == panel.FaceSheet.String() {
		z := coated
		if s.Behind {
			z = -sheet.To - coated
		}
		shape = append(shape, s.painted(knife, whole, z)...)
	}
	return Node{Name: sheet.Name, Shape: &shape, Told: Told{Kind: "sheet", Span: span(sheet.From, sheet.To)}}
}

// painted is the paint on the face, and in it what is engraved, by the colour of its light.
func (s Stack) painted(knife geom.Knife, whole geom.Region, z geom.Nm) Shape {
	var all []geom.Region
	if s.Words != nil {
		all = append(append(all, s.Words.Texts...), s.Words.Symbols...)
	}
	var cut geom.Region
	lit := make([]Mesh, 0, 2)
	for _, g := range all {
		if len(g) == 0 {
			continue
		}
		var own geom.Region
		for _, p := range g {
			own = append(own, coarse(p, chord))
		}
		l := s.lampBy(g.Box().Centre())
		mat := light(l.Colour, l.RGB)
		k := 0
		for ; k < len(lit) && lit[k].Material != mat; k++ {
		}
		if k == len(lit) {
			lit = append(lit, Mesh{Material: mat})
		}
		lit[k].add(film(own, z-coated/2, front))
		cut = append(cut, own...)
	}
	m := film(knife.Minus(whole, cut), z, front)
	m.Material = paint()
	return append(Shape{m}, lit...)
}

// lampBy is the kind of the LED that is nearest to a place.
func (s Stack) lampBy(at geom.Pt) Lamp {
	kind, near := "", math.Inf(1)
	for _, b := range s.In.Boards {
		for _, q := range b.Parts {
			if d := q.At.Dist(at); q.Kind == board.LED && d < near {
				kind, near = q.Value, d
			}
		}
	}
	return s.Lamps.of(kind)
}

// screw is what goes into a mount, each thing for itself.
func screw(pieces []height.Piece, at geom.Pt, made map[string]*Shape) Node {
	root := Node{Name: pieces[0].Of, At: Point{at.X, at.Y, 0}, Told: Told{Kind: "screw", Value: pieces[0].Of}}
	var own Shape
	for _, q := range pieces {
		d, low := q.Shape.Box().W(), q.From-q.To
		m := Mesh{Material: steel(), Round: true}
		switch q.What {
		case height.Head:
			r := d / 2
			m.add(turned(sides(d), step{r, 0}, step{r, -low * 2 / 5}, step{r * 4 / 5, -low * 4 / 5}, step{r / 2, -low}))
			m = m.at(0, 0, -q.To)
			cross := Mesh{Material: plastic()}
			for _, b := range [2]geom.Pt{{X: r / 2, Y: r / 8}, {X: r / 8, Y: r / 2}} {
				cross.add(box(-b.X, -b.Y, b.X, b.Y, -q.From, -q.From+10*geom.Micrometre))
			}
			own = append(own, m, cross)
			continue
		case height.Shank:
			own = append(own, rodOf(d, -q.To, -q.From))
			continue
		case height.Spacer:
			m.Material = brass()
			m.add(prism(hexagon(overFlats(d)), low, 0, both))
		case height.Nut:
			m.add(prism(hexagon(overFlats(d)), low, 0, both))
		default:
			m.add(rod(d, low, 0))
		}
		key := q.What + " " + d.String() + " " + low.String()
		if made[key] == nil {
			made[key] = &Shape{m}
		}
		root.Children = append(root.Children, Node{Name: q.What, At: Point{Z: -q.From}, Shape: made[key], Told: Told{Kind: q.What, Span: span(q.From, q.To)}})
	}
	if len(own) > 0 {
		root.Shape = &own
	}
	return root
}

func rodOf(d, low, high geom.Nm) Mesh {
	m := rod(d, low, high)
	m.Material, m.Round = steel(), true
	return m
}

// Console returns the panels, each with its lower left corner at its place in the console.
func Console(name string, panels []Node, at []geom.Pt) Node {
	root := Node{Name: name, Told: Told{Kind: "console"}}
	for i, p := range panels {
		p.At = Point{at[i].X, at[i].Y, 0}
		root.Children = append(root.Children, p)
	}
	return root
}

// LampOf returns how a kind is seen.
func LampOf(kind, colour string, rgb [3]uint8) Lamp {
	return Lamp{kind, colour, scene.Colour(uint32(rgb[0])<<16 | uint32(rgb[1])<<8 | uint32(rgb[2]))}
}

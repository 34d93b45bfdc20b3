package sketch

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"lampblack/panel"
	"lampblack/panel/dxf"
)

// Stack is a drawing of a panel's sheets, or of several panels, and what a builder sees in it.
type Stack struct {
	Name    string
	Drawing dxf.Drawing
	Panels  int
	Size    dxf.XY
	LEDs    []dxf.XY // of the first panel, from its corner
	Cuts    []Cut
	Screws  []dxf.XY
	Words   int  // texts on the first panel, at least
	Asks    bool // nobody can tell: a question must be asked
	Tells   bool // which sheets are seen from behind can be told: nothing is asked
}

// Cut is an opening.
type Cut struct {
	At   dxf.XY
	W, H float64 // round where H is 0
}

// Stacks is how many kinds of drawings there are: seeds take them in turn.
const Stacks = 20

// stacker draws the sheets of one panel.
type stacker struct {
	Stack
	rng    *rand.Rand
	text   []string
	behind bool // what is drawn is turned over on its sheet
}

func (s *stacker) put(layer string, at dxf.XY, p dxf.Path) {
	if s.behind {
		p = mirrored(p).Moved(dxf.XY{X: s.Size.X})
	}
	e := dxf.Entity{Type: "LWPOLYLINE", Layer: layer, Path: p.Moved(at)}
	s.Drawing.Entities = append(s.Drawing.Entities, e)
}

func (s *stacker) write(layer string, at dxf.XY, height float64, text string) {
	s.Drawing.Entities = append(s.Drawing.Entities, dxf.Entity{Type: "TEXT", Layer: layer, Text: &dxf.Text{Text: text, At: at, Height: height, Width: 1}})
}

func (s *stacker) box(layer string, at dxf.XY, x, y, w, h float64) {
	s.put(layer, at, Rect(x, y, w, h))
}

// sides draws the same as four lines.
func (s *stacker) sides(layer string, at dxf.XY, x, y, w, h float64) {
	for _, e := range Rect(x, y, w, h).Edges() {
		s.put(layer, at, Line(e.From, e.To))
	}
}

// plan lays a panel out.
func (s *stacker) plan() {
	r := s.rng
	s.Size = dxf.XY{X: 120 + 10*float64(r.IntN(8)), Y: 70 + 5*float64(r.IntN(6))}
	s.LEDs, s.Cuts, s.Screws, s.text = nil, nil, nil, nil
	w, h := s.Size.X, s.Size.Y
	for _, x := range []float64{5, w - 5} {
		for _, y := range []float64{5, h - 5} {
			s.Screws = append(s.Screws, dxf.XY{X: x, Y: y})
		}
	}
	n := 4 + r.IntN(4)
	for i := range n {
		s.LEDs = append(s.LEDs, dxf.XY{X: 22 + 11*float64(i), Y: h - 16})
	}
	k := 2 + r.IntN(3)
	words := []string{"FANS", "VENTS", "HEAT", "LAMPS", "MIST", "PUMP"}
	r.Shuffle(len(words), func(i, k int) { words[i], words[k] = words[k], words[i] })
	d := []float64{7.2, 9.5, 12.2}[r.IntN(3)]
	for i := range k {
		x := 24 + (w-48)*float64(i)/float64(k-1)
		s.Cuts = append(s.Cuts, Cut{At: dxf.XY{X: x, Y: 28}, W: d})
		s.text = append(s.text, words[i])
	}
	if r.IntN(2) == 0 && s.LEDs[n-1].X < w-50 {
		s.Cuts = append(s.Cuts, Cut{At: dxf.XY{X: w - 30, Y: h - 22}, W: 26, H: 14})
	}
}

func (s *stacker) edge(layer string, at dxf.XY) { s.box(layer, at, 0, 0, s.Size.X, s.Size.Y) }

func (s *stacker) screws(layer string, at dxf.XY) {
	for _, p := range s.Screws {
		s.put(layer, at, Ring(p.X, p.Y, 3.4))
	}
}

func (s *stacker) cuts(layer string, at dxf.XY, more float64) {
	for _, c := range s.Cuts {
		if c.H == 0 {
			s.put(layer, at, Ring(c.At.X, c.At.Y, c.W+more))
			continue
		}
		s.box(layer, at, c.At.X-(c.W+more)/2, c.At.Y-(c.H+more)/2, c.W+more, c.H+more)
	}
}

func (s *stacker) leds(layer string, at dxf.XY, d float64) {
	for _, p := range s.LEDs {
		s.put(layer, at, Ring(p.X, p.Y, d))
	}
}

func (s *stacker) words(layer string, at dxf.XY) {
	for i, t := range s.text {
		c := s.Cuts[i]
		s.write(layer, at.Add(dxf.XY{X: c.At.X - 6, Y: 12}), 3, t)
	}
	s.write(layer, at.Add(dxf.XY{X: 22, Y: s.Size.Y - 27}), 3, "STATUS")
	s.Words = len(s.text) + 1
}

// face draws the front's sheet, with no LEDs.
func (s *stacker) face(layer string, at dxf.XY) {
	s.edge(layer, at)
	s.screws(layer, at)
	s.cuts(layer, at, 0)
	s.words(layer, at)
}

// whole draws a panel that is one sheet.
func (s *stacker) whole(at dxf.XY, led float64) {
	s.edge("0", at)
	s.screws("0", at)
	s.cuts("0", at, 0)
	s.leds("0", at, led)
	s.words("0", at)
}

// frame draws a drawing's frame round a box and a title block in its lower right corner.
func (s *stacker) frame(layer string, b dxf.Box, lines bool) {
	w, h := 420.0, 297.0
	for b.W()+40 > w || b.H()+70 > h {
		w, h = w*math.Sqrt2, h*math.Sqrt2
	}
	o := dxf.XY{X: b.Min.X - 20, Y: b.Min.Y - 50}
	draw := s.box
	if lines {
		draw = s.sides
	}
	draw(layer, o, 0, 0, w, h)
	draw(layer, o, 10, 10, w-20, h-20)
	const tw, th = 120.0, 30.0
	x0 := w - 10 - tw
	draw(layer, o, x0, 10, tw, th)
	for i := 1; i < 3; i++ {
		s.put(layer, o, Line(dxf.XY{X: x0, Y: 10 + 10*float64(i)}, dxf.XY{X: x0 + tw, Y: 10 + 10*float64(i)}))
	}
	s.put(layer, o, Line(dxf.XY{X: x0 + 60, Y: 10}, dxf.XY{X: x0 + 60, Y: 40}))
	for i, t := range []string{"Climate desk", "Scale 1:1", "Sheet 1 of 1", "Drawn at the greenhouse"} {
		s.write(layer, o.Add(dxf.XY{X: x0 + 3 + 60*float64(i%2), Y: 13 + 10*float64(i/2)}), 3, t)
	}
}

// captions names the sheets in several languages: face, diffuser, LED sheet, legend.
var captionWords = [...][4]string{
	{"Face", "Diffuser", "LED sheet", "Legend"},
	{"Frontplatte", "Diffusor", "LED-Platte", "Beschriftung"},
	{"Façade", "Diffuseur", "Plaque LED", "Gravure"},
	{"Frontal", "Difusor", "Placa LED", "Rotulación"},
	{"FRONT PANEL", "DIFFUSER 3 mm", "LED CARRIER", "LETTERING"},
}

// StackOf returns the drawing of a seed.
func StackOf(seed uint64) Stack {
	kind := int(seed) % Stacks
	s := &stacker{rng: rand.New(rand.NewPCG(seed, 0x7368656574))}
	s.Drawing = dxf.Drawing{Name: fmt.Sprintf("stack-%d.dxf", seed), Units: dxf.Units{Code: 4, Name: "mm", MMPerUnit: 1}}
	s.plan()
	s.Panels = 1
	names := captionWords[s.rng.IntN(len(captionWords))]
	led := []float64{3, 3.1, 5}[s.rng.IntN(3)]
	step := dxf.XY{X: s.Size.X + 20 + 5*float64(s.rng.IntN(5))}
	if s.rng.IntN(2) == 0 {
		step = dxf.XY{Y: s.Size.Y + 30}
	}
	at := func(i int) dxf.XY {
		return dxf.XY{X: 50 + step.X*float64(i), Y: 40 + step.Y*float64(i)}
	}
	zero := dxf.XY{X: 50, Y: 40}
	caption := func(i int, layer string) { s.write(layer, at(i).Add(dxf.XY{Y: -9}), 5, names[i]) }
	sheets := func(layer func(i int) string, caption func(i int, layer string)) {
		for i := range 4 {
			l, o := layer(i), at(i)
			s.edge(l, o)
			s.screws(l, o)
			switch i {
			case 0:
				s.cuts(l, o, 0)
			case 1:
				s.cuts(l, o, 1)
			case 2:
				s.cuts(l, o, 0)
				s.leds(l, o, led)
			case 3:
				s.words(l, o)
			}
			if caption != nil {
				caption(i, l)
			}
		}
	}
	flat := func(int) string { return "0" }
	switch kind {
	case 0:
		s.Name = "over each other, layers named"
		step = dxf.XY{}
		sheets(func(i int) string { return names[i] }, nil)
	case 1:
		s.Name = "over each other, layers numbered"
		step = dxf.XY{}
		sheets(func(i int) string { return fmt.Sprintf("Layer_%d", i+1) }, nil)
	case 2:
		s.Name = "over each other, the sheets behind smaller"
		s.edge(names[0], zero)
		s.screws(names[0], zero)
		s.cuts(names[0], zero, 0)
		in := []float64{1, 1.5, 2}[s.rng.IntN(3)]
		s.box(names[1], zero, in, in, s.Size.X-2*in, s.Size.Y-2*in)
		s.cuts(names[1], zero, 1)
		s.screws(names[1], zero)
		s.box(names[2], zero, in, in, s.Size.X-2*in, s.Size.Y-2*in)
		s.leds(names[2], zero, led)
		s.words(names[3], zero)
	case 3:
		s.Name = "side by side, named beside"
		sheets(flat, caption)
	case 4:
		s.Name = "side by side, all on one layer, no words"
		sheets(flat, nil)
	case 5:
		s.Name = "side by side, a layer each"
		sheets(func(i int) string { return names[i] }, nil)
	case 6:
		s.Name = "side by side in a frame"
		sheets(flat, caption)
		s.frame([]string{"0", "frame"}[s.rng.IntN(2)], s.Drawing.Extents(), s.rng.IntN(2) == 0)
	case 7:
		s.Name = "two panels of one size"
		s.Panels = 2
		s.whole(at(0), led)
		t := &stacker{rng: s.rng}
		t.plan()
		t.Size, t.Screws = s.Size, s.Screws
		t.Cuts = t.Cuts[:2]
		t.text = []string{"DOME", "FLAT"}
		t.Cuts[0].At.X, t.Cuts[1].At.X = 31, s.Size.X-37
		for i := range t.LEDs {
			t.LEDs[i] = dxf.XY{X: 26 + 9*float64(i), Y: s.Size.Y - 19}
		}
		t.whole(at(1), led)
		s.Drawing.Entities = append(s.Drawing.Entities, t.Drawing.Entities...)
	case 8:
		s.Name = "copies of one panel"
		s.Panels = 3
		for i := range 3 {
			s.whole(at(i), led)
		}
	case 9:
		s.Name = "one panel in a frame"
		s.whole(zero, led)
		s.frame("0", s.Drawing.Extents(), s.rng.IntN(2) == 0)
	case 10:
		s.Name = "two sheets, the front's print and the plate"
		s.edge("0", at(0))
		s.screws("0", at(0))
		s.cuts("0", at(0), 0)
		s.leds("0", at(0), led)
		s.edge("0", at(1))
		s.cuts("0", at(1), 0)
		s.words("0", at(1))
	case 12:
		s.Name, s.Tells = "the LED sheet seen from behind", true
		s.lopsided()
		s.face("0", at(0))
		s.turned(func() {
			s.edge("0", at(1))
			s.screws("0", at(1))
			s.cuts("0", at(1), 0)
			s.leds("0", at(1), led)
		})
		if s.rng.IntN(2) == 0 {
			caption(0, "0")
			s.write("0", at(1).Add(dxf.XY{Y: -9}), 5, names[2])
		}
	case 13:
		s.Name, s.Tells = "LED sheet and diffuser seen from behind, a layer each", true
		s.lopsided()
		s.face(names[0], at(0))
		s.turned(func() {
			for i := 1; i < 3; i++ {
				s.edge(names[i], at(i))
				s.screws(names[i], at(i))
				s.cuts(names[i], at(i), float64(2-i))
			}
			s.leds(names[2], at(2), led)
		})
	case 14:
		s.Name = "the LED sheet from behind, and nothing tells so"
		s.Asks = true
		s.face("0", at(0))
		caption(0, "0")
		s.turned(func() {
			s.edge("0", at(1))
			s.screws("0", at(1))
			s.leds("0", at(1), led)
		})
		s.write("0", at(1).Add(dxf.XY{Y: -9}), 5, names[2])
	case 15:
		s.Name, s.Tells = "the LED sheet from behind, as its name says", true
		s.face("0", at(0))
		caption(0, "0")
		s.turned(func() {
			s.edge("0", at(1))
			s.screws("0", at(1))
			s.leds("0", at(1), led)
		})
		s.write("0", at(1).Add(dxf.XY{Y: -9}), 5, names[2]+[]string{", mirrored", " from behind", " (gespiegelt)"}[s.rng.IntN(3)])
	case 16:
		s.Name = "a smaller sheet beside the face, named"
		s.whole(at(0), led)
		caption(0, "0")
		o, in := at(1), 9.0
		s.box("0", o, in, in, s.Size.X-2*in, s.Size.Y-2*in)
		s.cuts("0", o, 1)
		s.write("0", o.Add(dxf.XY{X: in, Y: in - 9}), 5, names[1])
	case 17:
		s.Name = "a smaller LED sheet beside the face, no words"
		s.face("0", at(0))
		o, in := at(1), 9.0
		s.box("0", o, in, in, s.Size.X-2*in, s.Size.Y-2*in)
		s.cuts("0", o, 1)
		s.leds("0", o, led)
	case 18:
		s.Name = "a smaller LED sheet with LEDs alone"
		s.Asks = true
		s.face("0", at(0))
		o, in := at(1), 9.0
		s.box("0", o, in, in, s.Size.X-2*in, s.Size.Y-2*in)
		s.leds("0", o, led)
	case 19:
		s.Name = "two panels of two sizes"
		s.Panels = 2
		s.whole(at(0), led)
		t := &stacker{rng: s.rng}
		t.plan()
		t.Size = dxf.XY{X: s.Size.X - 20, Y: s.Size.Y - 10}
		t.Screws = []dxf.XY{{X: 4, Y: 4}, {X: t.Size.X - 4, Y: t.Size.Y - 4}}
		t.Cuts, t.text = t.Cuts[:1], []string{"DOME"}
		for i := range t.LEDs {
			t.LEDs[i] = dxf.XY{X: 26 + 9*float64(i), Y: t.Size.Y - 14}
		}
		t.whole(at(1), led)
		s.Drawing.Entities = append(s.Drawing.Entities, t.Drawing.Entities...)
	case 11:
		s.Name = "side by side, our layers"
		for i := range 4 {
			o := at(i)
			s.edge("OUTLINE", o)
			s.screws("MOUNT", o)
			switch i {
			case 0, 1:
				s.cuts("OPENING", o, float64(i)/2)
			case 2:
				s.leds("LED", o, led)
			case 3:
				s.words("LETTERING", o)
			}
			caption(i, "NOTES")
		}
	}
	es := s.Drawing.Entities
	s.rng.Shuffle(len(es), func(i, k int) { es[i], es[k] = es[k], es[i] })
	for i := range es {
		es[i].Handle, es[i].Line = fmt.Sprintf("%X", 64+i), i+1
	}
	return s.Stack
}

// turned draws as seen from behind.
func (s *stacker) turned(draw func()) {
	s.behind = true
	draw()
	s.behind = false
}

// lopsided moves the openings so that they lie otherwise seen from behind.
func (s *stacker) lopsided() {
	for i := range s.Cuts {
		if s.Cuts[i].H == 0 {
			s.Cuts[i].At.X -= 3.5
		}
	}
}

// Why says what of a reading is not as a builder sees it.
func (s Stack) Why(ps []panel.Panel) []string {
	if len(ps) != s.Panels {
		return []string{fmt.Sprintf("%d panels for %d", len(ps), s.Panels)}
	}
	var out []string
	p := ps[0]
	if b := p.Outline.Box(); math.Abs(b.W().MM()-s.Size.X) > 0.01 || math.Abs(b.H().MM()-s.Size.Y) > 0.01 {
		out = append(out, fmt.Sprintf("%s x %s mm for %v", b.W(), b.H(), s.Size))
	}
	near := func(what string, want, got []dxf.XY) {
		if len(want) != len(got) {
			out = append(out, fmt.Sprintf("%d %s for %d", len(got), what, len(want)))
			return
		}
		for _, v := range want {
			if !slices.ContainsFunc(got, func(g dxf.XY) bool { return g.Dist(v) < 0.1 }) {
				out = append(out, fmt.Sprintf("no %s at %v", what, v))
			}
		}
	}
	var leds, holes, want []dxf.XY
	mm := func(h panel.Hole) dxf.XY { return dxf.XY{X: h.At.X.MM(), Y: h.At.Y.MM()} }
	for _, h := range p.LEDs {
		leds = append(leds, mm(h))
	}
	for _, h := range p.Mounts {
		holes = append(holes, mm(h))
	}
	for _, o := range p.Openings {
		b := o.Contour.Box()
		holes = append(holes, dxf.XY{X: (b.Min.X + b.Max.X).MM() / 2, Y: (b.Min.Y + b.Max.Y).MM() / 2})
		for _, c := range s.Cuts {
			if at := holes[len(holes)-1]; at.Dist(c.At) < 0.1 && math.Abs(b.W().MM()-c.W) > 0.1 {
				out = append(out, fmt.Sprintf("an opening of %s for %.4g", b.W(), c.W))
			}
		}
	}
	for _, c := range s.Cuts {
		want = append(want, c.At)
	}
	near("LEDs", s.LEDs, leds)
	near("holes", append(want, s.Screws...), holes)
	if len(p.Lettering) < s.Words {
		out = append(out, fmt.Sprintf("%d texts for %d", len(p.Lettering), s.Words))
	}
	return out
}

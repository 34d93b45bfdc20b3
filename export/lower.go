package export

import (
	"cmp"
	"slices"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel/geom"
)

// Names that the Gerber specification gives to the uses of an aperture (value of .AperFunction, 5.6.10).
const (
	componentPad   = "ComponentPad"
	smdPad         = "SMDPad,CuDef" // the mask opening is larger than the copper
	viaPad         = "ViaPad"
	testPad        = "TestPad"
	fiducialPad    = "FiducialPad,Global" // of the whole board
	conductor      = "Conductor"
	material       = "Material" // the image itself, on layers other than copper
	profile        = "Profile"
	componentDrill = "ComponentDrill"
	viaDrill       = "ViaDrill"
	mechanicalHole = "MechanicalDrill"
)

// NotConnected is the net name of a pad that no net joins (Gerber 5.6.13 and IPC-D-356A name it so).
const NotConnected = "N/C"

// ProfileWidth is the width of the line that draws the board's edge; its middle is the edge.
const ProfileWidth = 100 * geom.Micrometre

// Lower returns the artwork of a board.
//
// Copper layers carry their areas first: each piece dark, then its holes clear, larger pieces before smaller ones, so
// that a piece in the hole of another one comes after that hole. Tracks follow as draws, then vias and pads as flashes.
// An aperture serves one function only, even where another one has the same shape. Soldermask layers show the openings
// of pads, and of unplated holes, whose rims would flake if mask were drilled through; vias are covered. Silkscreen carries its areas
// as copper does, then strokes. A paste layer is there only if a pad wants paste. Objects that paint nothing are left out.
func Lower(b board.Board) Artwork {
	a := Artwork{Name: b.Name, Size: b.Outline.Box(), Laminate: b.Laminate}
	for _, s := range geom.BothSides() {
		a.Layers = append(a.Layers, lowerCopper(b, s))
	}
	for _, s := range geom.BothSides() {
		a.Layers = append(a.Layers, lowerMask(b, s))
	}
	for _, s := range geom.BothSides() {
		a.Layers = append(a.Layers, lowerLegend(b, s))
	}
	for _, s := range geom.BothSides() {
		if l := lowerPaste(b, s); len(l.Objects) > 0 {
			a.Layers = append(a.Layers, l)
		}
	}
	a.Layers = append(a.Layers, lowerProfile(b))
	a.Drills = lowerDrills(b)
	return a
}

// image collects a layer and gives equal apertures of equal function one number.
type image struct {
	Layer
	known map[apertureKey]int
}

type apertureKey struct {
	shape    ApertureShape
	w, h     geom.Nm
	slant    bool
	function string
}

func newImage(f Function, negative bool) *image {
	return &image{Layer: Layer{Function: f, Negative: negative}, known: map[apertureKey]int{}}
}

func (m *image) aperture(shape ApertureShape, w, h geom.Nm, function string) int {
	return m.turned(apertureKey{shape, w, h, false, function})
}

// turned returns the number of an aperture that may be aslant.
func (m *image) turned(k apertureKey) int {
	i, ok := m.known[k]
	if !ok {
		i = len(m.Apertures)
		m.known[k] = i
		m.Apertures = append(m.Apertures, Aperture{Shape: k.shape, W: k.w, H: k.h, Slant: k.slant, Function: k.function})
	}
	return i
}

// layer returns the finished layer, with its apertures grouped by function in the order in which functions came up.
func (m *image) layer() Layer {
	l := m.Layer
	rank := map[string]int{}
	order := make([]int, len(l.Apertures))
	for i, a := range l.Apertures {
		order[i] = i
		if _, ok := rank[a.Function]; !ok {
			rank[a.Function] = len(rank)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(rank[l.Apertures[i].Function], rank[l.Apertures[j].Function])
	})
	l.Apertures = make([]Aperture, len(order))
	place := make([]int, len(order))
	for to, from := range order {
		l.Apertures[to], place[from] = m.Apertures[from], to
	}
	for i := range l.Objects {
		if l.Objects[i].Op != Region {
			l.Objects[i].Aperture = place[l.Objects[i].Aperture]
		}
	}
	return l
}

// flashPad paints the pad's shape grown by d on each side; o holds the attributes.
func (m *image) flashPad(p board.Pad, d geom.Nm, function string, o Object) {
	w, h := p.W+2*d, p.H+2*d
	if p.Shape == board.Round {
		h = w
	}
	if w <= 0 || h <= 0 {
		return
	}
	shape := Rectangle
	switch {
	case p.Shape == board.Round, p.Shape == board.Oblong && w == h:
		shape = Circle
	case p.Shape == board.Oblong:
		shape = Obround
	}
	if p.Slant && shape == Obround {
		panic("export: no footprint turns an oblong pad aslant")
	}
	o.Op, o.To, o.Aperture = Flash, p.At, m.turned(apertureKey{shape, w, h, p.Slant && shape == Rectangle, function})
	m.Objects = append(m.Objects, o)
}

// drawPath draws a line along path; o holds the attributes. A path of one point, or with no length, is a dot.
func (m *image) drawPath(path geom.Polyline, width geom.Nm, function string, o Object) {
	path = spaced(path)
	if len(path) == 0 || width <= 0 {
		return
	}
	o.Op, o.Aperture = Draw, m.aperture(Circle, width, width, function)
	for _, s := range path.Segments() {
		o.From, o.To = s.A, s.B
		m.Objects = append(m.Objects, o)
	}
}

// drawContour draws the closed line along c.
func (m *image) drawContour(c geom.Contour, width geom.Nm, function string, o Object) {
	o.Op, o.Aperture = Draw, m.aperture(Circle, width, width, function)
	for _, e := range c.Edges() {
		if e.From == e.To {
			continue
		}
		o.From, o.To, o.Bulge = e.From, e.To, e.Bulge
		m.Objects = append(m.Objects, o)
	}
}

// netName returns a net's name and whether there is such a net.
func netName(b board.Board, n led.NetID) (string, bool) {
	if n <= led.NoNet || int(n) >= len(b.Nets) {
		return "", false
	}
	return b.Nets[n].Name, true
}

func lowerCopper(b board.Board, side geom.Side) Layer {
	m := newImage(CopperTop+Function(side), false)
	m.areas(b, side)
	for _, t := range b.Tracks {
		if t.On == side {
			net, _ := netName(b, t.Net)
			m.drawPath(t.Path, t.Width, conductor, Object{Net: net, HasNet: true})
		}
	}
	for _, v := range b.Vias {
		net, _ := netName(b, v.Net)
		m.flashPad(board.Pad{At: v.At, W: v.D, H: v.D}, 0, viaPad, Object{Net: net, HasNet: true})
	}
	for _, s := range b.Spots {
		switch {
		case s.On != side:
		case s.Use == board.Fiducial:
			m.flashPad(s.Pad(), 0, fiducialPad, Object{})
		default:
			net, _ := netName(b, s.Net)
			m.flashPad(s.Pad(), 0, testPad, Object{Net: net, HasNet: true, Ref: s.Ref, Pin: s.Pad().Pin})
		}
	}
	b.Pads(func(i, j int) bool {
		p := b.Parts[i].Pads[j]
		if !p.OnSide(side) {
			return true
		}
		net, ok := netName(b, p.Net)
		if !ok {
			net = NotConnected
		}
		function := smdPad
		if p.Through {
			function = componentPad
		}
		m.flashPad(p, 0, function, Object{Net: net, HasNet: true, Ref: b.Parts[i].Ref, Pin: p.Pin, PinFn: p.Function})
		return true
	})
	return m.layer()
}

func lowerMask(b board.Board, side geom.Side) Layer {
	m := newImage(SoldermaskTop+Function(side), true)
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.OnSide(side) {
			m.flashPad(p, p.Mask, material, Object{})
		}
		return true
	})
	for _, s := range b.Spots {
		if s.On == side {
			m.flashPad(s.Pad(), s.Mask, material, Object{})
		}
	}
	for _, h := range b.Holes {
		if h.D > 0 {
			m.flashPad(board.Pad{At: h.At, W: h.D, H: h.D}, b.Rules.MaskMargin, material, Object{})
		}
	}
	return m.layer()
}

func lowerPaste(b board.Board, side geom.Side) Layer {
	m := newImage(PasteTop+Function(side), false)
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Paste && p.OnSide(side) {
			m.flashPad(p, 0, material, Object{})
		}
		return true
	})
	return m.layer()
}

func lowerLegend(b board.Board, side geom.Side) Layer {
	m := newImage(SilkscreenTop+Function(side), false)
	m.inked(b, side) // first, since the hole of an area would clear what was printed in it
	for _, p := range b.Parts {
		for _, s := range p.Marks {
			if s.On == side {
				m.drawPath(s.Path, s.Width, material, Object{Ref: p.Ref})
			}
		}
	}
	for _, s := range b.Legend {
		if s.On == side {
			m.drawPath(s.Path, s.Width, material, Object{})
		}
	}
	return m.layer()
}

func lowerProfile(b board.Board) Layer {
	m := newImage(Profile, false)
	m.drawContour(b.Outline, ProfileWidth, profile, Object{})
	for _, c := range b.Cutouts {
		m.drawContour(c, ProfileWidth, profile, Object{})
	}
	return m.layer()
}

// lowerDrills returns the plated holes, then the unplated ones. Tools are sorted by diameter, then function; hits
// stay in the board's order.
func lowerDrills(b board.Board) []Drill {
	type hole struct {
		Tool
		at geom.Pt
	}
	var plated, unplated []hole
	b.Pads(func(i, j int) bool {
		if p := b.Parts[i].Pads[j]; p.Through && p.Drill > 0 {
			plated = append(plated, hole{Tool{p.Drill, componentDrill}, p.At})
		}
		return true
	})
	for _, v := range b.Vias {
		if v.Drill > 0 {
			plated = append(plated, hole{Tool{v.Drill, viaDrill}, v.At})
		}
	}
	for _, h := range b.Holes {
		if h.D > 0 {
			unplated = append(unplated, hole{Tool{h.D, mechanicalHole}, h.At})
		}
	}
	var out []Drill
	for _, kind := range []struct {
		plated bool
		holes  []hole
	}{{true, plated}, {false, unplated}} {
		if len(kind.holes) == 0 {
			continue
		}
		d := Drill{Plated: kind.plated}
		for _, h := range kind.holes {
			if !slices.Contains(d.Tools, h.Tool) {
				d.Tools = append(d.Tools, h.Tool)
			}
		}
		slices.SortFunc(d.Tools, func(a, b Tool) int {
			return cmp.Or(cmp.Compare(a.D, b.D), cmp.Compare(a.Function, b.Function))
		})
		for _, h := range kind.holes {
			d.Hits = append(d.Hits, Hit{slices.Index(d.Tools, h.Tool), h.at})
		}
		out = append(out, d)
	}
	return out
}

package desk

import (
	"fmt"
	"strings"

	"lampblack/board"
	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// BoardOf names a panel.
type BoardOf struct {
	Panel string `json:"panel"`
}

// Shown is the boards of a panel as the page draws them. Paths are SVG's, in the drawing's frame: mm, Y up, both sides as seen from the
// front. Nets are indices of Nets.
type Shown struct {
	Panel  string       `json:"panel"`
	Boards []ShownBoard `json:"boards"` // none: the panel has no LEDs
	Why    string       `json:"why"`    // it has no finished board: the stage that found an error; empty: it has
}

// ShownBoard is one board.
type ShownBoard struct {
	Name    string       `json:"name"`
	Box     [4]float64   `json:"box"`
	Outline string       `json:"outline"` // with its cut-outs, even-odd
	Holes   []ShownHole  `json:"holes"`   // unplated
	Nets    []ShownNet   `json:"nets"`
	Parts   []ShownPart  `json:"parts"`
	Tracks  []ShownTrack `json:"tracks"`
	Vias    []ShownVia   `json:"vias"`
	Areas   []ShownArea  `json:"areas"`
	Legend  [2]string    `json:"legend"` // silkscreen lines of top and bottom
	Pen     float64      `json:"pen"`    // their width
	Ink     [2]string    `json:"ink"`    // its areas
	Strings []ShownChain `json:"strings"`
}

// ShownHole is an unplated hole.
type ShownHole struct {
	At   [2]float64 `json:"at"`
	D    float64    `json:"d"`
	What string     `json:"what"`
}

// ShownNet is a net, in words: what it joins, its volts against 0 V and its current as a meter shows them.
type ShownNet struct {
	Name  string   `json:"name"`
	Words string   `json:"words"`
	Volts *float64 `json:"volts,omitempty"`
	Amps  float64  `json:"amps,omitempty"`
}

// ShownPart is a part in its place.
type ShownPart struct {
	Ref    string     `json:"ref"`
	Kind   string     `json:"kind"` // led, resistor, connector, point: a bare pad
	Value  string     `json:"value"`
	Words  string     `json:"words"` // what it does, with its figures
	Colour string     `json:"colour,omitempty"`
	On     string     `json:"on"`
	At     [2]float64 `json:"at"`
	Turn   int        `json:"turn"`
	Body   string     `json:"body"`
	Pads   []ShownPad `json:"pads"`
	Of     *int       `json:"string,omitempty"` // that an LED or a resistor is of: an index of Strings
}

// ShownPad is the copper of a pin.
type ShownPad struct {
	Pin   string     `json:"pin"` // with what it does: "2, anode"
	Net   int        `json:"net"`
	On    string     `json:"on"` // top, bottom, both
	Path  string     `json:"path"`
	At    [2]float64 `json:"at"`
	Drill float64    `json:"drill,omitempty"`
}

// ShownTrack is a track.
type ShownTrack struct {
	Net   int     `json:"net"`
	On    string  `json:"on"`
	Width float64 `json:"width"`
	Path  string  `json:"path"`
}

// ShownVia joins both sides.
type ShownVia struct {
	Net   int        `json:"net"`
	At    [2]float64 `json:"at"`
	D     float64    `json:"d"`
	Drill float64    `json:"drill"`
}

// ShownArea is an area of copper, even-odd.
type ShownArea struct {
	Net  int    `json:"net"`
	On   string `json:"on"`
	Path string `json:"path"`
}

// ShownChain is a string of LEDs in the order of the current.
type ShownChain struct {
	Name     string   `json:"name"`
	Parts    []string `json:"parts"` // the resistor, then the LEDs
	Words    string   `json:"words"`
	Amps     float64  `json:"amps"`
	Resistor string   `json:"resistor"`
}

// boardOf gives what a build made of a panel's boards. After a build of the same desk it only looks up.
func boardOf(a *asked) (given, error) {
	var in BoardOf
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	p, l, err := a.project()
	if err != nil {
		return given{}, err
	}
	set := a.settings(l)
	out, err := a.engine.flow.Build(a.ctx, p, set)
	if err != nil {
		return given{}, err
	}
	for _, b := range out.Built {
		if b.Panel.Name != in.Panel {
			continue
		}
		s := Shown{Panel: in.Panel, Boards: []ShownBoard{}, Why: b.Stopped}
		at := frameOf(b.Panel)
		for _, m := range b.Boards {
			if len(m.Board.Outline) > 0 {
				s.Boards = append(s.Boards, at.board(m, out.Circuit))
			}
		}
		return given{gives: s}, nil
	}
	return given{}, fmt.Errorf("there is no panel %s that could be read: its findings say why", in.Panel)
}

// frame brings the panel's to the drawing's: it has the place of the panel's origin.
type frame struct{ at geom.XY }

func frameOf(p panel.Panel) frame { return frame{geom.XY{X: p.Origin.X, Y: p.Origin.Y}} }

func (d frame) xy(p geom.Pt) [2]float64 {
	return [2]float64{rounded(d.at.X + p.X.MM()), rounded(d.at.Y + p.Y.MM())}
}

func (d frame) box(b geom.Box) [4]float64 {
	low, high := d.xy(b.Min), d.xy(b.Max)
	return [4]float64{low[0], low[1], high[0], high[1]}
}

// closed are closed curves as one path.
func (d frame) closed(cs ...geom.Contour) string {
	p := pathData{at: d.at}
	for _, c := range cs {
		p.contour(c)
	}
	return p.String()
}

// rings are polygons as one path.
func (d frame) rings(rs ...geom.Ring) string {
	p := pathData{at: d.at}
	for _, r := range rs {
		p.ring(r)
	}
	return p.String()
}

// open is a line that does not close.
func (d frame) open(l geom.Polyline) string {
	p := pathData{at: d.at}
	for i, v := range l {
		p.point("ML"[min(i, 1)], xy(v))
	}
	return p.String()
}

func (d frame) board(m flow.Made, c led.Circuit) ShownBoard {
	b, w := m.Board, m.Wiring
	s := ShownBoard{
		Name: m.Name(), Box: d.box(b.Outline.Box()), Outline: d.closed(append([]geom.Contour{b.Outline}, b.Cutouts...)...),
		Holes: []ShownHole{}, Nets: []ShownNet{}, Parts: []ShownPart{}, Tracks: []ShownTrack{}, Vias: []ShownVia{}, Areas: []ShownArea{}, Strings: []ShownChain{},
	}
	for _, h := range b.Holes {
		what := "hole for a screw"
		if h.What == board.StrainRelief {
			what = "hole for a tie that holds the wires"
		}
		s.Holes = append(s.Holes, ShownHole{d.xy(h.At), h.D.MM(), what})
	}
	told := nets(w, c)
	for i := range b.Nets {
		s.Nets = append(s.Nets, told[i])
	}
	for _, p := range b.Parts {
		s.Parts = append(s.Parts, d.part(p, w))
	}
	for i, q := range b.Spots {
		s.Parts = append(s.Parts, d.spot(i, q))
	}
	for _, t := range b.Tracks {
		s.Tracks = append(s.Tracks, ShownTrack{int(t.Net), t.On.String(), t.Width.MM(), d.open(t.Path)})
	}
	for _, v := range b.Vias {
		s.Vias = append(s.Vias, ShownVia{int(v.Net), d.xy(v.At), v.D.MM(), v.Drill.MM()})
	}
	for _, a := range b.Areas {
		s.Areas = append(s.Areas, ShownArea{int(a.Net), a.On.String(), d.rings(a.Fill.Rings()...)})
	}
	for _, l := range b.Legend {
		s.Legend[l.On] += d.open(l.Path)
		s.Pen = l.Width.MM()
	}
	for _, i := range b.Ink {
		s.Ink[i.On] += d.rings(i.Fill.Rings()...)
	}
	for i, str := range w.Strings {
		one := ShownChain{Name: fmt.Sprintf("S%d", i+1), Amps: float64(str.Nominal)}
		r := w.Resistors[str.Resistor]
		one.Resistor = r.Ref
		one.Parts = append(one.Parts, r.Ref)
		for _, k := range str.LEDs {
			one.Parts = append(one.Parts, w.LEDs[k].Ref)
		}
		one.Words = fmt.Sprintf("%d × %s with %s: %s, between %s and %s", len(str.LEDs), w.LEDs[str.LEDs[0]].Kind.Name, r.Ref, milli(str.Nominal), milli(str.Min), milli(str.Max))
		s.Strings = append(s.Strings, one)
	}
	return s
}

func milli(i part.Amp) string { return fmt.Sprintf("%.1f mA", float64(i)*1000) }

func (d frame) part(p board.Part, w led.Wiring) ShownPart {
	s := ShownPart{Ref: p.Ref, Value: p.Value, On: p.On.String(), At: d.xy(p.At), Turn: p.Turn, Body: d.rings(p.Body), Pads: []ShownPad{}}
	switch p.Kind {
	case board.LED:
		s.Kind = "led"
		for _, q := range w.LEDs {
			if q.Ref != p.Ref {
				continue
			}
			of, str := int(q.String), w.Strings[q.String]
			s.Of, s.Colour = &of, fmt.Sprintf("#%02x%02x%02x", q.Kind.RGB[0], q.Kind.RGB[1], q.Kind.RGB[2])
			s.Words = fmt.Sprintf("%s LED of string S%d, %s", q.Kind.Name, of+1, milli(str.Nominal))
		}
	case board.Resistor:
		s.Kind = "resistor"
		for _, r := range w.Resistors {
			if r.Ref != p.Ref {
				continue
			}
			of, str := int(r.String), w.Strings[r.String]
			s.Of = &of
			s.Words = fmt.Sprintf("%s for string S%d: %.2f V across it, %.0f mW at worst of %.0f mW", p.Value, of+1,
				float64(r.Ohms.Times(str.Nominal)), float64(str.Worst)*1000, float64(r.Rated)*1000)
		}
	case board.Connector:
		s.Kind, s.Words = "connector", "feed connector "+p.Value
	}
	for _, q := range p.Pads {
		on := "both"
		if !q.Through {
			on = q.On.String()
		}
		s.Pads = append(s.Pads, ShownPad{pinOf(p.Kind, q), int(q.Net), on, d.closed(q.Contour(0)), d.xy(q.At), q.Drill.MM()})
	}
	return s
}

// spot is a bare pad; as no part stands there it has no body.
func (d frame) spot(i int, q board.Spot) ShownPart {
	s := ShownPart{Ref: q.Ref, Kind: "point", Value: "test point", Words: "bare pad for a meter's tip, on the back", On: q.On.String(), At: d.xy(q.At)}
	if q.Use == board.Fiducial {
		s.Ref, s.Value, s.Words = fmt.Sprintf("fiducial %d", i+1), "fiducial", "a mark for a machine's camera, joined to nothing"
	}
	p := q.Pad()
	s.Pads = []ShownPad{{Pin: p.Pin, Net: int(p.Net), On: s.On, Path: d.closed(p.Contour(0)), At: d.xy(p.At)}}
	return s
}

// pinOf is a pin's name, with what it does.
func pinOf(k board.Kind, p board.Pad) string {
	does := map[string]string{"A": "anode", "K": "cathode"}[p.Function]
	if k == board.Connector {
		does = p.Function
	}
	if does == "" {
		return p.Pin
	}
	return p.Pin + ", " + does
}

// nets tells of the nets of a wiring, in their order.
func nets(w led.Wiring, c led.Circuit) []ShownNet {
	out := make([]ShownNet, len(w.Nets))
	joins := make([][]string, len(w.Nets))
	for i, n := range w.Nets {
		out[i] = ShownNet{Name: n.Name, Amps: float64(n.Amps)}
	}
	volts := func(net led.NetID, v float64) { out[net].Volts = &v }
	for _, r := range w.Resistors {
		joins[r.From], joins[r.To] = append(joins[r.From], r.Ref), append(joins[r.To], r.Ref)
	}
	along := c.Source.Nodes(w)
	for i, s := range w.Strings {
		for k, d := range s.LEDs {
			q := w.LEDs[d]
			joins[q.Anode], joins[q.Cathode] = append(joins[q.Anode], q.Ref), append(joins[q.Cathode], q.Ref)
			volts(q.Anode, float64(along[i][k]))
		}
	}
	for _, ch := range c.Chains {
		for _, l := range ch.Links {
			if l.Panel == w.Panel {
				for _, g := range w.Conductors() {
					volts(g.Net, float64(l.Volts))
				}
			}
		}
	}
	for i := range out {
		switch out[i].Name {
		case "0V":
			out[i].Words = "0 V, the supply's negative side"
			volts(led.NetID(i), 0)
		default:
			out[i].Words = "between " + strings.Join(joins[i], " and ")
		}
	}
	for _, g := range w.Conductors() {
		out[g.Net].Words = "the supply's positive side"
		if g.Name != "" {
			out[g.Net].Words += ", group " + g.Name
		}
	}
	if len(out) > 0 {
		out[0].Words = "joined to nothing"
	}
	return out
}

package gerber

import (
	"fmt"
	"strconv"

	"lampblack/export"
	"lampblack/panel/geom"
)

// writer holds the file so far and the graphics state that a reader has at its end.
type writer struct {
	buf      []byte
	mode     int  // 1, 2 or 3: G01, G02, G03
	clear    bool // polarity
	aperture int  // selected D code, 0 none yet
	at       geom.Pt
	placed   bool // at is the current point

	// The attributes attached to the next object.
	regionFunction string // .AperFunction
	net            string
	hasNet         bool
	component      string // .C
	ref, pin, fn   string // .P
	part           *export.Component
	attached       [attributeNames]bool
}

func (w *writer) line(s string) { w.buf = append(append(w.buf, s...), '\n') }

func (w *writer) object(l export.Layer, o *export.Object) {
	if o.Op == export.Region && !paints(o.Contour) {
		return
	}
	w.polarity(o.Clear)
	w.attributes(o)
	switch o.Op {
	case export.Flash:
		w.selectAperture(o.Aperture)
		w.operation(o.To, 3)
	case export.Draw:
		if s := l.Apertures[o.Aperture].Shape; s != export.Circle {
			panic(fmt.Sprintf("export/gerber: a draw on layer %v drags an aperture that is no circle", l.Function))
		}
		w.selectAperture(o.Aperture)
		w.move(o.From)
		w.edge(geom.Arc{From: o.From, To: o.To, Bulge: o.Bulge})
	case export.Region:
		w.region(o)
	default:
		panic(fmt.Sprintf("export/gerber: unknown operation %d", o.Op))
	}
}

// paints reports whether a contour encloses anything: two points do only with an arc between them.
func paints(c geom.Contour) bool {
	if len(c) == 2 {
		return c[0].Pt != c[1].Pt && c[0].Bulge+c[1].Bulge != 0
	}
	return len(c) > 2
}

func (w *writer) region(o *export.Object) {
	if o.Function != w.regionFunction {
		w.attribute(attrFunction, fields(o.Function), o.Function != "")
		w.regionFunction = o.Function
	}
	w.line("G36*")
	w.placed = false // a contour begins with a move of its own
	w.move(o.Contour[0].Pt)
	for i, v := range o.Contour {
		if to := o.Contour[(i+1)%len(o.Contour)].Pt; to != v.Pt {
			w.edge(geom.Arc{From: v.Pt, To: to, Bulge: v.Bulge})
		}
	}
	w.line("G37*")
	w.placed = false
}

func (w *writer) polarity(clear bool) {
	if clear == w.clear {
		return
	}
	w.clear = clear
	if clear {
		w.line("%LPC*%")
	} else {
		w.line("%LPD*%")
	}
}

func (w *writer) selectAperture(i int) {
	if d := i + firstAperture; d != w.aperture {
		w.aperture = d
		w.buf = append(w.buf, 'D')
		w.buf = strconv.AppendInt(w.buf, int64(d), 10)
		w.buf = append(w.buf, "*\n"...)
	}
}

func (w *writer) move(p geom.Pt) {
	if !w.placed || w.at != p {
		w.operation(p, 2)
	}
}

// operation writes D01, D02 or D03 at p.
func (w *writer) operation(p geom.Pt, d byte) {
	w.point(p)
	w.buf = append(w.buf, 'D', '0', '0'+d, '*', '\n')
	w.at, w.placed = p, true
}

func (w *writer) point(p geom.Pt) {
	w.buf = strconv.AppendInt(append(w.buf, 'X'), int64(p.X), 10)
	w.buf = strconv.AppendInt(append(w.buf, 'Y'), int64(p.Y), 10)
}

func (w *writer) interpolate(mode int) {
	if mode != w.mode {
		w.mode = mode
		w.buf = append(w.buf, 'G', '0', '0'+byte(mode), '*', '\n')
	}
}

// attributes brings the object attributes to those of o.
func (w *writer) attributes(o *export.Object) {
	if o.HasNet != w.hasNet || o.Net != w.net {
		w.attribute(attrNet, field(o.Net), o.HasNet)
		w.hasNet, w.net = o.HasNet, o.Net
	}
	ref, pin, fn, component := "", "", "", ""
	if o.Ref != "" && o.Pin != "" {
		ref, pin, fn = o.Ref, o.Pin, o.PinFn
	}
	if o.Pin == "" || o.Part != nil {
		component = o.Ref
	}
	if ref != w.ref || pin != w.pin || fn != w.fn {
		value := field(ref) + "," + field(pin)
		if fn != "" {
			value += "," + field(fn)
		}
		w.attribute(attrPin, value, ref != "")
		w.ref, w.pin, w.fn = ref, pin, fn
	}
	if component != w.component {
		w.attribute(attrComponent, field(component), component != "")
		w.component = component
	}
	if o.Part != w.part {
		w.componentAttributes(o.Part)
		w.part = o.Part
	}
}

func (w *writer) componentAttributes(p *export.Component) {
	set := p != nil
	if !set {
		p = &export.Component{}
	}
	mount := "SMD"
	if p.Through {
		mount = "TH"
	}
	w.attribute(attrRotation, strconv.FormatFloat(p.Rotation, 'f', -1, 64), set)
	w.attribute(attrValue, field(p.Value), p.Value != "")
	w.attribute(attrMount, mount, set)
	w.attribute(attrFootprint, field(p.Footprint), p.Footprint != "")
	w.attribute(attrHeight, string(appendMM(nil, p.Height)), p.Height > 0)
}

// An attributeName is an attribute that the writer attaches to objects or regions.
type attributeName uint8

const (
	attrFunction attributeName = iota
	attrNet
	attrPin
	attrComponent
	attrRotation
	attrValue
	attrMount
	attrFootprint
	attrHeight
	attributeNames // how many
)

func (a attributeName) String() string {
	return [attributeNames]string{".AperFunction", ".N", ".P", ".C", ".CRot", ".CVal", ".CMnt", ".CFtp", ".CHgt"}[a]
}

// attribute sets an attribute, or deletes it if it shall not be there and is.
func (w *writer) attribute(name attributeName, value string, set bool) {
	if !set {
		if w.attached[name] {
			w.line("%TD" + name.String() + "*%")
		}
		w.attached[name] = false
		return
	}
	w.attached[name] = true
	command := "%TO"
	if name == attrFunction {
		command = "%TA"
	}
	w.buf = append(w.buf, command...)
	w.buf = append(w.buf, name.String()...)
	w.buf = append(w.buf, ',')
	w.buf = append(w.buf, value...)
	w.buf = append(w.buf, "*%\n"...)
}

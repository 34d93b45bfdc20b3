package pdf

import (
	"bytes"
	"math"
	"strconv"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"lampblack/export/scene"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// content is what a page draws, in the making: operators of ISO 32000-1, 8.5.
type content struct {
	watch *work.Watch
	f     *fpdf.Fpdf
	out   bytes.Buffer
	step  geom.Nm // of coordinates
}

func (c *content) write(s string) { c.out.WriteString(s) }

// flush hands what was written to the page.
func (c *content) flush() {
	c.f.RawWriteBuf(&c.out)
	c.out.Reset()
}

// op writes an operator after its operands.
func (c *content) op(name string, v ...float64) {
	for _, x := range v {
		c.write(num(x))
		c.write(" ")
	}
	c.write(name)
	c.write("\n")
}

// num writes a number with at most five decimals; PDF knows no exponents.
func num(v float64) string {
	s := strconv.FormatFloat(v, 'f', 5, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func (c *content) group(g *scene.Group) {
	if g.Clip != nil {
		c.write("q\n")
		c.path(g.Clip, false)
		c.write("W* n\n")
		defer c.write("Q\n")
	}
	for _, it := range g.Items {
		c.watch.Look()
		switch it := it.(type) {
		case *scene.Group:
			c.group(it)
		case *scene.Path:
			c.paint(it)
		case *scene.Glyphs:
			c.glyphs(it)
		}
	}
}

// paint draws a path: filled, then stroked, each as opaque as it is.
func (c *content) paint(p *scene.Path) {
	if len(p.Shapes) == 0 || p.Fill.None() && p.Stroke.None() {
		return
	}
	fill, line := !p.Fill.None(), !p.Stroke.None()
	if fill && line && (p.Fill.Percent < 100 || p.Stroke.Percent < 100) {
		area, edge := *p, *p
		area.Stroke, edge.Fill = scene.Stroke{}, scene.Paint{}
		c.paint(&area)
		c.paint(&edge)
		return
	}
	alpha := min(percent(p.Fill), percent(p.Stroke.Paint))
	if alpha < 100 {
		c.flush()
		c.f.SetAlpha(float64(alpha)/100, "Normal")
	}
	how := "S"
	if fill {
		c.colour("rg", p.Fill.Colour)
		how = "f"
	}
	if line {
		c.colour("RG", p.Stroke.Colour)
		c.stroke(p.Stroke)
		if fill {
			how = "B"
		}
	}
	if fill && p.EvenOdd {
		how += "*"
	}
	c.path(p.Shapes, p.Open)
	c.write(how + "\n")
	if alpha < 100 {
		c.flush()
		c.f.SetAlpha(1, "Normal")
	}
}

// glyphs draws the letters of a run in the measure that they have: like ones then have like operators, and pack well.
func (c *content) glyphs(g *scene.Glyphs) {
	c.write("q\n")
	c.colour("rg", g.Fill.Colour)
	c.op("cm", g.Height.MM(), 0, 0, g.Height.MM(), g.At.X.MM(), g.At.Y.MM())
	step, x := c.step, geom.Nm(0)
	c.step = letterStep
	for _, l := range g.Letters {
		if l.X != x {
			c.op("cm", 1, 0, 0, 1, (l.X - x).MM(), 0)
			x = l.X
		}
		c.path(l.Shapes, false)
		c.write("f\n")
	}
	c.step = step
	c.write("Q\n")
}

// letterStep is what the outlines of letters of a millimetre are rounded to; they are enlarged by a few times.
const letterStep = 100

// percent is how much a paint covers, where it paints at all.
func percent(p scene.Paint) uint8 {
	if p.None() {
		return 100
	}
	return p.Percent
}

func (c *content) colour(op string, k scene.Colour) {
	r, g, b := k.RGB()
	c.op(op, float64(r)/255, float64(g)/255, float64(b)/255)
}

func (c *content) stroke(s scene.Stroke) {
	c.op("w", s.Width.MM())
	c.op("J", float64(s.Cap)) // 0 butt, 1 round: ISO 32000-1, table 54
	c.op("j", float64(s.Join))
	c.op("M", 4) // the scene's limit of a pointed corner
	dashes := make([]string, len(s.Dashes))
	for i, d := range s.Dashes {
		dashes[i] = num(d.MM())
	}
	c.write("[" + strings.Join(dashes, " ") + "] 0 d\n")
}

// to writes an operator that takes points of the page.
func (c *content) to(name string, pts ...geom.Pt) {
	to := c.out.AvailableBuffer()
	for _, p := range pts {
		to = append(scene.AppendDecimal(to, p.X, c.step), ' ')
		to = append(scene.AppendDecimal(to, p.Y, c.step), ' ')
	}
	c.out.Write(append(append(to, name...), '\n'))
}

func (c *content) path(shapes []geom.Contour, open bool) {
	for _, s := range shapes {
		c.watch.Look()
		if len(s) == 0 {
			continue
		}
		c.to("m", s[0].Pt)
		for i, e := range s.Edges() {
			last := i == len(s)-1
			switch {
			case last && open && len(s) == 1:
				c.to("l", e.To) // a dot, where ends are round
			case last && (open || e.Straight()):
			case e.Straight():
				c.to("l", e.To)
			case e.From != e.To:
				c.arc(e)
			}
		}
		if !open {
			c.write("h\n")
		}
	}
}

// arc writes a circular arc as cubic curves of at most a quarter each.
//
// Source: M. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8(3), 1991,
// doi:10.1016/0167-8396(91)90007-X: control points 4/3 tan(a/4) radii along the tangents.
func (c *content) arc(e geom.Arc) {
	cx, cy := e.Centre()
	r, sweep := e.Radius(), e.Sweep()
	from := math.Atan2(float64(e.From.Y)-cy, float64(e.From.X)-cx)
	n := max(1, int(math.Ceil(math.Abs(sweep)/(math.Pi/2)-1e-9)))
	step := sweep / float64(n)
	k := 4.0 / 3 * math.Tan(step/4)
	at := func(x, y float64) geom.Pt { return geom.Pt{X: geom.Nm(math.Round(x)), Y: geom.Nm(math.Round(y))} }
	for i := range n {
		a := from + float64(step*float64(i))
		b := a + step
		ca, sa, cb, sb := math.Cos(a), math.Sin(a), math.Cos(b), math.Sin(b)
		end := e.To
		if i < n-1 {
			end = at(cx+float64(r*cb), cy+float64(r*sb))
		}
		c.to("c", at(cx+float64(r*(ca-float64(k*sa))), cy+float64(r*(sa+float64(k*ca)))),
			at(cx+float64(r*(cb+float64(k*sb))), cy+float64(r*(sb-float64(k*cb)))), end)
	}
}

// words lays the texts of a group over their outlines, invisible (text rendering mode 3, ISO 32000-1, 9.3.6).
func words(w *work.Watch, f *fpdf.Fpdf, ansi func(string) string, g *scene.Group) {
	for _, it := range g.Items {
		w.Look()
		switch it := it.(type) {
		case *scene.Group:
			words(w, f, ansi, it)
		case *scene.Glyphs:
			// Capitals of Helvetica are 718/1000 of its size (its metrics, Adobe Core 14 AFM files).
			f.SetFont("Helvetica", "", it.Height.MM()*point/0.718)
			f.SetTextRenderingMode(3)
			f.Text(it.At.X.MM(), it.At.Y.MM(), ansi(it.Text))
		}
	}
}

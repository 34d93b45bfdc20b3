package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/export/internal/svg"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/read"
)

// Colours of the survey's picture, on paper: each role its own, what is not used pale, what is wrong red.
const (
	sheetFill   = "#f1e8d6"
	openingInk  = "#41719c"
	mountInk    = "#3c8265"
	bodyInk     = "#96703c"
	boardInk    = "#7a8a2e"
	letterInk   = "#7d4487"
	lampInk     = "#b86a0c"
	lampFill    = "#f6c875"
	unusedInk   = "#a9a196"
	wrongInk    = "#cf2f24"
	doubtfulInk = "#d98b00"
)

// Measures of the survey's picture, on paper.
const (
	viewWide = 240 * geom.Millimetre // the drawing is scaled to fit
	viewHigh = 200 * geom.Millimetre
	// Enough for any panel; a drawing with more points is shown without what is not used.
	mostPoints = 300_000
	mostMarks  = 200
)

// sketch is the drawing's frame, in mm, scaled to the page: y up, origin at the lower left of the view.
type sketch struct {
	x0, y0, k float64
	f         svg.Frame
}

func (s sketch) pt(x, y float64) geom.Pt {
	return geom.Pt{X: geom.MM((x - s.x0) * s.k), Y: geom.MM((y - s.y0) * s.k)}
}

// Survey returns the drawing as a survey sees it: each thing in its role, what is not used pale, open ends ringed, and
// the places of errors and warnings marked. Large drawings are shown smaller, small ones larger; the scale is told.
func Survey(r read.Report, findings diag.List) []byte {
	x0, y0, x1, y1, cut := viewOf(r)
	w, h := max(x1-x0, 1e-3), max(y1-y0, 1e-3)
	k := min(viewWide.MM()/w, viewHigh.MM()/h, 20)
	s := sketch{x0: x0, y0: y0, k: k}
	wide, high := geom.MM(w*k), geom.MM(h*k)
	const margin, head, foot = 8 * geom.Millimetre, 14 * geom.Millimetre, 22 * geom.Millimetre
	pageW := max(wide, 170*geom.Millimetre) + 2*margin
	left0 := (pageW - wide) / 2
	s.f = svg.Frame{Digits: 3, Box: geom.Box{Min: geom.Pt{X: -left0, Y: -foot}, Max: geom.Pt{X: pageW - left0, Y: high + head}}}
	d := newDrawing(s.f.W(), s.f.H(), r.File+": survey", "")
	d.Empty("rect", "width", s.f.Num(s.f.W()), "height", s.f.Num(s.f.H()), "fill", paper)

	name := r.File
	if i := strings.LastIndexAny(name, `/\`); i >= 0 {
		name = name[i+1:]
	}
	if n := []rune(name); len(n) > 48 {
		name = string(n[:47]) + "…"
	}
	d.letters(margin, 7*geom.Millimetre, 3*geom.Millimetre, left, ink, name)
	d.letters(pageW-margin, 7*geom.Millimetre, textHeight, right, edgeInk, fmt.Sprintf("%s × %s mm, drawn %s", long(w), long(h), times(k)))

	d.Open("clipPath", "id", "view")
	d.Empty("rect", "x", s.f.Num(left0-2*geom.Millimetre), "y", s.f.Num(head-2*geom.Millimetre), "width", s.f.Num(wide+4*geom.Millimetre), "height", s.f.Num(high+4*geom.Millimetre))
	d.Close("clipPath")
	d.Open("g", "clip-path", "url(#view)", "stroke-linejoin", "round")
	less := d.things(s, r)
	d.Close("g")
	d.flags(s, r, findings)

	y := s.f.H() - foot + 9*geom.Millimetre
	d.surveyKey(margin, y, pageW-margin, r, findings)
	note := ""
	switch {
	case cut == 1:
		note = "1 more thing lies far outside this view"
	case cut > 1:
		note = fmt.Sprintf("%d more things lie far outside this view", cut)
	case less:
		note = "the drawing has very many points: what is not used is left out here"
	}
	d.letters(pageW-margin, s.f.H()-3*geom.Millimetre, textHeight, right, edgeInk, note)
	return d.end()
}

// times tells the scale of a picture.
func times(k float64) string {
	switch {
	case math.Abs(k-1) < 0.005:
		return "at true size"
	case k > 1:
		return fmt.Sprintf("%.3g : 1", k)
	}
	return "1 : " + long(1/k)
}

// long writes a length or a ratio with at most two decimals, large ones in full.
func long(v float64) string {
	digits := 2
	if v >= 1000 {
		digits = 0
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// viewOf returns the part of the drawing that is shown, and how many loops lie outside it: all of it, but when the
// panels would be lost in it, they with some room round them.
func viewOf(r read.Report) (x0, y0, x1, y1 float64, cut int) {
	b := r.Extents
	x0, y0, x1, y1 = b.Min.X, b.Min.Y, b.Max.X, b.Max.Y
	for _, t := range r.Texts {
		if t.Role != "" || x1 <= x0 {
			x0, y0, x1, y1 = min(x0, t.Text.At.X), min(y0, t.Text.At.Y), max(x1, t.Text.At.X), max(y1, t.Text.At.Y)
		}
	}
	px0, py0, px1, py1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, l := range r.Loops {
		if l.Role == panel.RoleOutline {
			px0, py0, px1, py1 = min(px0, l.Box.Min.X), min(py0, l.Box.Min.Y), max(px1, l.Box.Max.X), max(py1, l.Box.Max.Y)
		}
	}
	size := max(px1-px0, py1-py0)
	if !(size > 0) || max(x1-x0, y1-y0) < 6*size {
		return x0, y0, x1, y1, 0
	}
	room := float64(size / 4)
	x0, y0, x1, y1 = max(x0, px0-room), max(y0, py0-room), min(x1, px1+room), min(y1, py1+room)
	for _, l := range r.Loops {
		if l.Box.Min.X > x1 || l.Box.Max.X < x0 || l.Box.Min.Y > y1 || l.Box.Max.Y < y0 {
			cut++
		}
	}
	return x0, y0, x1, y1, cut
}

// things draws loops, lines and texts; less when what is not used had to be left out.
func (d *drawing) things(s sketch, r read.Report) (less bool) {
	points := 0
	for _, l := range r.Loops {
		points += len(l.Path.Vertices)
	}
	for _, l := range r.Lines {
		points += len(l.Path.Vertices)
	}
	less = points > mostPoints
	loops := func(role panel.Role, attrs ...string) {
		var data strings.Builder
		for i := range r.Loops {
			l := &r.Loops[i]
			if l.Role != role {
				continue
			}
			c := make(geom.Contour, 0, len(l.Path.Vertices))
			for _, v := range l.Path.Vertices {
				c = append(c, geom.Vertex{Pt: s.pt(v.X, v.Y), Bulge: v.Bulge})
			}
			if l.Round {
				c = geom.Circle(s.pt(l.Centre.X, l.Centre.Y), geom.MM(l.D*s.k))
			}
			data.WriteString(s.f.Path(drawable(c)))
		}
		if data.Len() > 0 {
			d.Empty("path", append([]string{"class", string(role), "d", data.String()}, attrs...)...)
		}
	}
	lines := func(role panel.Role, attrs ...string) {
		var data strings.Builder
		for i := range r.Lines {
			l := &r.Lines[i]
			if l.Role != role {
				continue
			}
			c := make(geom.Contour, 0, len(l.Path.Vertices))
			for _, v := range l.Path.Vertices {
				c = append(c, geom.Vertex{Pt: s.pt(v.X, v.Y), Bulge: v.Bulge})
			}
			if len(c) > 1 {
				data.WriteString(s.f.Open(c))
			}
		}
		if data.Len() > 0 {
			d.Empty("path", append([]string{"d", data.String(), "fill", "none"}, attrs...)...)
		}
	}
	loops(panel.RoleOutline, "fill", sheetFill, "stroke", ink, "stroke-width", "0.6")
	loops(panel.RoleOpening, "fill", paper, "stroke", openingInk, "stroke-width", "0.4")
	loops(panel.RoleMount, "fill", paper, "stroke", mountInk, "stroke-width", "0.5")
	loops(panel.RoleBody, "fill", "none", "stroke", bodyInk, "stroke-width", "0.35", "stroke-dasharray", "1.8 1")
	loops(panel.RoleBoard, "fill", "none", "stroke", boardInk, "stroke-width", "0.35", "stroke-dasharray", "4 1 1 1")
	loops(panel.RoleLED, "fill", lampFill, "stroke", lampInk, "stroke-width", "0.4")
	if !less {
		loops("", "fill", "none", "stroke", unusedInk, "stroke-width", "0.3", "stroke-dasharray", "0.8 0.6")
		lines("", "stroke", unusedInk, "stroke-width", "0.3", "stroke-dasharray", "0.8 0.6")
	}
	loops(panel.RoleLettering, "fill", letterInk, "fill-rule", "evenodd", "stroke", letterInk, "stroke-width", "0.1")
	lines(panel.RoleLettering, "stroke", letterInk, "stroke-width", "0.4", "stroke-linecap", "round")
	for i, t := range r.Texts {
		if i == 5000 {
			break
		}
		colour := unusedInk
		if t.Role != "" {
			colour = letterInk
		}
		g := lettering.Outline(panel.Text{
			Text: t.Text.Text, At: s.pt(t.Text.At.X, t.Text.At.Y), Height: geom.MM(t.Text.Height * s.k), Angle: t.Text.Angle, Width: t.Text.Width,
			Span: geom.MM(t.Text.Span * s.k), Anchor: panel.Anchor{H: panel.HAlign(t.Text.H), V: panel.VAlign(t.Text.V)}, Mirror: t.Text.Mirror,
		})
		if len(g) > 0 {
			d.Empty("path", "aria-label", strings.ReplaceAll(t.Text.Text, "\n", " "), "fill", colour, "d", s.f.Region(g))
		}
	}
	return less
}

// drawable drops bulges of edges that the scale has shrunk to nothing.
func drawable(c geom.Contour) geom.Contour {
	for i := range c {
		if c[i].Pt == c[(i+1)%len(c)].Pt && len(c) > 2 {
			c[i].Bulge = 0
		}
	}
	return c
}

// flags rings open ends, and marks where errors and warnings are.
func (d *drawing) flags(s sketch, r read.Report, findings diag.List) {
	d.Open("g", "id", "open-ends", "fill", "none", "stroke", wrongInk, "stroke-width", "0.4")
	for i, e := range r.Open {
		if i == 2000 {
			break
		}
		x, y := s.f.XY(s.pt(e.At.X, e.At.Y))
		if s.seen(x, y) {
			d.Empty("circle", "cx", s.f.Num(x), "cy", s.f.Num(y), "r", "1.2")
		}
	}
	d.Close("g")
	d.Open("g", "id", "findings", "fill", "none", "stroke-width", "0.5", "stroke-linejoin", "round")
	n := 0
	for _, f := range findings {
		if f.Severity == diag.Note || f.Place.At == nil || n == mostMarks {
			continue
		}
		x, y := s.f.XY(s.pt(f.Place.At.X, f.Place.At.Y))
		if !s.seen(x, y) {
			continue
		}
		n++
		colour := doubtfulInk
		if f.Severity == diag.Error {
			colour = wrongInk
		}
		mm := geom.Millimetre
		d.Empty("path", "stroke", colour, "d", "M"+s.f.Num(x)+" "+s.f.Num(y-2*mm)+"l1.9 3.3h-3.8Z")
	}
	d.Close("g")
}

// seen reports whether a place lies on the page.
func (s sketch) seen(x, y geom.Nm) bool { return x >= 0 && y >= 0 && x <= s.f.W() && y <= s.f.H() }

// surveyKey writes what the colours mean and how many there are, in one or two rows.
func (d *drawing) surveyKey(x0, y, x1 geom.Nm, r read.Report, findings diag.List) {
	n := map[panel.Role]int{}
	for _, l := range r.Loops {
		n[l.Role]++
	}
	words := 0
	for _, t := range r.Texts {
		if t.Role != "" {
			words++
		} else {
			n[""]++
		}
	}
	for _, l := range r.Lines {
		n[l.Role]++
	}
	marked := [3]int{}
	for _, f := range findings {
		if f.Severity != diag.Note && f.Place.At != nil {
			marked[f.Severity]++
		}
	}
	x := x0
	for _, k := range []struct {
		n            int
		one, many    string
		stroke, fill string
		dash         string
		mark         bool
	}{
		{n[panel.RoleOutline], "outline", "outlines", ink, sheetFill, "", false},
		{n[panel.RoleLED], "LED hole", "LED holes", lampInk, lampFill, "", false},
		{n[panel.RoleOpening], "opening", "openings", openingInk, paper, "", false},
		{n[panel.RoleMount], "mount", "mounts", mountInk, paper, "", false},
		{n[panel.RoleBody], "body", "bodies", bodyInk, "none", "1 0.6", false},
		{n[panel.RoleBoard], "board edge", "board edges", boardInk, "none", "1 0.6", false},
		{n[panel.RoleLettering] + words, "piece of lettering", "pieces of lettering", letterInk, letterInk, "", false},
		{n[""], "thing not used", "things not used", unusedInk, "none", "0.8 0.6", false},
		{len(r.Open), "open end", "open ends", wrongInk, "none", "", false},
		{marked[diag.Error], "error", "errors", wrongInk, "none", "", true},
		{marked[diag.Warning], "warning", "warnings", doubtfulInk, "none", "", true},
	} {
		if k.n == 0 {
			continue
		}
		label := strconv.Itoa(k.n) + " " + k.many
		if k.n == 1 {
			label = "1 " + k.one
		}
		room := 4*geom.Millimetre + d.wide(label, textHeight)
		if x > x0 && x+room > x1 {
			x, y = x0, y+5*geom.Millimetre
		}
		if k.mark {
			d.Empty("path", "d", "M"+num(x+geom.Millimetre)+" "+num(y-2*geom.Millimetre)+"l1.2 2.1h-2.4Z", "fill", "none", "stroke", k.stroke, "stroke-width", "0.4")
		} else {
			d.Empty("circle", "cx", num(x+geom.Millimetre), "cy", num(y-textHeight/2), "r", "1.1", "fill", k.fill, "stroke", k.stroke,
				"stroke-width", "0.4", "stroke-dasharray", k.dash)
		}
		d.letters(x+3200*geom.Micrometre, y, textHeight, left, edgeInk, label)
		x += room + 4*geom.Millimetre
	}
}

package pdf

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// element is a node of the SVG.
type element struct {
	name string
	attr map[string]string
	kids []*element
}

// parse reads the document into a tree; letters are found by their id afterwards.
func parse(src []byte) (*element, map[string]*element) {
	d := xml.NewDecoder(bytes.NewReader(src))
	root := &element{}
	stack := []*element{root}
	byID := map[string]*element{}
	for {
		t, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			panic("export/internal/pdf: the drawing is no XML: " + err.Error())
		}
		switch t := t.(type) {
		case xml.StartElement:
			e := &element{name: t.Name.Local, attr: map[string]string{}}
			for _, a := range t.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			if id := e.attr["id"]; id != "" {
				byID["#"+id] = e
			}
			up := stack[len(stack)-1]
			up.kids = append(up.kids, e)
			stack = append(stack, e)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		}
	}
	if len(root.kids) != 1 || root.kids[0].name != "svg" {
		panic("export/internal/pdf: the drawing is no SVG")
	}
	return root.kids[0], byID
}

// style is what elements hand down.
type style struct{ fill, stroke, width, dash, cap, join, rule string }

func (s style) with(e *element) style {
	set := func(to *string, name string) {
		if v, ok := e.attr[name]; ok {
			*to = v
		}
	}
	set(&s.fill, "fill")
	set(&s.stroke, "stroke")
	set(&s.width, "stroke-width")
	set(&s.dash, "stroke-dasharray")
	set(&s.cap, "stroke-linecap")
	set(&s.join, "stroke-linejoin")
	set(&s.rule, "fill-rule")
	return s
}

// page writes content in the SVG's own coordinates.
type page struct {
	out  bytes.Buffer
	byID map[string]*element
}

// render returns the size of the page in mm and its content.
func render(src []byte) (w, h float64, content []byte) {
	root, byID := parse(src)
	w, h = mm(root.attr["width"]), mm(root.attr["height"])
	p := &page{byID: byID}
	// From millimetres, Y down, to points, Y up.
	fmt.Fprintf(&p.out, "%s 0 0 %s 0 %s cm\n", num(point), num(-point), num(h*point))
	p.children(root, style{fill: "#000000", stroke: "none", width: "1"})
	return w, h, p.out.Bytes()
}

func mm(s string) float64 {
	v, ok := strings.CutSuffix(s, "mm")
	if !ok {
		panic("export/internal/pdf: a size without mm: " + s)
	}
	return number(v)
}

func number(s string) float64 {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		panic("export/internal/pdf: no number: " + s)
	}
	return v
}

func (e *element) num(name string) float64 {
	if v, ok := e.attr[name]; ok {
		return number(v)
	}
	return 0
}

func (p *page) children(e *element, s style) {
	for _, k := range e.kids {
		p.draw(k, s.with(k))
	}
}

func (p *page) draw(e *element, s style) {
	for _, bad := range []string{"opacity", "fill-opacity", "stroke-opacity", "clip-path", "color", "style", "rx"} {
		if _, ok := e.attr[bad]; ok {
			panic("export/internal/pdf: cannot draw " + e.name + " with " + bad)
		}
	}
	switch e.name {
	case "title", "desc", "defs":
		return
	case "g", "use", "path", "rect", "circle":
	default:
		panic("export/internal/pdf: cannot draw " + e.name)
	}
	moved := e.attr["transform"] != "" || e.name == "use"
	if moved {
		p.out.WriteString("q\n")
		p.transform(e.attr["transform"])
	}
	switch e.name {
	case "g":
		p.children(e, s)
	case "use":
		if x, y := e.num("x"), e.num("y"); x != 0 || y != 0 {
			fmt.Fprintf(&p.out, "1 0 0 1 %s %s cm\n", num(x), num(y))
		}
		to, ok := p.byID[e.attr["href"]]
		if !ok || to.name == "use" {
			panic("export/internal/pdf: nothing is named " + e.attr["href"])
		}
		p.draw(to, s.with(to))
	case "path":
		p.shape(s, e.attr["d"])
	case "rect":
		x, y, w, h := e.num("x"), e.num("y"), e.num("width"), e.num("height")
		p.shape(s, fmt.Sprintf("M%g %gh%gv%gh%gZ", x, y, w, h, -w))
	case "circle":
		x, y, r := e.num("cx"), e.num("cy"), e.num("r")
		p.shape(s, fmt.Sprintf("M%g %gA%g %g 0 1 1 %g %gA%g %g 0 1 1 %g %gZ", x+r, y, r, r, x-r, y, r, r, x+r, y))
	}
	if moved {
		p.out.WriteString("Q\n")
	}
}

// transform writes translate(x y) and scale(f).
func (p *page) transform(s string) {
	for s = strings.TrimSpace(s); s != ""; s = strings.TrimSpace(s) {
		name, rest, ok1 := strings.Cut(s, "(")
		args, after, ok2 := strings.Cut(rest, ")")
		v := strings.Fields(strings.ReplaceAll(args, ",", " "))
		switch {
		case !ok1 || !ok2:
			panic("export/internal/pdf: no transform: " + s)
		case name == "translate" && len(v) == 2:
			fmt.Fprintf(&p.out, "1 0 0 1 %s %s cm\n", num(number(v[0])), num(number(v[1])))
		case name == "scale" && len(v) == 1:
			f := num(number(v[0]))
			fmt.Fprintf(&p.out, "%s 0 0 %s 0 0 cm\n", f, f)
		default:
			panic("export/internal/pdf: cannot transform by " + s)
		}
		s = after
	}
}

// shape paints path data with a style.
func (p *page) shape(s style, data string) {
	fill, stroke := s.fill != "none" && s.fill != "", s.stroke != "none" && s.stroke != ""
	if !fill && !stroke || strings.TrimSpace(data) == "" {
		return
	}
	if fill {
		fmt.Fprintf(&p.out, "%s rg ", colour(s.fill))
	}
	if stroke {
		fmt.Fprintf(&p.out, "%s RG %s w ", colour(s.stroke), num(number(s.width)))
		fmt.Fprintf(&p.out, "%d J %d j [%s] 0 d ", kind(s.cap, "butt", "round", "square"), kind(s.join, "miter", "round", "bevel"), dashes(s.dash))
	}
	p.path(data)
	star := ""
	if s.rule == "evenodd" {
		star = "*"
	}
	switch {
	case fill && stroke:
		p.out.WriteString("B" + star + "\n")
	case fill:
		p.out.WriteString("f" + star + "\n")
	default:
		p.out.WriteString("S\n")
	}
}

func kind(s string, words ...string) int {
	for i, w := range words {
		if s == w {
			return i
		}
	}
	if s != "" {
		panic("export/internal/pdf: unknown word " + s)
	}
	return 0
}

func dashes(s string) string {
	if s == "none" {
		return ""
	}
	var out []string
	for _, f := range strings.Fields(strings.ReplaceAll(s, ",", " ")) {
		out = append(out, num(number(f)))
	}
	return strings.Join(out, " ")
}

// colour returns #rrggbb as three numbers.
func colour(s string) string {
	v, err := strconv.ParseUint(strings.TrimPrefix(s, "#"), 16, 32)
	if err != nil || len(s) != 7 {
		panic("export/internal/pdf: no colour: " + s)
	}
	part := func(shift uint) string { return strconv.FormatFloat(float64(v>>shift&255)/255, 'f', 3, 64) }
	return part(16) + " " + part(8) + " " + part(0)
}

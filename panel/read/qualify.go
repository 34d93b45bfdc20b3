package read

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/role"
)

// placeWords are the places that a rule can name.
var placeWords = [...]struct {
	place role.Places
	words string
}{{role.InCorners, "in corners"}, {role.NearEdge, "near the edge"}, {role.RoundOthers, "round others"}, {role.WithinOther, "within another"}}

// colourWords are CAD's first colours by index.
var colourWords = [...]string{1: "red", 2: "yellow", 3: "green", 4: "cyan", 5: "blue", 6: "magenta", 7: "white"}

// qualifierHead finds where the first of what may stand behind a size begins.
var qualifierHead = regexp.MustCompile(`(?i)(?:^|\s)(in\s+(?:the\s+)?corners|near\s+the\s+edge|round\s+others|within\s+another|near\s|inside\s|in\s+colou?r\s|in\s+block\s|on\s+layer(?:\s|$))`)

// qualified reads what stands behind the size of a rule into it, and returns the size.
func (r *Rule) qualified(s string) (size string, err error) {
	at := qualifierHead.FindStringIndex(s)
	if at == nil {
		return s, nil
	}
	size, s = strings.TrimSpace(s[:at[0]]), strings.TrimSpace(s[at[0]:])
	for s != "" {
		m := qualifierHead.FindStringSubmatchIndex(s)
		if m == nil || m[0] != 0 {
			return size, fmt.Errorf("%q is not understood: in corners, near the edge, near X,Y, inside shapes W x H, round others, in colour NAME, in block NAME, on layer NAME", s)
		}
		head := strings.Join(strings.Fields(strings.ToLower(s[m[2]:m[3]])), " ")
		rest := strings.TrimSpace(s[m[3]:])
		// What it names goes to the next one, a layer's name to the end of the line, since it may hold any words.
		name, after := rest, ""
		switch quote := strings.IndexAny(rest, `"'`); {
		case quote == 0 && strings.IndexByte(rest[1:], rest[0]) >= 0:
			end := 1 + strings.IndexByte(rest[1:], rest[0])
			name, after = rest[1:end], strings.TrimSpace(rest[end+1:])
		case head != "on layer":
			if next := qualifierHead.FindStringIndex(rest); next != nil {
				name, after = strings.TrimSpace(rest[:next[0]]), strings.TrimSpace(rest[next[0]:])
			}
		}
		name = unquoted(name)
		switch head {
		case "in corners", "in the corners":
			r.Places |= role.InCorners
		case "near the edge":
			r.Places |= role.NearEdge
		case "round others":
			r.Places |= role.RoundOthers
		case "within another":
			r.Places |= role.WithinOther
		case "near":
			r.Near, err = parsePoint(name)
			r.AtNear = true
			name = ""
		case "inside":
			r.In, err = parseWithin(name)
			name = ""
		case "in colour", "in color":
			r.Colour, err = parseColour(name)
			name = ""
		case "in block":
			if r.Block, name = name, ""; r.Block == "" {
				err = fmt.Errorf("%q names no block", s)
			}
		case "on layer":
			if r.Layer, name = name, ""; r.Layer == "" {
				err = fmt.Errorf("%q names no layer", s)
			}
		}
		if err == nil && name != "" {
			err = fmt.Errorf("%q is not understood behind %s", name, head)
		}
		if err != nil {
			return size, err
		}
		s = after
	}
	return size, nil
}

// qualifiers writes what stands behind the size.
func (r Rule) qualifiers() string {
	s := ""
	for _, p := range placeWords {
		if r.Places&p.place != 0 {
			s += " " + p.words
		}
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	if r.AtNear {
		s += " near " + number(r.Near.X) + "," + number(r.Near.Y)
	}
	if r.In != (Within{}) {
		s += " inside shapes " + lengths(r.In.W, r.In.W) + " x " + lengths(r.In.H, r.In.H) + " mm"
	}
	if r.Colour != 0 {
		s += " in colour " + ColourName(r.Colour)
	}
	if r.Block != "" {
		s += ` in block "` + r.Block + `"`
	}
	if r.Layer != "" {
		s += " on layer " + r.Layer
	}
	return s
}

// closeness is how closely a rule says what it means: of two that take a thing, the closer one counts.
func (r Rule) closeness() int {
	n := 0
	add := func(is bool, k int) {
		if is {
			n += k
		}
	}
	add(r.AtNear, 32)
	add(r.Kind == LetterRule, 16)
	add(r.Places&role.InCorners != 0, 5)
	add(r.Places&role.NearEdge != 0, 4)
	add(r.Places&role.RoundOthers != 0, 4)
	add(r.Places&role.WithinOther != 0, 4)
	add(r.In != Within{}, 5)
	add(r.Layer != "", 8)
	add(r.Block != "", 4)
	add(r.Colour != 0, 4)
	add(r.Max > 0 || r.W > 0, 3)
	return n
}

// drawnSo reports whether an entity has the layer, block and colour that the rule names.
func (r *Rule) drawnSo(e *dxf.Entity) bool {
	return (r.Layer == "" || strings.EqualFold(r.Layer, e.Layer)) && (r.Block == "" || strings.EqualFold(r.Block, e.Block)) && (r.Colour == 0 || r.Colour == e.Colour)
}

// parsePoint reads a place in the drawing, in mm: "120, 40".
func parsePoint(s string) (dxf.XY, error) {
	a, b, two := strings.Cut(strings.TrimSuffix(strings.TrimSpace(strings.ToLower(s)), "mm"), ",")
	if !two && strings.TrimSpace(a) != "" {
		return dxf.XY{}, fmt.Errorf("%q is half of a place as near 120, 40; within braces the comma ends it there, so put the rule in quotes: '... near 120, 40'", s)
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(a), "mm")), 64)
	y, err2 := strconv.ParseFloat(strings.TrimSpace(b), 64)
	if err != nil || err2 != nil || !(x > -1e6 && x < 1e6 && y > -1e6 && y < 1e6) {
		return dxf.XY{}, fmt.Errorf("%q is no place as near 120, 40: two lengths in mm, in the drawing's own coordinates", s)
	}
	return dxf.XY{X: x, Y: y}, nil
}

func parseWithin(s string) (Within, error) {
	word, size, _ := strings.Cut(strings.TrimSpace(s), " ")
	switch strings.ToLower(word) {
	case "shapes", "shape":
		w, _, h, _, err := parseSides(size)
		return Within{w, h}, err
	case "circles", "circle":
		d, _, err := parseRange(size)
		return Within{d, d}, err
	}
	return Within{}, fmt.Errorf("%q is not what a thing lies in, as inside shapes 20 x 10 mm or inside circles 12 mm", s)
}

func parseColour(s string) (uint32, error) {
	n := strings.ToLower(strings.TrimSpace(s))
	if n == "black" {
		return 7, nil
	}
	for i, w := range colourWords {
		if w == n && w != "" {
			return uint32(i), nil
		}
	}
	if hex, ok := strings.CutPrefix(n, "#"); ok {
		if v, err := strconv.ParseUint(hex, 16, 24); err == nil && len(hex) == 6 {
			return dxf.TrueColour | uint32(v), nil
		}
	}
	if v, err := strconv.ParseUint(n, 10, 8); err == nil && v > 0 {
		return uint32(v), nil
	}
	return 0, fmt.Errorf("%q is no colour: red, yellow, green, cyan, blue, magenta, white, a number from 1 to 255, or #RRGGBB", s)
}

// ColourName is what a rule calls a colour: "red", "34", "#00FF80".
func ColourName(c uint32) string {
	switch {
	case c >= dxf.TrueColour:
		return fmt.Sprintf("#%06X", c&0xffffff)
	case int(c) < len(colourWords):
		return colourWords[c]
	}
	return strconv.Itoa(int(c))
}

// parseRange reads "3.2 mm" or "3 .. 3.2 mm", of which people also write "3 to 3.2 mm" and "3-3.2 mm".
func parseRange(s string) (lo, hi geom.Nm, err error) {
	a, b, window := strings.Cut(s, "..")
	for _, between := range [...]string{" to ", "-", "–"} {
		if !window {
			a, b, window = strings.Cut(strings.ToLower(s), between)
		}
	}
	if !window {
		lo, err = parseLength(a, 1)
		return lo, lo, err
	}
	if hi, err = parseLength(b, 1); err != nil {
		return 0, 0, err
	}
	k := 1.0
	if inches(b) && !strings.ContainsAny(strings.ToLower(a), "mi\"") {
		k = geom.InchMM
	}
	if lo, err = parseLength(a, k); err == nil && hi < lo {
		err = fmt.Errorf("%q begins with the larger one", s)
	}
	return lo, hi, err
}

// parseSides reads "20 x 10 mm", each of which may be a range.
func parseSides(s string) (w1, w2, h1, h2 geom.Nm, err error) {
	w, h, two := strings.Cut(strings.ReplaceAll(strings.ToLower(s), "×", "x"), "x")
	if !two {
		return 0, 0, 0, 0, fmt.Errorf("%q must have a width and a height, as shapes 20 x 10 mm", s)
	}
	if h1, h2, err = parseRange(h); err != nil {
		return 0, 0, 0, 0, err
	}
	if inches(h) && !strings.ContainsAny(w, "mi\"") {
		w += " in"
	}
	w1, w2, err = parseRange(w)
	return w1, w2, h1, h2, err
}

package picture

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/export/scene"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/read"
)

// noted is one entry of the list below a survey's picture: what is said, and of which places.
type noted struct {
	head   string // of the section that it begins; empty: none
	number int    // that stands at its places; 0: nowhere
	ink    scene.Colour
	text   string
	advice string
	places []spot
	apart  geom.Nm // numbers at its places stand no nearer to each other
	flag   flag
}

// flag is what is drawn round the places of an entry.
type flag uint8

const (
	noFlag flag = iota
	ringFlag
	triangleFlag
)

// spot is a thing on the page that a number may stand at.
type spot struct {
	box   geom.Box
	round bool
	rim   []geom.Pt // of a large outline: points of it, any of which will do
}

// SurveyMarks returns the findings of a survey with the numbers under which its picture, so named, lists them.
func SurveyMarks(l diag.List, on string) diag.List {
	out := slices.Clone(l)
	n := 0
	for i := range out {
		if f := &out[i]; f.Severity != diag.Note {
			if n++; len(placesOf(*f)) > 0 {
				f.Mark = diag.Mark{Number: n, On: on}
			}
		}
	}
	return out
}

// placesOf returns where on the drawing a finding points.
func placesOf(f diag.Finding) []diag.Point {
	if f.Question != nil && len(f.Question.At) > 0 {
		return f.Question.At
	}
	var out []diag.Point
	for _, g := range f.Each() {
		if g.Place.At != nil && !slices.Contains(out, *g.Place.At) {
			out = append(out, *g.Place.At)
		}
	}
	return out
}

// surveyList returns the entries: questions, errors and warnings as they are told, then what things are taken for and why,
// what has no use, and what else is told.
func surveyList(s sketch, r read.Report, findings diag.List) []noted {
	var asked, wrong, taken, left, also []noted
	covered := make([]bool, len(r.Groups)) // by a question
	n := 0
	for _, f := range findings {
		if f.Severity == diag.Note {
			switch f.Code {
			case "panel-guess", "panel-layer-ignored", "panel-text-outside", "dxf-open-line": // these are in the list by their things
			default:
				also = append(also, noted{ink: edgeInk, text: capital(f.Text)})
			}
			continue
		}
		n++
		e := noted{number: n, text: capital(f.Text), advice: f.Advice, apart: 12 * geom.Millimetre, flag: triangleFlag, ink: doubtfulInk}
		switch {
		case f.Question != nil:
			e.ink, e.flag = askInk, ringFlag
			e.places = s.inQuestion(r, f.Question, covered)
		case f.Severity == diag.Error:
			e.ink = wrongInk
		}
		if f.Question == nil {
			for _, p := range placesOf(f) {
				e.places = append(e.places, s.spotAt(r, f, p))
			}
			if len(e.places) == 1 && e.places[0].rim != nil {
				e.flag = noFlag
			}
		}
		if f.Question != nil {
			asked = append(asked, e)
		} else {
			wrong = append(wrong, e)
		}
	}
	for i, g := range r.Groups {
		if covered[i] {
			continue
		}
		text := g.Things + ": "
		switch why := strings.Join(g.Why, ", and "); {
		case g.Role == panel.RoleIgnore && why != "":
			text += why
		case why != "":
			text += g.As + ", since " + why
		default:
			text += g.As
		}
		if g.Doubt != "" {
			they := "they"
			if len(g.Loops)+len(g.Lines)+len(g.Texts) == 1 {
				they = "it"
			}
			text += "; but " + they + " " + g.Doubt
		}
		e := noted{ink: roleInk(g.Role), text: capital(text), apart: 22 * geom.Millimetre, places: s.spots(r, g)}
		switch g.Role {
		case panel.RoleIgnore:
			left = append(left, e)
			continue
		case panel.RoleLettering, panel.RolePrint, panel.RolePrintBack:
			e.apart = 80 * geom.Millimetre
		}
		n++
		e.number = n
		taken = append(taken, e)
	}
	for _, l := range r.Left {
		text := fmt.Sprintf("%s on layer %s", l.Things, l.Layer)
		if l.Where != "" {
			text += ", " + l.Where
		}
		left = append(left, noted{ink: unusedInk, text: capital(text)})
	}
	for _, k := range r.Skipped {
		left = append(left, noted{ink: unusedInk, text: fmt.Sprintf("%d %s on layer %s, not shown: %s", k.Count, k.Type, k.Layer, k.Reason)})
	}
	var out []noted
	for _, part := range []struct {
		head string
		list []noted
	}{
		{"Questions", asked}, {"What is wrong or odd", wrong}, {"What things are taken for, and why", taken},
		{"Not used: neither cut nor engraved", left}, {"Also told", also},
	} {
		if len(part.list) > 0 {
			part.list[0].head = part.head
			out = append(out, part.list...)
		}
	}
	return out
}

// capital begins a text with a capital letter, unless a quoted or a mixed word begins it.
func capital(s string) string {
	if len(s) > 1 && s[0] >= 'a' && s[0] <= 'z' && !(s[1] >= 'A' && s[1] <= 'Z') {
		return strings.ToUpper(s[:1]) + s[1:]
	}
	return s
}

// roleInk is the colour in which a survey shows things of a role.
func roleInk(r panel.Role) scene.Colour {
	switch r {
	case panel.RoleOutline:
		return ink
	case panel.RoleLED:
		return lampInk
	case panel.RoleOpening:
		return openingInk
	case panel.RoleMount:
		return mountInk
	case panel.RoleBody:
		return bodyInk
	case panel.RoleBoard:
		return boardInk
	case panel.RoleWindow:
		return windowInk
	case panel.RoleLettering:
		return letterInk
	case panel.RolePrint, panel.RolePrintBack:
		return printInk
	}
	return unusedInk
}

// inQuestion returns the things that a question is about, and marks the groups that it speaks of.
func (s sketch) inQuestion(r read.Report, q *diag.Question, covered []bool) []spot {
	var out []spot
	for i, g := range r.Groups {
		if g.Asked == q {
			covered[i] = true
			out = append(out, s.spots(r, g)...)
		}
	}
	if len(out) > 0 {
		return out
	}
	for _, p := range q.At {
		out = append(out, s.point(p))
	}
	return out
}

// point is a place without a size.
func (s sketch) point(p diag.Point) spot {
	at := s.f.Pt(s.pt(p.X, p.Y))
	return spot{box: geom.Box{Min: at, Max: at}.Grown(1200 * geom.Micrometre), round: true}
}

// spotAt is where a finding points. What names a closed line, not a place on it, speaks of the whole.
func (s sketch) spotAt(r read.Report, f diag.Finding, p diag.Point) spot {
	for i := range r.Loops {
		l := &r.Loops[i]
		if l.Round || l.Handle != f.Place.Handle || l.Layer != f.Place.Layer {
			continue
		}
		for _, v := range l.Path.Vertices {
			if near(v.X, p.X) && near(v.Y, p.Y) {
				out := s.loop(l)
				if min(out.box.W(), out.box.H()) > 12*geom.Millimetre {
					return s.edge(l)
				}
				return out
			}
		}
	}
	return s.point(p)
}

func near(a, b float64) bool { return a-b < 1e-6 && b-a < 1e-6 }

// spots returns the things of a group.
func (s sketch) spots(r read.Report, g read.Group) []spot {
	var out []spot
	if s.k == 0 { // nobody asks where they are yet
		return out
	}
	for _, i := range g.Loops {
		out = append(out, s.loop(&r.Loops[i]))
	}
	for _, i := range g.Lines {
		b := r.Lines[i].Path.Box()
		out = append(out, spot{box: s.box(b.Min.X, b.Min.Y, b.Max.X, b.Max.Y)})
	}
	for _, i := range g.Texts {
		if b := s.words(&r.Texts[i]).Box(); !b.Empty() {
			out = append(out, spot{box: s.f.Contours(geom.Rect(b))[0].Box()})
		}
	}
	return out
}

// loop is a closed line; of an outline any point of its edge will do.
func (s sketch) loop(l *read.Loop) spot {
	if l.Role == panel.RoleOutline {
		return s.edge(l)
	}
	return spot{box: s.box(l.Box.Min.X, l.Box.Min.Y, l.Box.Max.X, l.Box.Max.Y), round: l.Round}
}

// edge is the whole line of a large thing: any point of it will do, best at the upper left.
func (s sketch) edge(l *read.Loop) spot {
	out := spot{box: s.box(l.Box.Min.X, l.Box.Min.Y, l.Box.Max.X, l.Box.Max.Y)}
	for _, c := range s.f.Contours(s.closed(l)) {
		out.rim = append(out.rim, along(c, 5*geom.Millimetre)...)
	}
	slices.SortStableFunc(out.rim, func(a, b geom.Pt) int { return cmp.Compare(a.X+a.Y, b.X+b.Y) })
	return out
}

// box is a box of the drawing on the page.
func (s sketch) box(x0, y0, x1, y1 float64) geom.Box {
	return geom.BoxOf(s.f.Pt(s.pt(x0, y0)), s.f.Pt(s.pt(x1, y1)))
}

// Measures of the list, on paper.
const (
	tagHigh   = 3200 * geom.Micrometre
	tagText   = 1700 * geom.Micrometre
	indent    = 8 * geom.Millimetre // of the words, from the numbers
	entryGap  = 1300 * geom.Micrometre
	headHigh  = 7 * geom.Millimetre
	listGap   = 7 * geom.Millimetre // between columns
	mostWords = 700                 // letters of one entry
)

// setEntry is an entry in lines.
type setEntry struct {
	noted
	lines []string
	from  int // the first line of advice
	high  geom.Nm
}

// set breaks the list into lines of a column.
func (d *drawing) set(list []noted, column geom.Nm) []setEntry {
	var out []setEntry
	for _, e := range list {
		q := setEntry{noted: e, lines: d.Wrapped(clipped(e.text, mostWords), textHeight, column-indent)}
		q.from = len(q.lines)
		if e.advice != "" {
			q.lines = append(q.lines, d.Wrapped(clipped("Do: "+e.advice, mostWords), textHeight, column-indent)...)
		}
		q.high = max(geom.Nm(len(q.lines))*lineStep, tagHigh) + entryGap
		if e.head != "" {
			q.high += headHigh
		}
		out = append(out, q)
	}
	return out
}

// columned deals entries into columns of equal height, or nearly; no column is higher than most: what has no room there is
// counted.
func columned(list []setEntry, columns int, most geom.Nm) (out [][]setEntry, high geom.Nm, rest int) {
	total := geom.Nm(0)
	for _, e := range list {
		total += e.high
	}
	aim := min(most, total/geom.Nm(columns)+5*lineStep)
	out = make([][]setEntry, columns)
	c, y := 0, geom.Nm(0)
	for i, e := range list {
		if y+e.high > aim && c < columns-1 && y > 0 {
			c, y = c+1, 0
		}
		if y+e.high > most && i > 0 {
			return out, max(high, y) + lineStep, len(list) - i
		}
		out[c] = append(out[c], e)
		y += e.high
		high = max(high, y)
	}
	return out, high, 0
}

// entries writes the columns of the list.
func (d *drawing) entries(columns [][]setEntry, x, y, column geom.Nm, rest int) {
	d.open("notes-list") // in DXF, layers named so are remarks
	defer d.close()
	end := y
	for i, list := range columns {
		left0, at := x+geom.Nm(i)*(column+listGap), y
		if i > 0 && len(list) > 0 && list[0].head == "" {
			at += headHigh // level with what goes on there
		}
		for _, e := range list {
			if e.head != "" {
				d.letters(left0, at+headHigh-2400*geom.Micrometre, 2400*geom.Micrometre, left, ink, e.head)
				at += headHigh
			}
			if e.number > 0 {
				d.tag(geom.Pt{X: left0 + tagWide(d, e.number)/2, Y: at + tagHigh/2}, e.number, e.ink)
			} else {
				d.fill(disc(left0+tagHigh/2, at+tagHigh/2, 500*geom.Micrometre), e.ink)
			}
			base := at + tagHigh/2 + textHeight/2
			for k, line := range e.lines {
				colour := ink
				if k >= e.from {
					colour = edgeInk
				}
				d.letters(left0+indent, base+geom.Nm(k)*lineStep, textHeight, left, colour, line)
			}
			at += e.high
			if e.head != "" {
				at -= headHigh
			}
		}
		end = at
	}
	if rest > 0 {
		d.letters(x+indent+geom.Nm(len(columns)-1)*(column+listGap), end+textHeight, textHeight, left, edgeInk, "and "+strconv.Itoa(rest)+" more, which the survey tells in its tables and findings")
	}
}

// tagWide is how wide a number's tag is.
func tagWide(d *drawing, n int) geom.Nm {
	return max(tagHigh, d.Wide(strconv.Itoa(n), tagText)+1600*geom.Micrometre)
}

// tag draws a number on a ground of its colour, about a point.
func (d *drawing) tag(at geom.Pt, n int, c scene.Colour) {
	w := tagWide(d, n)
	d.add(&scene.Path{Shapes: []geom.Contour{rounded(at.X-w/2, at.Y-tagHigh/2, w, tagHigh, tagHigh/2)}, Fill: scene.Solid(c), Stroke: scene.Line(paper, 350*geom.Micrometre)})
	d.letters(at.X, at.Y+tagText/2, tagText, centre, paper, strconv.Itoa(n))
}

package dxf

import (
	"math"
	"strconv"
	"strings"

	"lampblack/panel/writing"
)

// marks reads the inline codes of an MTEXT (references.md, sections 9 and 19). Heights are in those of the entity until it ends.
type marks struct {
	nominal float64 // height of the entity, drawing units
	now     state
	groups  []state // round the place
	paras   []writing.Paragraph
	plain   strings.Builder
	seen    bool
	tall    float64 // of the first character
	colour  uint32  // of all characters so far
	colours int     // how many there are
}

// state is how characters are set at a place.
type state struct {
	look   writing.Run // without text
	para   writing.Paragraph
	colour uint32
}

func newMarks(nominal float64, look writing.Run) *marks {
	look.Height = 1
	m := &marks{nominal: nominal, tall: 1, now: state{look: look}}
	m.paras = []writing.Paragraph{{}}
	return m
}

// text returns the characters alone.
func (m *marks) text() string {
	lines := strings.Split(m.plain.String(), "\n")
	for i := range lines {
		lines[i] = strings.Trim(strings.ReplaceAll(lines[i], "\u00a0", " "), " \t")
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n")
}

// put adds characters in the look of the place.
func (m *marks) put(t string) {
	m.say(t, t)
	p := &m.paras[len(m.paras)-1]
	look := m.now.look
	if n := len(p.Runs); n > 0 && p.Runs[n-1].Stack == nil {
		if last := &p.Runs[n-1]; func() bool { a := *last; a.Text = ""; return a == look }() {
			last.Text += t
			return
		}
	}
	look.Text = t
	p.Runs = append(p.Runs, look)
}

// say adds to the text without codes.
func (m *marks) say(t, plain string) {
	if strings.TrimSpace(t) != "" {
		if !m.seen {
			m.seen, m.tall = true, m.now.look.Height
		}
		if m.colours == 0 || m.now.colour != m.colour {
			m.colour = m.now.colour
			m.colours++
		}
		p := &m.paras[len(m.paras)-1]
		if len(p.Runs) == 0 {
			m.indent(p)
		}
	}
	m.plain.WriteString(plain)
}

// indent gives a paragraph the properties of the place.
func (m *marks) indent(p *writing.Paragraph) {
	runs, column := p.Runs, p.NewColumn
	*p = m.now.para
	p.Runs, p.NewColumn = runs, column
}

// end ends a paragraph.
func (m *marks) end(column bool) {
	if p := &m.paras[len(m.paras)-1]; len(p.Runs) == 0 {
		look := m.now.look
		p.Runs = []writing.Run{look} // an empty line is as high as its letters would be
	}
	m.plain.WriteString("\n")
	m.paras = append(m.paras, writing.Paragraph{NewColumn: column})
}

func (m *marks) read(s string) {
	s = percents(s)
	for i := 0; i < len(s); {
		c := s[i]
		switch {
		case c == '{':
			if len(m.groups) < 1000 {
				m.groups = append(m.groups, m.now)
			}
			i++
		case c == '}':
			if n := len(m.groups); n > 0 {
				m.now, m.groups = m.groups[n-1], m.groups[:n-1]
			}
			i++
		case c == '^' && i+1 < len(s):
			switch s[i+1] {
			case ' ':
				m.put("^")
			case 'J', 'M':
				m.end(false)
			case 'I':
				m.put("\t")
			}
			i += 2
		case c == '\\' && i+1 < len(s):
			i = m.code(s, i)
		case c == '\r' || c == '\n':
			i++
		default:
			n := i + 1
			for n < len(s) && !strings.ContainsRune("{}^\\\r\n", rune(s[n])) {
				n++
			}
			m.put(s[i:n])
			i = n
		}
	}
}

// code obeys the code after the backslash at s[i] and returns where the text goes on.
func (m *marks) code(s string, i int) int {
	arg := func() (string, int) { // up to the semicolon
		if n := strings.IndexByte(s[i+2:], ';'); n >= 0 {
			return s[i+2 : i+2+n], i + 2 + n + 1
		}
		return "", i + 2
	}
	// value reads a number, and whether it is relative.
	value := func(a string) (v float64, relative, ok bool) {
		a, relative = strings.CutSuffix(strings.ToLower(strings.TrimSpace(a)), "x")
		v, err := strconv.ParseFloat(a, 64)
		return v, relative, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	look := &m.now.look
	factor := func(a string, to *float64) {
		if v, relative, ok := value(a); ok && v > 0.01 && v < 100 {
			if relative && *to > 0 {
				v *= *to
			}
			*to = v
		}
	}
	switch c := s[i+1]; c {
	case 'P', 'X':
		m.end(false)
	case 'N':
		m.end(true)
	case '~':
		m.put("\u00a0")
	case '\\', '{', '}':
		m.put(string(c))
	case 'L', 'l':
		look.Under = c == 'L'
	case 'O', 'o':
		look.Over = c == 'O'
	case 'K', 'k':
		look.Through = c == 'K'
	case 'H':
		a, n := arg()
		if v, relative, ok := value(a); ok && v > 0 {
			if relative {
				v *= look.Height
			} else if m.nominal > 0 {
				v /= m.nominal
			}
			if v > 0.01 && v < 100 {
				look.Height = v
			}
		}
		return n
	case 'W':
		a, n := arg()
		factor(a, &look.Width)
		return n
	case 'T':
		a, n := arg()
		factor(a, &look.Tracking)
		return n
	case 'Q':
		a, n := arg()
		if v, _, ok := value(a); ok && math.Abs(v) <= mostSlant {
			look.Slant = v * deg
		}
		return n
	case 'A':
		a, n := arg()
		look.Rise = writing.OnBaseline
		switch strings.TrimSpace(a) {
		case "1":
			look.Rise = writing.Centred
		case "2":
			look.Rise = writing.AtTop
		}
		return n
	case 'C', 'c':
		a, n := arg()
		if v, err := strconv.Atoi(strings.TrimSpace(a)); err == nil && v >= 0 {
			switch {
			case c == 'c': // red in the low byte
				m.now.colour = TrueColour | uint32(v&0xff)<<16 | uint32(v&0xff00) | uint32(v>>16&0xff)
			case v == 0 || v > 255: // the entity's, or its layer's
				m.now.colour = 0
			default:
				m.now.colour = uint32(v)
			}
		}
		return n
	case 'f', 'F':
		a, n := arg()
		m.font(a)
		return n
	case 'p':
		a, n := arg()
		m.paragraph(a)
		return n
	case 'S':
		end := stackEnd(s, i+2)
		if end < 0 {
			return i + 2
		}
		m.stack(s[i+2 : end])
		return end + 1
	default:
		m.put(`\`)
		return i + 1
	}
	return i + 2
}

// mostSlant bounds a slant, in degrees (the format's own bound of 85).
const mostSlant = 85

// font reads what \f and \F name: "Plate|b1|i0|c0|p34", or a font file.
func (m *marks) font(a string) {
	words := strings.Split(a, "|")
	f := &m.now.look.Font
	name := strings.TrimSpace(words[0])
	f.Family, f.File, f.Bold, f.Italic = name, "", false, false
	switch strings.ToLower(name[max(0, strings.LastIndexByte(name, '.')):]) {
	case ".shx", ".ttf", ".otf", ".ttc":
		f.Family, f.File = "", name
	}
	for _, w := range words[1:] {
		switch strings.ToLower(strings.TrimSpace(w)) {
		case "b1":
			f.Bold = true
		case "i1":
			f.Italic = true
		}
	}
}

// paragraph reads \p: "xi-3,l4,qc,t4,c8,r12", lengths in heights; * restores what is usual.
func (m *marks) paragraph(a string) {
	p := &m.now.para
	number := func(w string) float64 {
		v, err := strconv.ParseFloat(strings.TrimSpace(w), 64)
		if err != nil || !(math.Abs(v) < 1e4) {
			return 0
		}
		return v
	}
	tabs := false
	for _, w := range strings.Split(a, ",") {
		w = strings.TrimPrefix(strings.TrimSpace(w), "x")
		if w == "" {
			continue
		}
		switch c, rest := w[0], w[1:]; {
		case tabs && (c == 'c' || c == 'r') && rest != "":
			p.Tabs = append(p.Tabs, writing.Tab{At: number(rest), Align: map[byte]writing.Align{'c': writing.AtCentre, 'r': writing.AtRight}[c]})
		case tabs && (c >= '0' && c <= '9' || c == '.'):
			p.Tabs = append(p.Tabs, writing.Tab{At: number(w), Align: writing.AtLeft})
		case c == 't' || c == 'z': // a new list of tabs
			tabs, p.Tabs = true, nil
			if c == 't' && rest != "" && rest != "*" {
				rest = strings.TrimPrefix(rest, "z")
				align := writing.AtLeft
				if strings.HasPrefix(rest, "c") {
					align, rest = writing.AtCentre, rest[1:]
				} else if strings.HasPrefix(rest, "r") {
					align, rest = writing.AtRight, rest[1:]
				}
				p.Tabs = append(p.Tabs, writing.Tab{At: number(rest), Align: align})
			}
		case c == 'i':
			p.First = number(rest)
		case c == 'l':
			p.Left = number(rest)
		case c == 'r':
			p.Right = number(rest)
		case c == 'q':
			p.Align = writing.ByAnchor
			switch strings.ToLower(rest) {
			case "l":
				p.Align = writing.AtLeft
			case "c":
				p.Align = writing.AtCentre
			case "r":
				p.Align = writing.AtRight
			case "j":
				p.Align = writing.Justified
			case "d":
				p.Align = writing.Distributed
			}
		}
	}
	if q := &m.paras[len(m.paras)-1]; len(q.Runs) == 0 {
		m.indent(q)
	}
}

// stackEnd returns where a stack's text ends: at a semicolon that no backslash precedes; -1: nowhere.
func stackEnd(s string, from int) int {
	for n := from; n < len(s); n++ {
		switch s[n] {
		case '\\':
			n++
		case ';':
			return n
		}
	}
	return -1
}

// stack reads what \S holds: the first ^, # or / that no backslash precedes divides.
func (m *marks) stack(a string) {
	var halves [2]strings.Builder
	half := 0
	bar := writing.NoBar
	for n := 0; n < len(a); n++ {
		c := a[n]
		switch {
		case c == '\\' && n+1 < len(a):
			n++
			halves[half].WriteByte(a[n])
		case half == 0 && (c == '^' || c == '#' || c == '/'):
			half = 1
			bar = map[byte]writing.Bar{'^': writing.NoBar, '#': writing.Diagonal, '/': writing.Level}[c]
		default:
			halves[half].WriteByte(c)
		}
	}
	above, below := strings.TrimSpace(halves[0].String()), strings.TrimSpace(halves[1].String())
	if half == 0 {
		m.put(above)
		return
	}
	plain := above + below
	if above != "" && below != "" {
		plain = above + "/" + below
	}
	m.say(plain, plain)
	run := m.now.look
	run.Stack = &writing.Stack{Above: above, Below: below, Bar: bar}
	p := &m.paras[len(m.paras)-1]
	p.Runs = append(p.Runs, run)
}

// block returns what was read, lengths in heights of its first character.
func (m *marks) block() writing.Block {
	b := writing.Block{Paragraphs: m.paras}
	for i := range b.Paragraphs {
		p := &b.Paragraphs[i]
		p.First, p.Left, p.Right = p.First/m.tall, p.Left/m.tall, p.Right/m.tall
		tabs := p.Tabs
		p.Tabs = nil
		for _, t := range tabs {
			t.At /= m.tall
			p.Tabs = append(p.Tabs, t)
		}
		for j := range p.Runs {
			if p.Runs[j].Height /= m.tall; p.Runs[j].Height == 1 {
				p.Runs[j].Height = 0
			}
		}
	}
	return b
}

// plainly reports whether a block says nothing that its text alone does not: then it is the font of all of it.
func plainly(b writing.Block) (writing.Font, bool) {
	var font writing.Font
	for i, p := range b.Paragraphs {
		if p.First != 0 || p.Left != 0 || p.Right != 0 || p.Align != writing.ByAnchor || p.NewColumn || len(p.Runs) > 1 {
			return font, false
		}
		for _, r := range p.Runs {
			if i == 0 {
				font = r.Font
			}
			if r.Text = ""; r != (writing.Run{Font: font}) {
				return font, false
			}
		}
	}
	return font, b.Width == 0 && b.Spacing == 0 && !b.Exact && b.Columns.Count < 2
}

package dxf

import (
	"math"
	"strings"

	"lampblack/panel/writing"
)

// StandardStyle is the style of texts that name none (DXF Reference, TEXT group 7).
const StandardStyle = "STANDARD"

// style is an entry of the table of text styles.
type style struct {
	font     writing.Font
	height   float64 // of texts that tell none; 0: free
	width    float64
	slant    float64 // radians
	vertical bool
}

// style reads a STYLE: 2 name, 3 font file, 40 fixed height, 41 width factor, 50 slant, 70 with 4 of a vertical one; the family, and in
// 1071 whether it is bold (25th bit) and italic (24th), in extended data (DXF Reference, STYLE; references.md section 19).
func (p *parser) style() {
	s := style{width: 1}
	shapes := false
	for _, g := range p.collect() {
		switch g.code {
		case 2:
			s.font.Style = p.styleName(g.text)
		case 3: // programs write "txt", without an ending, where nobody chose
			if file := p.dec.text(clip(trim(g.text), 256)); strings.Contains(file, ".") {
				s.font.File = file
			}
		case 40:
			s.height, _ = g.real()
		case 41:
			if v, ok := g.real(); ok && v > 0.01 && v < 100 {
				s.width = v
			}
		case 50:
			if v, ok := g.real(); ok && math.Abs(v) <= mostSlant {
				s.slant = v * deg
			}
		case 70:
			s.vertical, shapes = g.int()&4 != 0, g.int()&1 != 0
		case 1000:
			if s.font.Family == "" {
				s.font.Family = p.dec.text(clip(trim(g.text), 256))
			}
		case 1071:
			s.font.Bold, s.font.Italic = g.int()&(1<<25) != 0, g.int()&(1<<24) != 0
		}
	}
	key := strings.ToLower(s.font.Style)
	if _, twice := p.styles[key]; !twice && !shapes {
		p.styles[key] = s
	}
}

// styleOf returns a text's style; of one that the table lacks, what is usual.
func (p *parser) styleOf(name string) style {
	if s, ok := p.styles[strings.ToLower(name)]; ok {
		return s
	}
	return style{font: writing.Font{Style: name}, width: 1}
}

// styleName returns the name of a text's style, decoded; empty for the one that texts have which name none.
func (p *parser) styleName(raw string) string {
	if name := p.layerName(raw); !strings.EqualFold(name, StandardStyle) {
		return name
	}
	return ""
}

// switches reads the codes of a TEXT: it returns the characters, and where some of them have lines (%%u, %%o, %%k), runs.
func switches(s string) (text string, runs []writing.Run) {
	text = singleLine(s)
	if !strings.Contains(s, "%%") {
		return text, nil
	}
	var look writing.Run
	lined := false
	from := 0
	cut := func(to int) {
		if t := strings.ReplaceAll(carets(percents(s[from:to])), "\r", ""); t != "" {
			run := look
			run.Text = t
			runs = append(runs, run)
		}
	}
	for i := 0; i+2 < len(s); {
		if s[i] != '%' || s[i+1] != '%' {
			i++
			continue
		}
		var on *bool
		switch s[i+2] {
		case 'u', 'U':
			on = &look.Under
		case 'o', 'O':
			on = &look.Over
		case 'k', 'K':
			on = &look.Through
		default:
			i += 3
			continue
		}
		cut(i)
		*on, lined = !*on, true
		i += 3
		from = i
	}
	if !lined {
		return text, nil
	}
	cut(len(s))
	if n := len(runs); n > 0 {
		runs[n-1].Text = strings.TrimRight(runs[n-1].Text, " \t\n")
	}
	return text, runs
}

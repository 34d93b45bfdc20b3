package dxf

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/yofu/dxf/format"
	"github.com/yofu/dxf/table"

	"lampblack/panel/writing"
)

// fonts are what the styles of a drawing that is written ask for, by the name of the style.
type fonts struct {
	names []string // in the order that they come
	of    map[string]writing.Font
}

// fontsOf returns the styles of all texts. A style is what its single lines say, which have no codes of their own, or else its first
// text.
func fontsOf(d Drawing) fonts {
	f := fonts{of: map[string]writing.Font{}}
	texts := func(single bool) {
		all := [][]Entity{d.Entities}
		for _, b := range d.Blocks {
			all = append(all, b.Entities)
		}
		for _, es := range all {
			for i := range es {
				t := es[i].Text
				if t == nil || single != (t.V == Baseline || t.Span > 0) {
					continue
				}
				a := t.Font
				if t.Block != nil {
					for _, p := range t.Block.Paragraphs {
						if len(p.Runs) > 0 {
							a = p.Runs[0].Font
							break
						}
					}
				}
				if _, known := f.of[a.Style]; !known {
					f.names, f.of[a.Style] = append(f.names, a.Style), a
				}
			}
		}
	}
	texts(true)
	texts(false)
	slices.Sort(f.names)
	return f
}

// textStyle is the library's, and the extended data that it lacks.
type textStyle struct {
	*table.Style
	font writing.Font
	more bool // extended data may be written
}

// Format writes the record (DXF Reference, STYLE; 1000 family, 1071 with bits 25 bold and 24 italic, of the application ACAD).
func (s *textStyle) Format(f format.Formatter) {
	s.Style.Format(f)
	if !s.more || s.font.Family == "" && !s.font.Bold && !s.font.Italic {
		return
	}
	flags := 0
	if s.font.Bold {
		flags |= 1 << 25
	}
	if s.font.Italic {
		flags |= 1 << 24
	}
	f.WriteString(1001, "ACAD")
	f.WriteString(1000, s.font.Family)
	f.WriteInt(1071, flags)
}

// switched returns a block's characters with the codes of a TEXT for lines under, over and through them; not ok for one that says more.
func switched(b writing.Block, escape func(string) string) (s string, ok bool) {
	if len(b.Paragraphs) != 1 || b.Width != 0 || b.Spacing != 0 || b.Exact || b.Columns.Count > 1 {
		return "", false
	}
	p := b.Paragraphs[0]
	if p.First != 0 || p.Left != 0 || p.Right != 0 || p.Align != writing.ByAnchor || p.NewColumn || len(p.Runs) == 0 {
		return "", false
	}
	var now writing.Run
	for _, r := range p.Runs {
		if r.Stack != nil || (writing.Run{Text: r.Text, Font: p.Runs[0].Font, Under: r.Under, Over: r.Over, Through: r.Through}) != r {
			return "", false
		}
		for _, c := range []struct {
			was, is bool
			code    string
		}{{now.Under, r.Under, "%%u"}, {now.Over, r.Over, "%%o"}, {now.Through, r.Through, "%%k"}} {
			if c.was != c.is {
				s += c.code
			}
		}
		s += escape(r.Text)
		now = r
	}
	return s, true
}

// blockOf returns the structure of a text; one that has none is a paragraph a line.
func (t Text) blockOf() writing.Block {
	if t.Block != nil {
		return *t.Block
	}
	var b writing.Block
	for _, line := range strings.Split(t.Text, "\n") {
		b.Paragraphs = append(b.Paragraphs, writing.Paragraph{Runs: []writing.Run{{Text: line, Font: t.Font}}})
	}
	return b
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// inline returns the text of an MTEXT with its codes (references are those of marks, which reads it). What a text as a whole has and
// an MTEXT cannot is each letter's: its width and its slant.
func (t Text) inline(base writing.Font) string {
	wide := t.Width
	if !(wide > 0) {
		wide = 1
	}
	var s strings.Builder
	var before writing.Paragraph
	all := t.blockOf().Paragraphs
	for i, p := range all {
		last := i == len(all)-1
		s.WriteString(paragraphCodes(before, p, wide))
		before = p
		blank := !slices.ContainsFunc(p.Runs, func(r writing.Run) bool { return r.Text != "" || r.Stack != nil })
		next := ""
		if !last {
			if next = `\P`; all[i+1].NewColumn {
				next = `\N`
			}
		}
		if blank && len(p.Runs) > 0 { // an empty line is as high as its letters would be
			s.WriteString(grouped(runCodes(p.Runs[0], base, wide, t.Slant), next))
			continue
		}
		for _, r := range p.Runs {
			says := mtextWords(r.Text)
			if r.Stack != nil {
				says = `\S` + stackWords(r.Stack.Above) + [...]string{writing.NoBar: "^ ", writing.Level: "/", writing.Diagonal: "#"}[r.Stack.Bar] + stackWords(r.Stack.Below) + ";"
			}
			s.WriteString(grouped(runCodes(r, base, wide, t.Slant), says))
		}
		s.WriteString(next)
	}
	return s.String()
}

// grouped puts codes before what they are for, and nothing behind.
func grouped(codes, s string) string {
	if codes == "" {
		return s
	}
	return "{" + codes + s + "}"
}

// mtextWords escapes characters of an MTEXT. Some readers obey %% codes here too: an empty group tells the signs apart. Twice, for
// three in a row.
func mtextWords(s string) string {
	s = strings.NewReplacer(`\`, `\\`, "{", `\{`, "}", `\}`, "^", "^ ", "\t", "^I", "\u00a0", `\~`).Replace(s)
	return strings.ReplaceAll(strings.ReplaceAll(s, "%%", "%{}%"), "%%", "%{}%")
}

func stackWords(s string) string {
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, "^", `\^`, "#", `\#`, "/", `\/`).Replace(s)
}

// runCodes returns what makes letters look as the run says, from the style's own look on.
func runCodes(r writing.Run, base writing.Font, wide, slant float64) string {
	s := ""
	if f := r.Font; f != base {
		name := f.Family
		if name == "" {
			name = f.File
		}
		bit := map[bool]string{true: "1", false: "0"}
		s += `\f` + name + "|b" + bit[f.Bold] + "|i" + bit[f.Italic] + ";"
	}
	if r.Height != 0 && r.Height != 1 {
		s += `\H` + number(r.Height) + "x;"
	}
	width := r.Width
	if width == 0 {
		width = 1
	}
	if width *= wide; width != 1 {
		s += `\W` + number(width) + ";"
	}
	if r.Tracking != 0 && r.Tracking != 1 {
		s += `\T` + number(r.Tracking) + ";"
	}
	if lean := math.Atan(math.Tan(r.Slant)*wide + math.Tan(slant)); math.Abs(lean) > 1e-12 {
		s += `\Q` + number(rounded(lean/deg, anglePlaces)) + ";"
	}
	if r.Rise != writing.OnBaseline {
		s += `\A` + strconv.Itoa(int(r.Rise)) + ";"
	}
	for _, c := range []struct {
		on   bool
		code string
	}{{r.Under, `\L`}, {r.Over, `\O`}, {r.Through, `\K`}} {
		if c.on {
			s += c.code
		}
	}
	return s
}

// paragraphCodes returns what changes from one paragraph to the next; tabs stand last, lest an r among them be an indent.
func paragraphCodes(before, p writing.Paragraph, wide float64) string {
	if before.First == p.First && before.Left == p.Left && before.Right == p.Right && before.Align == p.Align && slices.Equal(before.Tabs, p.Tabs) {
		return ""
	}
	s := `\pxi` + number(p.First*wide) + ",l" + number(p.Left*wide) + ",r" + number(p.Right*wide) +
		",q" + [...]string{writing.ByAnchor: "*", writing.AtLeft: "l", writing.AtCentre: "c", writing.AtRight: "r", writing.Justified: "j", writing.Distributed: "d"}[p.Align] + ",t"
	for i, t := range p.Tabs {
		if i > 0 {
			s += ","
		}
		s += map[writing.Align]string{writing.AtCentre: "c", writing.AtRight: "r"}[t.Align] + number(t.At*wide)
	}
	return s + ";"
}

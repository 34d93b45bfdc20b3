package flow

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
	"lampblack/panel/lettering"
	"lampblack/panel/writing"
)

// mostFonts bounds the font files of a folder that are looked into.
const mostFonts = 100

// listFonts returns the names of the font files in a folder, in order.
func listFonts(dir string) []string {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil
	}
	var out []string
	for _, e := range entries {
		if !e.IsDir() && project.FontFile(e.Name()) && len(out) < mostFonts {
			out = append(out, e.Name())
		}
	}
	return out
}

// fontsIn returns the names of the font files in a folder.
func (set Settings) fontsIn(dir string) []string {
	switch {
	case set.Fonts != nil:
		return set.Fonts(dir)
	case set.Read == nil:
		return listFonts(dir)
	}
	return nil
}

// beside finds the font file beside the project, or beside the first drawing where there is none, that is asked for: one of that name,
// or of that family, in the cut that is asked for where there is that. A file of the name that is damaged is told.
func (s *session) beside(a writing.Font, l *diag.List) (memo.Kept[fontOut], bool) {
	var none memo.Kept[fontOut]
	if len(s.project.Panels) == 0 || lettering.StrokeFont(a.File) {
		return none, false
	}
	dir := s.root(s.project.Path(0))
	if !s.listed {
		s.listed, s.near = true, s.set.fontsIn(dir)
	}
	for _, name := range s.near {
		if a.File != "" && strings.EqualFold(name, filepath.Base(strings.ReplaceAll(a.File, `\`, "/"))) || lettering.SameName(name, a.File) {
			kept, wrong := s.font(filepath.Join(dir, name), name)
			if wrong == nil {
				return kept, true
			}
			if !slices.ContainsFunc(*l, func(f diag.Finding) bool { return f.Text == wrong.Text }) {
				*l = append(*l, *wrong.In(filepath.Join(dir, name), 0).SparesBoards())
			}
			return none, false
		}
	}
	best, found := none, -1
	for _, name := range s.near {
		data, err := s.set.load(filepath.Join(dir, name))
		if err != nil || len(data) > lettering.MaxFontBytes {
			continue // nobody asked for it by its name
		}
		kept, wrong := s.font(filepath.Join(dir, name), name)
		if wrong != nil {
			continue
		}
		v := kept.Value
		of := false
		for _, asked := range []string{a.Family, a.File, a.Style} {
			of = of || lettering.SameName(v.Family, asked) || lettering.SameName(name, asked)
		}
		if !of {
			continue
		}
		fits := 0
		if v.Bold == a.Bold {
			fits += 2
		}
		if v.Italic == a.Italic {
			fits++
		}
		if fits > found {
			best, found = kept, fits
		}
	}
	return best, found >= 0
}

// asks says what a style asks for; empty: nothing.
func asks(a writing.Font) string {
	switch {
	case a.File != "" && a.Family != "" && !lettering.SameName(a.File, a.Family):
		return a.Family + " (" + a.File + ")"
	case a.File != "":
		return a.File
	}
	return a.Family
}

// dress finds the face for what is asked, where the project names none.
func (s *session) dress(a writing.Font, l *diag.List) (dressed, bool) {
	d := dressed{Asked: a}
	if kept, ok := s.beside(a, l); ok {
		d.File = kept
		return d, true
	}
	if asks(a) == "" {
		return d, false
	}
	var same bool
	d.Face, same = lettering.Instead(a)
	d.Instead = !same
	return d, true
}

// tellFaces tells each style whose font is replaced: by what, how much wider that is, and what its words meet then.
func (s *session) tellFaces(out *Outcome) {
	var keys []string
	groups := map[string]*standin{}
	for _, d := range s.lettered.Asked {
		if !d.Instead {
			continue
		}
		a := d.Asked
		key := styleKey(a.Style) + "\x00" + strings.ToLower(asks(a))
		if groups[key] == nil {
			groups[key] = &standin{asked: a, face: d.Face}
			keys = append(keys, key)
		}
		groups[key].fonts = append(groups[key].fonts, a)
	}
	var panels []panel.Panel
	for i := range out.Built {
		panels = append(panels, out.Built[i].Panel)
	}
	bold := slices.DeleteFunc(asked(panels), func(a writing.Font) bool { return !a.Bold })
	if len(keys)+len(bold) == 0 {
		return
	}
	faces := s.lettered.faces(s.project.Stroke)
	for _, p := range panels {
		if len(keys) == 0 {
			break
		}
		e, _, ok := s.engraved(p)
		if !ok || e.areas() == nil {
			continue
		}
		for _, k := range keys {
			groups[k].count(p, e.areas(), faces)
		}
	}
	var l diag.List
	for _, k := range keys {
		if g := groups[k]; g.texts > 0 {
			g.tell(&l)
		}
	}
	for i, a := range bold {
		if !faces.Bold(a) && !slices.ContainsFunc(bold[:i], func(b writing.Font) bool { return styleKey(a.Style) == styleKey(b.Style) && faces.Of(a) == faces.Of(b) }) {
			tellBold(&l, a, faces.Of(a).Name(), panels)
		}
	}
	out.Findings = append(out.Findings, s.shifted(l, panels)...)
}

// tellBold tells a style whose letters are asked to be bold, in a face that has no bold cut.
func tellBold(l *diag.List, a writing.Font, face string, panels []panel.Panel) {
	name := a.Style
	if name == "" {
		name = dxf.StandardStyle
	}
	g := standin{fonts: []writing.Font{a}}
	var first *panel.Text
	in := ""
	for i := range panels {
		for k := range panels[i].Lettering {
			if t := &panels[i].Lettering[k]; g.has(*t) {
				if g.texts++; first == nil {
					first, in = t, panels[i].Name
				}
			}
		}
	}
	if first == nil {
		return
	}
	texts := "texts are"
	if g.texts == 1 {
		texts = "text is"
	}
	l.Add(diag.Note, "font-no-bold", "the style %s asks for bold letters, and %s has no bold cut: %d %s as heavy as it is", name, face, g.texts, texts).
		Of(in).At(first.At.X.MM(), first.At.Y.MM()).Fix("name the font's bold file: fonts: {%s: FILE.ttf}, or leave it: light letters on a dark ground look heavier than they are", project.Plain(name))
}

// standin is a style whose font is not to be had.
type standin struct {
	asked       writing.Font
	face        string
	fonts       []writing.Font // all that comes to this one, bold or not
	texts       int
	first       geom.Pt
	panel       string
	drawn, want float64 // lengths of texts, where both are known
	meets       []string
}

// has reports whether a text asks for it, or some of its letters do.
func (g *standin) has(t panel.Text) bool {
	if t.Block == nil {
		return slices.Contains(g.fonts, t.Font)
	}
	for _, p := range t.Block.Paragraphs {
		for _, r := range p.Runs {
			if strings.TrimSpace(r.Text) != "" && slices.Contains(g.fonts, r.Font) {
				return true
			}
		}
	}
	return false
}

// count adds a panel's texts.
func (g *standin) count(p panel.Panel, e *lettering.Engraving, faces *lettering.Faces) {
	var edge geom.Region
	for i, t := range p.Lettering {
		if !g.has(t) || len(e.Texts[i]) == 0 {
			continue
		}
		if g.texts++; g.texts == 1 {
			g.first, g.panel = t.At, p.Name
		}
		if want, ok := lettering.WidthAsked(t); ok {
			g.want += float64(want)
			g.drawn += float64(faces.Advance(t))
		}
		area, box := e.Texts[i], e.Texts[i].Box()
		says := strconv.Quote(strings.ReplaceAll(t.Text, "\n", " "))
		if edge == nil {
			edge = geom.NewRegion(p.Outline.Ring(geom.FlattenTolerance))
		}
		over := func(c geom.Contour) bool {
			r := c.Ring(geom.FlattenTolerance)
			return r.Box().Touches(box) && area.And(geom.NewRegion(r)).Area() > 0
		}
		if area.And(edge).Area() < 0.999*area.Area() {
			g.meets = append(g.meets, says+" and the panel's edge")
		}
		if slices.ContainsFunc(p.Openings, func(o panel.Opening) bool { return over(o.Contour) }) {
			g.meets = append(g.meets, says+" and an opening")
		}
		if slices.ContainsFunc(p.Mounts, func(h panel.Hole) bool { return over(geom.Circle(h.At, h.D)) }) {
			g.meets = append(g.meets, says+" and a screw")
		}
		for j, other := range e.Texts {
			// Of two that are both replaced, the first tells.
			if j == i || len(other) == 0 || j < i && g.has(p.Lettering[j]) || !other.Box().Touches(box) {
				continue
			}
			if area.And(other).Area() > 0 {
				g.meets = append(g.meets, says+" and the word "+strconv.Quote(strings.ReplaceAll(p.Lettering[j].Text, "\n", " ")))
			}
		}
	}
}

// mostMeets bounds how many words are named that meet something.
const mostMeets = 5

func (g *standin) tell(l *diag.List) {
	name := g.asked.Style
	if name == "" {
		name = dxf.StandardStyle
	}
	width := "how much wider or narrower that is, is not known"
	if g.want > 0 {
		switch off := math.Round((g.drawn/g.want - 1) * 100); {
		case off > 0:
			width = fmt.Sprintf("%.0f %% wider", off)
		case off < 0:
			width = fmt.Sprintf("%.0f %% narrower", -off)
		default:
			width = "which is as wide"
		}
	}
	texts := fmt.Sprintf("%d texts are", g.texts)
	if g.texts == 1 {
		texts = "1 text is"
	}
	why := "which is not beside the project"
	if lettering.StrokeFont(g.asked.File) {
		why = "stroke letters that only CAD has"
	}
	words := fmt.Sprintf("the style %s asks for %s, %s: %s set in %s, %s", name, asks(g.asked), why, texts, g.face, width)
	sev := diag.Note
	if n := len(g.meets); n > 0 {
		sev = diag.Warning
		shown := strings.Join(g.meets[:min(n, mostMeets)], ", ")
		if n > mostMeets {
			shown += fmt.Sprintf(" and %d more", n-mostMeets)
		}
		words += "; then these meet: " + shown
	}
	f := l.Add(sev, "font-replaced", "%s", words)
	face := g.face
	advice := fmt.Sprintf("put the font beside the project, or say which face is meant: fonts: {%s: %s}", project.Plain(name), g.face)
	if lettering.StrokeFont(g.asked.File) {
		face = "plain"
		advice = fmt.Sprintf("nothing, if lines are meant; else say which face is: fonts: {%s: plain}", project.Plain(name))
	}
	f.Of(g.panel).At(g.first.X.MM(), g.first.Y.MM()).Fix("%s", advice).By(name+" is "+face, diag.Set, "fonts."+strconv.Quote(name), face)
}

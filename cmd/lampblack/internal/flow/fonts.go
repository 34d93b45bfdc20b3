package flow

import (
	"cmp"
	"context"
	"slices"
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

// fontIn is a font file, and its name as people know it.
type fontIn struct {
	Name string
	Data []byte
}

// fontOut is a font file that is good, or what is wrong with it.
type fontOut struct {
	Name         string
	Family       string
	Bold, Italic bool
	Data         []byte
	Wrong        string // empty: it is good
}

// fonting tries a font file: that it is read here, guarded, says that the lettering can be set in it.
var fonting = stage[fontIn, fontOut]{"font", func(_ context.Context, in fontIn) fontOut {
	f, err := lettering.Parse(in.Name, in.Data)
	if err != nil {
		return fontOut{Name: in.Name, Wrong: err.Error()}
	}
	out := fontOut{Name: in.Name, Family: f.Family(), Data: in.Data}
	out.Bold, out.Italic = f.Cut()
	return out
}}

// dressed is the face that what is asked for gets: one of the program's, or a file.
type dressed struct {
	Asked   writing.Font
	Face    string // one of lettering.Names; empty: File
	File    memo.Kept[fontOut]
	Instead bool // what is asked for is not to be had
}

// facesIn is all faces of a console's lettering.
type facesIn struct {
	Usual dressed
	Asked []dressed
}

// faces returns them, read.
func (in facesIn) faces(stroke geom.Nm) *lettering.Faces {
	out := &lettering.Faces{Stroke: stroke, Asked: map[writing.Font]*lettering.Face{}}
	files := map[string]*lettering.Face{}
	face := func(d dressed) *lettering.Face {
		if d.Face != "" {
			return lettering.Named(d.Face)
		}
		v := d.File.Value
		if v.Data == nil {
			return nil
		}
		if files[v.Name] == nil {
			files[v.Name], _ = lettering.Parse(v.Name, v.Data) // it was read before
		}
		return files[v.Name]
	}
	out.Usual = face(in.Usual)
	for _, d := range in.Asked {
		if f := face(d); f != nil {
			out.Asked[d.Asked] = f
		}
	}
	return out
}

// fonts finds the faces for the lettering of all panels.
func (s *session) fonts(panels []panel.Panel, l *diag.List) {
	s.files, s.lettered = map[string]memo.Kept[fontOut]{}, facesIn{}
	p := s.project
	if p.Font != "" {
		s.lettered.Usual, _ = s.named("font", p.Font, l)
	}
	byStyle := map[string]dressed{}
	for _, q := range p.Fonts {
		if d, ok := s.named("fonts."+q.Style, q.Font, l); ok {
			byStyle[styleKey(q.Style)] = d
		}
	}
	for _, a := range asked(panels) {
		if d, ok := byStyle[styleKey(a.Style)]; ok {
			d.Asked = a
			s.lettered.Asked = append(s.lettered.Asked, d)
		} else if p.Font == "" {
			if d, ok := s.dress(a, l); ok {
				s.lettered.Asked = append(s.lettered.Asked, d)
			}
		}
	}
}

// Faces returns the faces that a project's texts get. What is wrong with font files is told by builds.
func Faces(ctx context.Context, p project.Project, panels []panel.Panel) *lettering.Faces {
	s := &session{ctx: ctx, engine: NewEngine(UsualBound()), project: p}
	var faces *lettering.Faces
	guard(func() {
		var told diag.List
		s.fonts(panels, &told)
		faces = s.lettered.faces(p.Stroke)
	})
	return faces
}

// styleKey is a style's name whatever its case; the standard one has none.
func styleKey(name string) string {
	if name = strings.ToUpper(name); name == dxf.StandardStyle {
		return ""
	}
	return name
}

// asked lists what the texts of panels ask for, each once, in a total order.
func asked(panels []panel.Panel) []writing.Font {
	var out []writing.Font
	for _, q := range panels {
		for _, t := range slices.Concat(q.Lettering, q.Print[geom.Top].Texts, q.Print[geom.Bottom].Texts) {
			if t.Block == nil {
				out = append(out, t.Font)
				continue
			}
			for _, g := range t.Block.Paragraphs {
				for _, r := range g.Runs {
					out = append(out, r.Font)
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b writing.Font) int {
		return cmp.Or(cmp.Compare(a.Style, b.Style), cmp.Compare(a.File, b.File), cmp.Compare(a.Family, b.Family), compareBools(a.Bold, b.Bold), compareBools(a.Italic, b.Italic))
	})
	return slices.Compact(out)
}

func compareBools(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// named returns the face that a key of the project names; false where its file is of no use, which is told.
func (s *session) named(key, name string, l *diag.List) (dressed, bool) {
	if !project.FontFile(name) {
		return dressed{Face: name}, true
	}
	file := s.project.FontPath(name)
	kept, wrong := s.font(file, told(name))
	if wrong == nil {
		return dressed{File: kept}, true
	}
	wrong.About(key)
	wrong.Spares = true
	*l = append(*l, *wrong)
	return dressed{}, false
}

// font reads a font file once; what is wrong with it is an error.
func (s *session) font(file, name string) (memo.Kept[fontOut], *diag.Finding) {
	var l diag.List
	kept, ok := s.files[file]
	if !ok {
		data, err := s.set.load(file)
		if err != nil {
			return kept, l.Add(diag.Error, fileCode(err), "%s", fileText(err, name)).
				Fix("check the name and where the file lies: fonts are looked for beside the project file, never on the machine")
		}
		var fault *diag.Finding
		if kept, fault, ok = fonting.run(s, "", fontIn{name, data}); !ok {
			if fault == nil { // stopped
				fault = l.Add(diag.Error, "font-unreadable", "%s was not read", name)
			}
			return kept, fault
		}
		s.files[file] = kept
	}
	if w := kept.Value.Wrong; w != "" {
		return kept, l.Add(diag.Error, "font-unreadable", "the font %s cannot be used: %s", name, w).
			Fix("take a TrueType or OpenType file (.ttf, .otf) of a single font, or one of the program's faces: %s", strings.Join(lettering.Names(), ", "))
	}
	return kept, nil
}

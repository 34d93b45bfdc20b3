package flow

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/read"
	"lampblack/panel/seat"
)

// readIn is a file's bytes, its name as findings tell it, and how it is to be read.
type readIn struct {
	Source  []byte
	File    string
	Options read.Options
}

type readOut struct {
	says
	Panels []panel.Panel
	Broken bool // it is no drawing
}

var reading = stage[readIn, readOut]{"read", func(ctx context.Context, in readIn) readOut {
	panels, l, ok := interpret(ctx, in.Source, in.File, in.Options)
	return readOut{says{l}, panels, !ok}
}}

// read reads and interprets the drawing of entry i.
func (s *session) read(i int) Drawing {
	d := Drawing{Entry: s.project.Panels[i]}
	if d.Entry.Name == "" || d.Entry.Drawing == "" {
		return d
	}
	file := s.project.Path(i)
	src, err := s.set.load(file)
	if err != nil {
		d.Missing = true
		d.Findings = append(d.Findings, s.missing(i, err))
		return d
	}
	read, fault, ok := reading.run(s, d.Entry.Name, readIn{src, file, Options(s.project, d.Entry)})
	if !ok && fault == nil {
		return d // stopped
	}
	l := read.Value.Findings
	if fault != nil {
		l = diag.List{*fault.In(file, 0)}
	}
	d.Broken = read.Value.Broken
	d.Findings, d.Panels = l.WithPanel(d.Entry.Name), slices.Clone(read.Value.Panels)
	s.placed(d.Findings, i, file)
	for i := range d.Panels {
		d.Panels[i].Drawing, d.Panels[i].BodyDepth = told(d.Entry.Drawing), d.Entry.Bodies
	}
	for i := range d.Findings {
		if d.Findings[i].Place.File == "" {
			d.Findings[i].Place.File = file
		}
	}
	if !d.Findings.HasErrors() && len(d.Panels) == 0 {
		d.Findings.Add(diag.Error, "panel-none", "the drawing gives no panel").In(file, 0).Of(d.Entry.Name).
			Fix("%s shows what it holds", diag.Deed{Typed: "'lampblack survey " + file + "'", Clicked: "the view Drawing"})
	}
	d.Panels = s.good(d)
	return d
}

// missing tells that the drawing of entry i could not be loaded.
func (s *session) missing(i int, err error) diag.Finding {
	list := s.set.List
	if s.set.Read == nil {
		list = listDrawings
	}
	e, file := s.project.Panels[i], s.project.Path(i)
	var l diag.List
	f := l.Add(diag.Error, fileCode(err), "%s", fileText(err, e.Drawing)).Of(e.Name).
		About(diag.PanelKey(e.Name, "drawing")).Fix("%s", instead(list, e.Drawing, file, s.root(file)))
	f.Place = s.entryPlace(i, file)
	return *f
}

// root is the folder that drawings are looked for in: the project file's, or without one the drawing's own.
func (s *session) root(file string) string {
	if s.project.File == "" {
		return filepath.Dir(file)
	}
	return filepath.Dir(s.project.File)
}

// good drops panels with an error of their own, and all of them when an error names none.
func (s *session) good(d Drawing) []panel.Panel {
	var out []panel.Panel
	for _, q := range d.Panels {
		bad := false
		for _, f := range d.Findings {
			bad = bad || f.Severity == diag.Error && (f.Panel == q.Name || f.Panel == d.Entry.Name || f.Panel == "")
		}
		if !bad {
			out = append(out, q)
		}
	}
	return out
}

// interpret returns the panels of a drawing; ok is false when the file cannot be read as a drawing at all.
func interpret(ctx context.Context, src []byte, file string, opt read.Options) (panels []panel.Panel, l diag.List, ok bool) {
	d, l := dxf.Read(ctx, src, file)
	if l.HasErrors() || ctx.Err() != nil {
		return nil, l, false
	}
	panels, more := read.Panels(ctx, d, opt)
	return panels, append(l, more...), true
}

// told is the name of a drawing in results and pictures: as the user wrote it, but never a path of this machine's own.
func told(drawing string) string {
	drawing = filepath.ToSlash(drawing)
	if path.IsAbs(drawing) || filepath.IsAbs(filepath.FromSlash(drawing)) {
		return path.Base(drawing)
	}
	return drawing
}

// entryPlace is where a project names a drawing, or the drawing itself without a project.
func (s *session) entryPlace(i int, file string) diag.Place {
	if s.project.File == "" {
		return diag.Place{File: file}
	}
	return s.project.Place("panels." + strconv.Itoa(i) + ".drawing")
}

// Options returns how an entry of a project wants its drawing read.
func Options(p project.Project, e project.Panel) read.Options {
	opt := read.Options{Name: e.Name, Unit: e.Units, Rules: e.Roles, Join: e.Join, At: e.At, Sheets: e.Sheets, Room: e.Room, Places: e.Place != (project.Place{})}
	for _, c := range e.Controls {
		if k, ok := p.ControlKind(c.Kind); ok {
			opt.Sits.Rules = append(opt.Sits.Rules, read.SitRule{Rule: c.Rule, Kind: k, Clamps: c.Clamps, Turned: c.Turned, Shared: c.Shared})
		}
	}
	if len(opt.Sits.Rules) > 0 {
		opt.Sits.Wish = seat.Wish{Stack: sheetsOf(p), From: e.Bodies, Said: e.BodiesSaid}
	}
	if len(e.LEDs) > 0 {
		opt.LEDs = read.LEDKinds{Rules: e.LEDs, Usual: cmp.Or(e.LED, p.Defaults.LED)}
	}
	if len(e.Layers) > 0 {
		opt.Layers = map[panel.Role]string{}
		for _, l := range e.Layers {
			opt.Layers[panel.Role(l.Role)] = l.Name
		}
	}
	return opt
}

// sheetsOf returns the thicknesses of a project's sheets.
func sheetsOf(p project.Project) seat.Stack {
	return seat.Stack{Face: p.Stack.Face, Diffuser: p.Stack.Diffuser, Gap: p.Stack.Gap, LED: p.Stack.Sheet, Plate: p.Plate, Thick: p.Thick}
}

// fileCode and fileText tell a file that cannot be read without a programmer's words.
func fileCode(err error) string {
	if errors.Is(err, fs.ErrNotExist) {
		return "file-missing"
	}
	return "file-unreadable"
}

func fileText(err error, name string) string {
	if errors.Is(err, fs.ErrNotExist) {
		return "there is no file " + name
	}
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return name + " cannot be read: " + pe.Err.Error()
	}
	return "cannot read the drawing: " + err.Error()
}

// drawn returns the index of the entry on whose drawing a panel is.
func (s *session) drawn(q panel.Panel) (int, bool) {
	i := slices.IndexFunc(s.drawings, func(d Drawing) bool {
		return slices.ContainsFunc(d.Panels, func(p panel.Panel) bool { return p.Name == q.Name && p.Drawing == q.Drawing })
	})
	return i, i >= 0
}

// fileOf returns where a panel's drawing lies, as findings for people name it.
func (s *session) fileOf(q panel.Panel) string {
	if i, ok := s.drawn(q); ok {
		return s.project.Path(i)
	}
	return q.Drawing
}

// sameNames tells panels of several drawings that came out with one name, as files of one name would overwrite each other.
func (s *session) sameNames(panels []panel.Panel) diag.List {
	var l diag.List
	for i, a := range panels {
		for _, b := range panels[:i] {
			if strings.EqualFold(a.Name, b.Name) {
				l.Add(diag.Error, "project-same-name", "two panels are named %s, in %s and %s", a.Name, b.Drawing, a.Drawing).
					Of(a.Name).About(diag.PanelKey(a.Name, "name")).In(s.fileOf(a), 0).Fix("give each panel a name of its own in %s", project.FileName)
			}
		}
	}
	return l
}

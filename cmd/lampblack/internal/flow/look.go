package flow

import (
	"context"
	"slices"

	"lampblack/board/shape"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/lettering"
	"lampblack/panel/read"
	"lampblack/panel/work"
)

// Look is what a project's drawings are taken for, without circuit and boards: what a survey tells of each, and the lettering.
type Look struct {
	Drawings []Looked // of the project's panels, in their order
	Findings diag.List
}

// Looked is one drawing.
type Looked struct {
	Surveyed
	Engraved []*lettering.Engraving // of each panel of the report; nil where it could not be made
	Faces    *lettering.Faces       // that all texts get
}

// surveying looks at a drawing.
var surveying = stage[readIn, Surveyed]{"survey", func(ctx context.Context, in readIn) Surveyed {
	return surveyed(ctx, in.Source, in.File, in.Options)
}}

// Look looks at all drawings of a project, whatever is wrong with it. Its error is ctx's.
func (e *Engine) Look(ctx context.Context, p project.Project, set Settings) (Look, error) {
	s := &session{ctx: ctx, engine: e, project: p, set: set}
	out := Look{Drawings: make([]Looked, len(p.Panels))}
	work.Each(ctx, len(p.Panels), func(i int) { out.Drawings[i].Surveyed = s.look(i, read.Answer{}) })
	if err := ctx.Err(); err != nil {
		return Look{}, err
	}
	var all []panel.Panel
	for i := range out.Drawings {
		all = append(all, out.Drawings[i].Report.Panels...)
	}
	var told diag.List // builds tell of fonts
	fault, err := promptly(ctx, func() { s.fonts(all, &told) })
	if err != nil {
		return Look{}, err
	}
	faces := s.lettered.faces(p.Stroke)
	work.Each(ctx, len(out.Drawings), func(i int) {
		d := &out.Drawings[i]
		d.Faces = faces
		for _, q := range d.Report.Panels {
			var areas *lettering.Engraving
			if kept, _, ok := s.engraved(q); ok {
				areas = kept.areas()
			}
			d.Engraved = append(d.Engraved, areas)
		}
	})
	if fault != nil {
		out.Findings = append(out.Findings, *fault)
	}
	out.Findings = append(out.Findings, set.Told...)
	for i := range out.Drawings {
		out.Findings = append(out.Findings, out.Drawings[i].Findings...)
	}
	out.Findings = out.Findings.Sorted().Grouped()
	return out, ctx.Err()
}

// Survey looks at the drawing of one entry of a project; what it proposes says what an answer says. Its error is ctx's.
func (e *Engine) Survey(ctx context.Context, p project.Project, i int, set Settings, answer read.Answer) (Surveyed, error) {
	s := &session{ctx: ctx, engine: e, project: p, set: set}
	out := s.look(i, answer)
	return out, ctx.Err()
}

// look surveys the drawing of entry i.
func (s *session) look(i int, answer read.Answer) Surveyed {
	e := s.project.Panels[i]
	if e.Drawing == "" { // which is told already
		return Surveyed{Unreadable: true}
	}
	file := s.project.Path(i)
	src, err := s.set.load(file)
	if err != nil {
		return Surveyed{Unreadable: true, Findings: diag.List{s.missing(i, err)}}
	}
	opt := Options(s.project, e)
	opt.Answer = answer
	kept, fault, ok := surveying.run(s, e.Name, readIn{src, file, opt})
	if fault != nil {
		return Surveyed{Findings: diag.List{*fault.In(file, 0)}}
	}
	if !ok {
		return Surveyed{} // stopped
	}
	out := kept.Value
	out.Findings = out.Findings.WithPanel(e.Name)
	s.placed(out.Findings, i, file)
	out.Report.Panels = slices.Clone(out.Report.Panels)
	for k := range out.Report.Panels {
		q := &out.Report.Panels[k]
		q.Drawing, q.BodyDepth = told(e.Drawing), e.Bodies
		q.Room = shape.Rooms(*q, s.project.Rules)
	}
	return out
}

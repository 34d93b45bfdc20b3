package read

import (
	"maps"
	"slices"
	"strings"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// findings is what a step tells: of one code at most maxSame in full, the rest counted. Joined in whatever groups, the
// findings of several steps come out as if one had told them all.
type findings struct {
	list diag.List
	n    map[string]int // of each code, with those that are only counted
}

// maxSame bounds the findings of one code in a drawing.
const maxSame = 1000

// add tells something about an entity, or with nil about the whole drawing. What is over the limit goes nowhere. Keys are those of
// the drawing's own entry in the project, "units", and so are those of changes; their whole paths are told by findings.in.
func (f *findings) add(sev diag.Severity, code string, e *dxf.Entity, format string, args ...any) *diag.Finding {
	if !f.count(code, 1) {
		return &diag.Finding{}
	}
	out := f.list.Add(sev, code, format, args...)
	out.Place = about(e)
	return out
}

// guess tells what is taken for something by its shape, place or name; such notes are told together.
func (f *findings) guess(e *dxf.Entity, format string, args ...any) *diag.Finding {
	return f.add(diag.Note, "panel-guess", e, format, args...).About("roles").Together("%d kinds of things are taken for what their shapes and places say")
}

// count counts findings of a code, and reports whether there was room for the first of them.
func (f *findings) count(code string, n int) bool {
	if f.n == nil {
		f.n = map[string]int{}
	}
	f.n[code] += n
	return f.n[code]-n < maxSame
}

// join adds what another step told.
func (f *findings) join(g findings) {
	if len(g.n) == 0 {
		return
	}
	listed := map[string]int{}
	for _, x := range g.list {
		listed[x.Code]++
		if f.count(x.Code, 1) {
			f.list = append(f.list, x)
		}
	}
	for code, n := range g.n {
		f.count(code, n-listed[code])
	}
}

// has reports whether something of the code was told.
func (f findings) has(code string) bool { return f.n[code] > 0 }

// without returns the findings but those of a code.
func (f findings) without(code string) findings {
	out := findings{n: maps.Clone(f.n)}
	delete(out.n, code)
	for _, x := range f.list {
		if x.Code != code {
			out.list = append(out.list, x)
		}
	}
	return out
}

// in returns the list for a drawing's file and its entry in the project; what was only counted
// stands with the last of its code.
func (f findings) in(file, entry string) diag.List {
	out := slices.Clone(f.list)
	for i := range out {
		out[i].Place.File = file
		out[i].Subject.Keys = slices.Clone(out[i].Subject.Keys)
		for k, key := range out[i].Subject.Keys {
			out[i].Subject.Keys[k] = diag.PanelKey(entry, key)
		}
		out[i].Changes = slices.Clone(out[i].Changes)
		for k := range out[i].Changes {
			out[i].Changes[k].At = diag.PanelKey(entry, out[i].Changes[k].At)
		}
		for k := range out[i].Related {
			out[i].Related[k].Place.File = file
		}
	}
	for _, code := range slices.Sorted(maps.Keys(f.n)) {
		if n := f.n[code] - maxSame; n > 0 {
			last := -1 // of the gravest
			for i, x := range out {
				if x.Code == code && (last < 0 || x.Severity >= out[last].Severity) {
					last = i
				}
			}
			out[last].More = n
		}
	}
	return out
}

// to returns where things about a panel are told: nowhere when it is one that was not picked.
func (f *findings) to(panel string) *findings {
	if panel == elsewhere {
		return &findings{}
	}
	return f
}

// about is the place of an entity; the file is named last, by findings.in.
func about(e *dxf.Entity) diag.Place {
	if e == nil {
		return diag.Place{}
	}
	p := diag.Place{Line: e.Line, Layer: e.Layer, Handle: strings.Clone(e.Handle)}
	if at, ok := where(e); ok {
		p.At = &diag.Point{X: at.X, Y: at.Y}
	}
	return p
}

// where returns a point of the entity.
func where(e *dxf.Entity) (dxf.XY, bool) {
	if e.Text != nil {
		return e.Text.At, true
	}
	if len(e.Path.Vertices) == 0 {
		return dxf.XY{}, false
	}
	if c, _, ok := circular(e.Path); ok && e.Path.Closed {
		return c, true
	}
	return e.Path.Vertices[0].XY, true
}

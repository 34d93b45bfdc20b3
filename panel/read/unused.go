package read

import (
	"fmt"
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// heap is what lies on one layer and had no use.
type heap struct {
	first           *dxf.Entity
	within, outside pile // a panel
}

// pile counts things.
type pile struct{ open, closed, texts int }

func (p pile) n() int { return p.open + p.closed + p.texts }

func (p pile) plus(q pile) pile { return pile{p.open + q.open, p.closed + q.closed, p.texts + q.texts} }

// String says what it is; empty: nothing.
func (p pile) String() string {
	var out []string
	for _, k := range []struct {
		n    int
		noun string
	}{{p.open, "open line"}, {p.closed, "closed line"}, {p.texts, "text"}} {
		if k.n > 0 {
			out = append(out, count(k.n, k.noun))
		}
	}
	return strings.Join(out, " and ")
}

// unused tells what had no role: what it is, and whether that matters. In a drawing without our layers, and where rules
// sort, that was told before. Texts are those that are engraved.
func unused(th things, c lines, near []nearly, sheets []sheet, texts []*dxf.Entity, ls layers, opt Options) findings {
	var said findings
	if n := len(th.fills); n > 0 {
		said.add(diag.Note, "panel-fill", th.fills[0], "%s of filled areas %s not used: a filling is no edge to cut along", counted(n, "boundary", "boundaries"), are(n)).
			Fix("to engrave them, put them on layer lettering, or write in the project file: roles: {lettering: fills}")
	}
	if ls.none || len(ls.rules) > 0 {
		return said
	}
	heaps, order := heapsOf(th, c, near, sheets, texts, ls, opt)
	for i, name := range order {
		if i == 20 {
			said.add(diag.Note, "panel-layer-ignored", heaps[name].first, "what lies on %d more layers is not used either", len(order)-i)
			return said
		}
		said.join(heaps[name].told(name, ls.meant(name, th), ls, opt))
	}
	return said
}

// heapsOf heaps up by layers what had no use, and returns the layers in the order in which they come.
func heapsOf(th things, c lines, near []nearly, sheets []sheet, texts []*dxf.Entity, ls layers, opt Options) (map[string]*heap, []string) {
	heaps := map[string]*heap{}
	var order []string
	of := func(e *dxf.Entity) *heap {
		h := heaps[e.Layer]
		if h == nil {
			h = &heap{first: e}
			heaps[e.Layer] = h
			order = append(order, e.Layer)
		}
		return h
	}
	to := func(e *dxf.Entity, in bool) *pile {
		h := of(e)
		if in {
			return &h.within
		}
		return &h.outside
	}
	for i := range c.free.loops {
		l := &c.free.loops[i]
		to(l.from, sheetAt(sheets, l.middle()) >= 0).closed++
	}
	told := fromsOf(near)
	for i := range c.free.open {
		p := &c.free.open[i]
		if told[p.from] {
			continue
		}
		to(p.from, sheetAt(sheets, p.middle()) >= 0).open++
	}
	engraved := map[*dxf.Entity]bool{}
	for _, e := range texts {
		engraved[e] = true
	}
	notes := len(th.byRole[panel.RoleLettering]) == 0 // told as such
	for _, e := range th.writing {
		in := textAt(sheets, e) >= 0
		if engraved[e] || notes && in {
			continue
		}
		to(e, in).texts++
	}
	for _, e := range th.free { // used or not, the project names another layer for what this one is called after
		if role := ls.meant(e.Layer, th); role != "" && opt.Layers[role] != "" {
			of(e)
		}
	}
	return heaps, order
}

// told tells of what lies on a layer, which may be meant for a role.
func (h *heap) told(name string, role panel.Role, ls layers, opt Options) findings {
	var said findings
	all := h.within.plus(h.outside)
	switch {
	case role != "" && opt.Layers[role] != "":
		what := "what lies on layer " + name + " is"
		if all.n() > 0 {
			what = fmt.Sprintf("%s on layer %s %s", all, name, are(all.n()))
		}
		said.add(diag.Note, "panel-layer-ignored", h.first, "%s not used as %s: the project names layer %s for %s", what, role, opt.Layers[role], role).
			About("layers."+string(role)).Fix("if this is the right one, write layers: {%s: %s} in the project file, or leave it out there", role, name)
	case role != "":
		said.add(diag.Warning, "panel-layer-ignored", h.first, "%s on layer %s %s not used; %s meant as %s?", all, name, are(all.n()), isIt(all.n()), role).
			About("layers."+string(role)).Fix("rename the layer to %s, or name it in the project file (layers: {%s: %s})", role, role, name)
	case h.within.n() == 0:
		said.add(diag.Note, "panel-layer-ignored", h.first, "%s on layer %s %s outside every panel: not used, which changes nothing in the panels", all, name, lies(all.n())).
			Fix("nothing, if they are remarks; else draw them within the outline of their panel")
	default:
		beside, why := "", ""
		if h.outside.n() > 0 {
			beside = fmt.Sprintf(", and %s outside every panel not used", h.outside)
		}
		if h.within.open > 0 {
			why = ": what is not closed is no opening, and lettering is drawn on its own layer"
		}
		fix := "if they are to be engraved, write layers: {lettering: " + name + "} in the project file; remarks and dimensions may stay as they are"
		if _, ours := ls.role[lowered(name)]; ours {
			fix = "if they are to be engraved, put them on layer lettering; remarks may stay as they are"
		}
		said.add(diag.Note, "panel-layer-ignored", h.first, "%s on layer %s within the panel %s neither cut nor engraved%s%s", h.within, name, are(h.within.n()), why, beside).
			About("layers").Fix("%s", fix)
	}
	return said
}

func lies(n int) string {
	if n == 1 {
		return "lies"
	}
	return "lie"
}

func isIt(n int) string {
	if n == 1 {
		return "is it"
	}
	return "are they"
}

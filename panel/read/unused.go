package read

import (
	"strings"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// heap is what lies on one layer and had no use.
type heap struct {
	first                         *dxf.Entity
	open, closed, texts           int // within a panel
	outOpen, outClosed, outWrites int // outside every one
}

// within says what of it lies in a panel, outside what does not; empty: nothing.
func (h *heap) within() string  { return kinds(h.open, h.closed, h.texts) }
func (h *heap) outside() string { return kinds(h.outOpen, h.outClosed, h.outWrites) }

// inside and beyond count them.
func (h *heap) inside() int { return h.open + h.closed + h.texts }
func (h *heap) beyond() int { return h.outOpen + h.outClosed + h.outWrites }

func kinds(open, closed, texts int) string {
	var out []string
	for _, k := range []struct {
		n    int
		noun string
	}{{open, "open line"}, {closed, "closed line"}, {texts, "text"}} {
		if k.n > 0 {
			out = append(out, count(k.n, k.noun))
		}
	}
	return strings.Join(out, " and ")
}

// unused tells what had no role: what it is, and whether that matters. In a drawing without our layers, and where rules
// sort, that was told before. Texts are those that are engraved.
func unused(th things, c lines, sheets []sheet, texts []*dxf.Entity, ls layers, opt Options) findings {
	var said findings
	if n := len(th.fills); n > 0 {
		said.add(diag.Note, "panel-fill", th.fills[0], "%s of filled areas %s not used: a filling is no edge to cut along", counted(n, "boundary", "boundaries"), are(n)).
			Fix("to engrave them, put them on layer lettering, or write in the project file: roles: {lettering: fills}")
	}
	if ls.none || len(ls.rules) > 0 {
		return said
	}
	heaps, order := heapsOf(th, c, sheets, texts, ls, opt)
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
func heapsOf(th things, c lines, sheets []sheet, texts []*dxf.Entity, ls layers, opt Options) (map[string]*heap, []string) {
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
	add := func(in bool, within, outside *int) {
		if in {
			*within++
		} else {
			*outside++
		}
	}
	for i := range c.free.loops {
		l := &c.free.loops[i]
		h := of(l.from)
		add(sheetAt(sheets, l.middle()) >= 0, &h.closed, &h.outClosed)
	}
	for i := range c.free.open {
		p := &c.free.open[i]
		h := of(p.from)
		add(sheetAt(sheets, p.path.Edges()[0].Mid()) >= 0, &h.open, &h.outOpen)
	}
	engraved := map[*dxf.Entity]bool{}
	for _, e := range texts {
		engraved[e] = true
	}
	notes := len(th.byRole[panel.RoleLettering]) == 0 // told as such
	for _, e := range th.writing {
		in := false
		for i := range sheets {
			in = in || sheets[i].hasText(e)
		}
		if engraved[e] || notes && in {
			continue
		}
		h := of(e)
		add(in, &h.texts, &h.outWrites)
	}
	for _, e := range th.free { // used or not, the project names another layer for what this one is called after
		if role := ls.meant(e.Layer, th); role != "" && opt.Layers[role] != "" && heaps[e.Layer] == nil {
			of(e)
		}
	}
	return heaps, order
}

// told tells of what lies on a layer, which may be meant for a role.
func (h *heap) told(name string, role panel.Role, ls layers, opt Options) findings {
	var said findings
	if role != "" && opt.Layers[role] != "" {
		what := "what lies on layer " + name + " is"
		if h.inside()+h.beyond() > 0 {
			what = kinds(h.open+h.outOpen, h.closed+h.outClosed, h.texts+h.outWrites) + " on layer " + name + " " + are(h.inside()+h.beyond())
		}
		said.add(diag.Note, "panel-layer-ignored", h.first, "%s not used as %s: the project names layer %s for %s", what, role, opt.Layers[role], role).
			About("layers."+string(role)).Fix("if this is the right one, write layers: {%s: %s} in the project file, or leave it out there", role, name)
		return said
	}
	if n := h.beyond(); n > 0 && (h.inside() == 0 || role != "") {
		what := h.outside()
		if role != "" {
			n, what = n+h.inside(), kinds(h.open+h.outOpen, h.closed+h.outClosed, h.texts+h.outWrites)
			said.add(diag.Warning, "panel-layer-ignored", h.first, "%s on layer %s %s not used; %s meant as %s?", what, name, are(n), isIt(n), role).
				About("layers."+string(role)).Fix("rename the layer to %s, or name it in the project file (layers: {%s: %s})", role, role, name)
			return said
		}
		said.add(diag.Note, "panel-layer-ignored", h.first, "%s on layer %s %s outside every panel: not used, which changes nothing in the panels", what, name, lies(n)).
			Fix("nothing, if they are remarks; else draw them within the outline of their panel")
		return said
	}
	n := h.inside()
	if n == 0 {
		return said
	}
	if role != "" {
		said.add(diag.Warning, "panel-layer-ignored", h.first, "%s on layer %s %s not used; %s meant as %s?", h.within(), name, are(n), isIt(n), role).
			About("layers."+string(role)).Fix("rename the layer to %s, or name it in the project file (layers: {%s: %s})", role, role, name)
		return said
	}
	beside := ""
	if h.beyond() > 0 {
		beside = ", and " + h.outside() + " outside every panel not used"
	}
	why := ""
	if h.open > 0 {
		why = ": what is not closed is no opening, and lettering is drawn on its own layer"
	}
	fix := "if they are to be engraved, write layers: {lettering: " + name + "} in the project file; remarks and dimensions may stay as they are"
	if _, ours := ls.role[lowered(name)]; ours {
		fix = "if they are to be engraved, put them on layer lettering; remarks may stay as they are"
	}
	said.add(diag.Note, "panel-layer-ignored", h.first, "%s on layer %s within the panel %s neither cut nor engraved%s%s", h.within(), name, are(n), why, beside).
		About("layers").Fix("%s", fix)
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

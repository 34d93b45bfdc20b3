package readback

import (
	"slices"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// nameless is a Gerber file that does not say what it is.
type nameless struct {
	entry int // in Pack.Files
	layer export.Layer
	marks lookedAt
}

// lookedAt is what its content shows.
type lookedAt struct {
	lands, draws, areas int
	box                 geom.Box
	holes               map[int]bool // those that a land lies on
	drilled             float64      // share of them, of the holes that any file has a land on
}

// recognise gives files without attributes their meaning by what they hold, and tells it.
//
// The profile is the largest file of draws alone, which goes round the others. Copper has a land on the most holes that have
// lands at all (perforation has none), and more than lands; the two best are the copper layers. A file of lands alone that lie where a copper layer's lie is a mask where it has
// them on drilled places too, and paste where it has not. What is left and drawn is silkscreen. Which copper is the top is told by
// the netlist's access codes; else by the words top and bottom in names; else the first file is taken for it. A mask or paste
// belongs to the copper with whose lands it has more in common, and to the other where that has one already.
func (p *Pack) recognise(all []nameless, hits []geom.Pt) diag.List {
	var l diag.List
	if len(all) == 0 {
		return l
	}
	holes := Grid{}
	for i, h := range hits {
		holes.Put(h, i)
	}
	landed := map[int]bool{}
	for i := range all {
		all[i].marks = look(all[i].layer, holes)
		for k := range all[i].marks.holes {
			landed[k] = true
		}
	}
	for i := range all {
		all[i].marks.drilled = float64(len(all[i].marks.holes)) / float64(max(1, len(landed)))
	}
	taken := make([]bool, len(all))
	have := map[export.Function]bool{}
	for _, q := range p.Artwork.Layers {
		have[q.Function] = true
	}
	take := func(i int, f export.Function) {
		if i < 0 || taken[i] || have[f] {
			return
		}
		taken[i], have[f] = true, true
		n := all[i]
		if f == export.Profile {
			n.layer.Objects = chained(n.layer.Objects)
		}
		n.layer.Function, n.layer.Negative = f, f == export.SoldermaskTop || f == export.SoldermaskBottom
		p.Artwork.Layers = append(p.Artwork.Layers, n.layer)
		p.Files[n.entry].Function = "taken for " + f.String()
		l.Add(diag.Warning, "readback-recognised", "%s does not say what it is: by its content it is taken for the layer %v", p.Files[n.entry].Name, f).
			In(p.Files[n.entry].Name, 0).Fix("look whether that is right; a board house must guess as well")
	}
	take(frameOf(all), export.Profile)
	// Copper: the two with lands on the most holes.
	var copper []int
	for i, n := range all {
		if !taken[i] && n.marks.drilled >= 0.5 && n.marks.draws+n.marks.areas > 0 {
			copper = append(copper, i)
		}
	}
	slices.SortStableFunc(copper, func(a, b int) int {
		switch x, y := all[a].marks.drilled, all[b].marks.drilled; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	copper = copper[:min(2, len(copper))]
	slices.Sort(copper)
	if len(copper) == 2 && p.upsideDown(all[copper[0]].layer, all[copper[1]].layer, p.Files[all[copper[0]].entry].Name, p.Files[all[copper[1]].entry].Name) {
		copper[0], copper[1] = copper[1], copper[0]
	}
	for k, i := range copper {
		take(i, export.CopperTop+export.Function(k))
	}
	p.openings(all, taken, holes, take)
	for i, n := range all {
		if !taken[i] && n.marks.draws > 0 {
			f := export.SilkscreenTop
			if have[f] || strings.Contains(strings.ToLower(p.Files[n.entry].Name), "bot") {
				f = export.SilkscreenBottom
			}
			take(i, f)
		}
	}
	for i, n := range all {
		if !taken[i] {
			p.Others = append(p.Others, n.layer)
			l.Add(diag.Warning, "readback-unknown-layer", "%s does not say what it is, and its content does not show it: it is not judged", p.Files[n.entry].Name).
				In(p.Files[n.entry].Name, 0).Fix("leave it out, or write its .FileFunction into it")
		}
	}
	return l
}

func look(l export.Layer, holes Grid) lookedAt {
	m := lookedAt{box: geom.EmptyBox(), holes: map[int]bool{}}
	for _, o := range l.Objects {
		m.box = m.box.Union(spine(o))
		switch at, _, ok := LandOf(l, o); {
		case ok:
			m.lands++
			holes.At(at, func(i int) bool { m.holes[i] = true; return false })
		case o.Op == export.Draw:
			m.draws++
		default:
			m.areas++
		}
	}
	return m
}

// frameOf returns the largest file of draws alone, if most others lie within it; -1 for none.
func frameOf(all []nameless) int {
	best := -1
	area := func(i int) float64 { return all[i].marks.box.W().MM() * all[i].marks.box.H().MM() }
	for i, n := range all {
		if n.marks.draws > 0 && n.marks.lands+n.marks.areas == 0 && (best < 0 || area(i) > area(best)) {
			best = i
		}
	}
	if best < 0 {
		return -1
	}
	frame, within := all[best].marks.box.Grown(geom.Millimetre/10), 0
	for _, n := range all {
		if n.marks.box.Empty() || frame.Union(n.marks.box) == frame {
			within++
		}
	}
	if 2*within <= len(all) {
		return -1
	}
	return best
}

// upsideDown reports whether the first of two copper layers is the bottom.
func (p *Pack) upsideDown(a, b export.Layer, first, second string) bool {
	on := func(l export.Layer) (top, bottom int) {
		lands := Grid{}
		for i, o := range l.Objects {
			if at, _, ok := LandOf(l, o); ok {
				lands.Put(at, i)
			}
		}
		for _, t := range p.Netlist.Points {
			met := lands.Has(t.At)
			if met && t.Access == 1 {
				top++
			}
			if met && t.Access == 2 {
				bottom++
			}
		}
		return top, bottom
	}
	aTop, aBottom := on(a)
	bTop, bBottom := on(b)
	if aTop+bBottom != aBottom+bTop {
		return aTop+bBottom < aBottom+bTop
	}
	first, second = strings.ToLower(first), strings.ToLower(second)
	return strings.Contains(first, "bot") && !strings.Contains(second, "bot") || strings.Contains(second, "top") && !strings.Contains(first, "top")
}

// openings takes masks and paste among the files of lands alone.
func (p *Pack) openings(all []nameless, taken []bool, holes Grid, take func(int, export.Function)) {
	var lands [2]Grid
	for _, side := range geom.BothSides() {
		lands[side] = Grid{}
		l, _ := p.Artwork.Layer(export.CopperTop + export.Function(side))
		for i, o := range l.Objects {
			if at, _, ok := LandOf(l, o); ok {
				lands[side].Put(at, i)
			}
		}
	}
	type sheet struct {
		i      int
		mask   bool
		common [2]int
	}
	var sheets []sheet
	for i, n := range all {
		if taken[i] || n.marks.lands == 0 || n.marks.draws+n.marks.areas > n.marks.lands {
			continue
		}
		s := sheet{i: i}
		for _, o := range n.layer.Objects {
			if at, _, ok := LandOf(n.layer, o); ok {
				s.mask = s.mask || holes.Has(at)
				for side := range lands {
					if lands[side].Has(at) {
						s.common[side]++
					}
				}
			}
		}
		if 2*max(s.common[0], s.common[1]) >= n.marks.lands {
			sheets = append(sheets, s)
		}
	}
	// The clearest first.
	slices.SortStableFunc(sheets, func(a, b sheet) int { return clear(b.common) - clear(a.common) })
	for _, s := range sheets {
		f := export.PasteTop
		if s.mask {
			f = export.SoldermaskTop
		}
		if s.common[1] > s.common[0] {
			take(s.i, f+1)
			take(s.i, f)
		} else {
			take(s.i, f)
			take(s.i, f+1)
		}
	}
}

func clear(c [2]int) int { return max(c[0]-c[1], c[1]-c[0]) }

// plating sorts the holes of drill files that do not say which they are for: a hole with a land on both sides that is wider
// than it is plated, any other is not.
func (p *Pack) plating(drills []export.Drill, names []string) diag.List {
	var l diag.List
	if len(drills) == 0 {
		return l
	}
	type land struct {
		w  geom.Nm
		on export.Function
	}
	var lands []land
	places := Grid{}
	for _, q := range p.Artwork.Layers {
		if q.Function.Copper() {
			for _, o := range q.Objects {
				if at, a, ok := LandOf(q, o); ok {
					w := a.W
					if a.Shape != export.Circle {
						w = min(w, a.H)
					}
					places.Put(at, len(lands))
					lands = append(lands, land{w, q.Function})
				}
			}
		}
	}
	var sorted [2]export.Drill // unplated, plated
	for _, d := range drills {
		var base [2]int
		for k := range sorted {
			base[k] = len(sorted[k].Tools)
			sorted[k].Tools = append(sorted[k].Tools, d.Tools...)
		}
		for _, h := range d.Hits {
			var on [2]bool
			places.At(h.At, func(i int) bool {
				on[lands[i].on] = on[lands[i].on] || lands[i].w > d.Tools[h.Tool].D
				return false
			})
			k := 0
			if on[0] && on[1] {
				k = 1
			}
			sorted[k].Hits = append(sorted[k].Hits, export.Hit{Tool: base[k] + h.Tool, At: h.At})
		}
		for _, s := range d.Slots {
			s.Tool += base[0]
			sorted[0].Slots = append(sorted[0].Slots, s)
		}
	}
	sorted[1].Plated = true
	for k := range sorted {
		if len(sorted[k].Hits)+len(sorted[k].Slots) > 0 {
			p.Artwork.Drills = append(p.Artwork.Drills, sorted[k])
		}
	}
	for _, n := range names {
		l.Add(diag.Warning, "readback-recognised", "%s does not say which holes are plated: those in lands on both sides are taken for it", n).
			In(n, 0).Fix("look whether that is right; a board house must guess as well")
	}
	return l
}

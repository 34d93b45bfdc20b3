package read

import (
	"slices"

	"lampblack/panel/dxf"
	"lampblack/panel/work"
)

// layered joins the curves that no layer gives a role: those of each layer by themselves, as one layer is one thing's
// drawing more often than not, and then what stayed open across layers. So what closes does not depend on what the
// project says of it. Where lines branch, the way round all of them counts. Layers with a role of their own, which are
// here since a rule names them, are left out of the second round.
func layered(w *work.Watch, es []*dxf.Entity, ls layers, tol float64) joined {
	index := map[string]int{}
	var heaps [][]*dxf.Entity
	at := 0
	for i, e := range es {
		w.Step()
		if i == 0 || e.Layer != es[i-1].Layer {
			name := lowered(e.Layer)
			k, ok := index[name]
			if !ok {
				k = len(heaps)
				index[name], heaps = k, append(heaps, nil)
			}
			at = k
		}
		heaps[at] = append(heaps[at], e)
	}
	var all joined
	var open []piece
	layers := 0
	for _, heap := range heaps {
		role, owned := ls.role[lowered(heap[0].Layer)]
		j := joinOf(w, heap, tol, owned && role.Drawn(), false)
		all.add(w, j)
		switch {
		case owned:
			all.open = append(all.open, j.open...)
		case len(j.open) > 0:
			open = append(open, j.open...)
			layers++
		}
	}
	if layers > 1 {
		var j joined
		j.put(w, open, tol, false, false)
		all.add(w, j)
		open = j.open
	}
	all.open = append(all.open, open...)
	all.ends = endsOf(all.open, 0)
	if len(heaps) > 1 {
		all.dropSameLoops(w)
	}
	return all
}

// add adds what was joined, but for what is open.
func (j *joined) add(w *work.Watch, o joined) {
	if len(o.outers) == 0 {
		j.loops = append(j.loops, o.loops...)
	} else {
		j.loops = append(j.loops, wholes(w, o)...)
	}
	j.gaps = append(j.gaps, o.gaps...)
	j.branches = append(j.branches, o.branches...)
	j.same, j.twins = append(j.same, o.same...), append(j.twins, o.twins...)
	j.none = append(j.none, o.none...)
}

// without returns the joined curves but the loops that are taken.
func (j joined) without(taken []bool) joined {
	loops := make([]loop, 0, len(j.loops))
	for i := range j.loops {
		if !taken[i] {
			loops = append(loops, j.loops[i])
		}
	}
	j.loops = slices.Clip(loops)
	return j
}

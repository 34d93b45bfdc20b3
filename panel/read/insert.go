package read

import (
	"cmp"
	"slices"

	"lampblack/panel/role"
	"lampblack/panel/work"
)

// Sheets that lie in the frame of a larger one are at least that share of its area; of more outlines than mostInserts none is
// looked for.
const insertShare, mostInserts = 0.25, 12

// inserted finds sheets that are smaller than the panel beside which they are drawn, as a diffuser that lies within its frame.
// all is the outlines of which those gone are sheets of others.
func (st *stack) inserted(w *work.Watch, all []sheet, c lines, th things, opt Options, gone []bool) findings {
	var said findings
	if len(all) > mostInserts {
		return said
	}
	var order []int
	for i := range all {
		if !gone[i] {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[a].outline.area, all[b].outline.area) })
	for n, i := range order {
		best, most := -1, insert{}
		for _, k := range order[n+1:] {
			a, b := all[i].outline.box, all[k].outline.box
			if gone[k] || sameSize(&all[i].outline, &all[k].outline) || a.W() > b.W()+leafFit || a.H() > b.H()+leafFit || all[i].outline.area < insertShare*all[k].outline.area {
				continue
			}
			in, ok := st.tried(w, i, k, all, c, th, opt)
			if ok && (best < 0 || in.hits > most.hits || in.hits == most.hits && in.together && !most.together) {
				best, most = k, in
			}
		}
		if best < 0 {
			continue
		}
		said.join(st.askedWhether(most.ls, most.together, most.doubt && opt.Sheets == SheetsJudged, most.why, most.against))
		if !most.together {
			continue
		}
		if opt.Sheets == SheetsJudged {
			said.join(st.askedFacing(most.ls))
		}
		st.leaves = slices.DeleteFunc(st.leaves, func(l leaf) bool { return l.of == best })
		st.leaves = append(st.leaves, most.ls...)
		gone[i] = true
	}
	return said
}

// insert is a panel's sheets with one more, that is smaller.
type insert struct {
	ls              []leaf
	hits            int // things of the smaller one that lie where the others have theirs
	together, doubt bool
	why, against    []string
}

// tried puts the outline i among the sheets of the panel k. Not ok when that is too much to compare.
func (st *stack) tried(w *work.Watch, i, k int, all []sheet, c lines, th things, opt Options) (in insert, ok bool) {
	for _, l := range st.leaves {
		if l.of == k {
			in.ls = append(in.ls, l)
		}
	}
	names := captionsOf(all, []int{i, k}, th)
	if len(in.ls) == 0 {
		in.ls = append(in.ls, leaf{outline: all[k].outline, named: names[1], kind: role.LeafOf(names[1]), of: k})
	}
	first := slices.IndexFunc(in.ls, func(l leaf) bool { return l.pose == pose{} && l.layer == "" })
	if first < 0 { // drawn over each other
		return in, false
	}
	in.ls = append(in.ls, leaf{outline: all[i].outline, named: names[0], kind: role.LeafOf(names[0]), of: k})
	last := len(in.ls) - 1
	things, ok := itemsOn(w, in.ls, c)
	if !ok {
		return in, false
	}
	set := slices.Clone(in.ls[:last])
	faced(w, in.ls, things, first, func(n int) bool { return n == last }, opt)
	copy(in.ls, set) // they have their poses
	if !tallied(w, in.ls, things, th) {
		return in, false
	}
	more := []pooled{smallerBehind}
	if in.hits = in.ls[last].tally.shared; in.hits >= 2 {
		more = append(more, fitsByHoles)
	}
	if completed(in.ls) {
		more = append(more, completing)
	}
	in.together, in.doubt, in.why, in.against = verdict(in.ls, opt, more...)
	return in, true
}

// completed reports whether one sheet has nothing but LEDs and the others have all else.
func completed(ls []leaf) bool {
	lamps, bare := 0, false
	for i := range ls {
		if t := &ls[i].tally; t.lamps > 0 {
			lamps++
			bare = t.words+t.cuts == 0
		}
	}
	return lamps == 1 && bare && slices.ContainsFunc(ls, func(l leaf) bool { return l.tally.words > 0 || l.tally.cuts > 0 })
}

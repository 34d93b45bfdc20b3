package read

import (
	"fmt"
	"maps"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// Sheets says whether outlines of one size are the sheets of one panel.
type Sheets string

const (
	SheetsJudged   Sheets = ""         // by what lies on them
	SheetsTogether Sheets = "together" // they are
	SheetsMirrored Sheets = "mirrored" // they are, and those of which nothing tells are drawn as seen from behind
	SheetsApart    Sheets = "apart"    // each is a panel of its own
)

// leaf is one of the sheets of a panel as it is drawn: face, diffuser, LED sheet, legend.
type leaf struct {
	outline loop
	kind    role.Leaf
	named   string // what tells so: the words beside it, or its layer
	layer   string // over each other: the layer that it is drawn on, in small letters; beside each other: empty
	pose    pose   // what brings it into the panel's frame
	unsure  bool   // whether it is drawn from the front or from behind
	of      int    // the outline that stands for the panel
	tally   tally
}

// stack is which sheets of panels a drawing shows.
type stack struct {
	leaves []leaf
	asked  bool
	twins  []twin                      // what is drawn on several sheets and stands for one thing
	kept   []loopKey                   // what stands for those
	copies map[*dxf.Entity]*dxf.Entity // texts that were brought into a panel's frame, and what they are in the drawing
}

// twin is a closed line of a sheet, where it is drawn, that is the same as one that was kept.
type twin struct {
	loop loop
	as   int // of kept
}

// How far the sheets of one panel may differ, mm: a pen's width in place or size; and sheets behind it may be smaller by
// inset on every side.
const leafFit, leafInset, leafSame = 0.5, 3.0, 0.1

// mostLeaves bounds the things on sheets that are compared.
const mostLeaves = 50_000

// stacked finds the sheets of panels, over each other and side by side, and puts what lies on them into the frame of the one
// that stands for the panel. What is the same on several is one.
func stacked(w *work.Watch, sheets []sheet, c lines, th things, opt Options) ([]sheet, lines, things, stack, findings) {
	var said findings
	var st stack
	if len(sheets) == 0 || opt.Sheets == SheetsApart {
		return sheets, c, th, st, said
	}
	c.used = maps.Clone(c.used)
	said.join(st.layered(w, sheets, &c, th, opt))
	all := withEdges(sheets, c)
	groups := alike(all)
	gone := make([]bool, len(all))
	for _, g := range groups {
		told := st.beside(w, g, all, c, th, opt, gone)
		said.join(told)
	}
	said.join(st.inserted(w, all[:len(sheets)], c, th, opt, gone))
	if len(st.leaves) == 0 {
		return sheets, c, th, st, said
	}
	for i := len(sheets); i < len(all); i++ {
		if gone[i] {
			c.drop(&all[i].outline)
		}
	}
	c, th = st.merged(w, c, th)
	kept := make([]sheet, 0, len(sheets))
	for i := range sheets {
		if !gone[i] {
			s := sheets[i]
			s.stacked = slices.ContainsFunc(st.leaves, func(l leaf) bool { return l.of == i })
			kept = append(kept, s)
		}
	}
	said.join(st.told(sheets))
	return kept, c, th, st, said
}

// told says which sheets make which panel.
func (st *stack) told(sheets []sheet) findings {
	var said findings
	for i := range sheets {
		var what []string
		var from *dxf.Entity
		over := false
		for k := range st.leaves {
			l := &st.leaves[k]
			if l.of != i {
				continue
			}
			name := l.kind.String()
			if l.named != "" {
				name += " (" + short(l.named) + ")"
			}
			if from == nil {
				from = l.outline.from
			}
			over = over || l.layer != ""
			switch {
			case l.pose.mirrors():
				name += ", seen from behind and mirrored here,"
			case l.pose.overX:
				name += ", half a turn round,"
			}
			what = append(what, fmt.Sprintf("%s at (%s, %s)", name, mm(l.outline.box.Min.X), mm(l.outline.box.Min.Y)))
		}
		if len(what) == 0 {
			continue
		}
		how := "side by side"
		if over {
			how = "over each other on layers"
		}
		f := said.add(diag.Note, "panel-sheets", from, "%d sheets of one panel are drawn %s: %s", len(what), how, some(what, 8)).About("sheets")
		f.Fix("what lies on all of them is one panel, told at its place on the first sheet; if each is a panel, write in the project file: sheets: apart").
			By("each is a panel", diag.Set, "sheets", string(SheetsApart))
		if over {
			f.Fix("if a layer belongs to no sheet of this panel, write in the project file: roles: {ignore: layer NAME}")
		}
	}
	return said
}

// at returns a place in the frame of the panel on one of whose sheets it lies.
func (st *stack) at(p *dxf.XY) *dxf.XY {
	if p == nil {
		return nil
	}
	for i := range st.leaves {
		if st.leaves[i].outline.holds(*p) {
			q := st.leaves[i].pose.point(*p)
			return &q
		}
	}
	return p
}

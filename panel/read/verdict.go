package read

import (
	"fmt"
	"slices"

	"lampblack/panel"
	"lampblack/panel/dxf"
	"lampblack/panel/role"
	"lampblack/panel/work"
)

// tally is what lies on a sheet. What is its own lies on no other of those of its size.
type tally struct {
	things int // closed lines
	shared int // of these, those that other sheets have at the same place, of whatever size
	lamps  int // its own round ones of an LED's size
	cuts   int // its own others
	words  int // its own texts and closed letters
	clash  int // its own others that run across another sheet's
}

// item is a closed line on a sheet.
type item struct {
	leaf   int
	loop   *loop
	at     dxf.XY // in the panel's frame
	lamp   bool
	letter bool
	others int // sheets that have it too
}

// itemsOn returns the closed lines on sheets that stand beside each other; not ok when they are too many to compare.
func itemsOn(w *work.Watch, ls []leaf, c lines) (all []item, ok bool) {
	var d role.Drawing
	d.Sheets = make([]role.Sheet, len(ls))
	for i := range ls {
		d.Sheets[i].Box = ls[i].outline.box
	}
	for _, r := range append(panel.Roles(), "") {
		if r.Printed() {
			continue // it is on the board, whatever sheet it is drawn on
		}
		j := c.free
		if r != "" {
			j = c.used[r]
		}
		for i := range j.loops {
			w.Step()
			l := &j.loops[i]
			m := l.centre()
			k := slices.IndexFunc(ls, func(x leaf) bool { return x.outline.holds(m) && l.area < 0.9*x.outline.area })
			if k < 0 {
				continue
			}
			if len(all) == mostLeaves {
				return nil, false
			}
			all = append(all, item{leaf: k, loop: l, at: m,
				lamp: l.round && (ledSize(l.d) || r == panel.RoleLED) && r != panel.RoleMount && r != panel.RoleOpening, letter: r == panel.RoleLettering})
			d.Things = append(d.Things, role.Thing{Box: l.box, Round: l.round, At: m, D: l.d, Area: l.area, Perimeter: l.path.Perimeter(), Corners: len(l.path.Vertices), Layer: l.from.Layer, Sheet: k, In: -1})
		}
	}
	letters, _, _ := role.Letters(w, d)
	for i, is := range letters {
		all[i].letter = all[i].letter || is
	}
	return all, true
}

// tallied counts what lies on sheets in their poses; not ok when that is too much to compare.
func tallied(w *work.Watch, ls []leaf, all []item, th things) bool {
	for i := range ls {
		ls[i].tally = tally{}
	}
	near := newGrid(w, 1, len(all))
	for i := range all {
		s := &all[i]
		s.at, s.others = ls[s.leaf].pose.point(s.loop.centre()), 0
		near.add(s.at)
	}
	for i := range all {
		s := &all[i]
		has := make([]bool, len(ls))
		near.near(s.at, leafSame, func(k int) {
			o := &all[k]
			if o.leaf != s.leaf && !has[o.leaf] && o.at.Dist(s.at) <= leafSame && o.letter == s.letter {
				has[o.leaf] = true
				s.others++
			}
		})
		t := &ls[s.leaf].tally
		if !s.letter {
			t.things++
		}
		switch {
		case s.others > 0 && !s.letter:
			t.shared++
		case s.others > 0:
		case s.letter:
			t.words++
		case s.lamp:
			t.lamps++
		default:
			t.cuts++
		}
	}
	find := newFinder(w, nil)
	moved := make([]loop, len(all))
	for i := range all {
		moved[i] = all[i].loop.posed(ls[all[i].leaf].pose)
		if all[i].others == 0 && !all[i].letter {
			find.add(moved[i].box, i)
		}
	}
	for i := range all {
		if all[i].letter {
			continue
		}
		hits := find.near(moved[i].box, 0)
		for _, k := range hits[:min(len(hits), 50)] {
			if all[k].leaf != all[i].leaf && moved[i].standingIn(&moved[k]) == crossing {
				ls[all[k].leaf].tally.clash++
			}
		}
	}
	texts := th.texts()
	if len(texts) > mostLeaves {
		return false
	}
	type word struct {
		says string // and where, in the panel's frame
		leaf int
	}
	var words []word
	on := map[string]map[int]bool{} // which sheets have a text at a place
	for _, e := range texts {
		w.Step()
		if e.Text == nil {
			continue
		}
		k := slices.IndexFunc(ls, func(x leaf) bool { return x.outline.hasText(e) })
		if k < 0 {
			continue
		}
		p := ls[k].pose.text(*e.Text).At
		says := fmt.Sprintf("%s %.0f %.0f", e.Text.Text, p.X, p.Y)
		words = append(words, word{says, k})
		if on[says] == nil {
			on[says] = map[int]bool{}
		}
		on[says][k] = true
	}
	for _, v := range words {
		if len(on[v.says]) == 1 {
			ls[v.leaf].tally.words++
		}
	}
	return true
}

// pooled is what speaks for sheets of one panel or for panels of their own.
type pooled uint8

const (
	eachNamedSheet pooled = iota
	someNamedSheet
	namedForThemselves
	lampsOnOne
	wordsOnOne
	sameHoles
	nothingShared
	cutsOnOne
	lampsOnSeveral
	wordsOnSeveral
	cutsOnSeveral
	completeSeveral
	completeOne
	copiesOfOne
	alikeButWords
	runAcross
	oneAskedFor
	smallerBehind
	fitsByHoles
	completing
)

// pooling is what each says, in decibans as package role has them: above nothing for sheets of one panel. Judged, not counted.
var pooling = [...]struct {
	of   pooled
	db   int
	says string
}{
	{eachNamedSheet, 30, "each is named as a sheet"},
	{someNamedSheet, 8, "one is named as a sheet"},
	{namedForThemselves, -12, "each has a name of its own that is no sheet's"},
	{lampsOnOne, 8, "holes for LEDs are on one of them alone"},
	{wordsOnOne, 6, "lettering is on one of them alone"},
	{sameHoles, 4, "they have holes at the same places"}, // so have all panels of one rack
	{nothingShared, -12, "they have no hole at the same place"},
	{cutsOnOne, 4, "no two of them have openings at different places"},
	{lampsOnSeveral, -14, "several have LEDs, at different places"},
	{wordsOnSeveral, -10, "several have lettering, each its own"},
	{cutsOnSeveral, -12, "several have openings at different places"},
	{completeSeveral, -30, "several are complete in themselves, with LEDs and lettering"},
	{completeOne, -10, "one is complete in itself, with LEDs and lettering, and others have nothing of their own"},
	{copiesOfOne, -40, "they are all alike, copies of one panel"},
	{alikeButWords, -30, "they are alike but for the lettering"},
	{runAcross, -40, "what is cut in one runs across what is cut in another"},
	{oneAskedFor, -10, "the project asks for one of them"},
	{smallerBehind, -18, "one is smaller than the other"}, // most panels of a console are of several sizes
	{fitsByHoles, 10, "the smaller one's holes lie on those of the larger"},
	{completing, 8, "one has nothing but LEDs, and the others have none"},
}

// verdict says whether outlines of one size are sheets of one panel, whether that is in doubt, why, and what speaks against it.
func verdict(ls []leaf, opt Options, more ...pooled) (together, doubt bool, why, but []string) {
	if opt.Sheets == SheetsTogether || opt.Sheets == SheetsMirrored {
		return true, false, nil, nil
	}
	var has [len(pooling)]bool
	for _, p := range more {
		has[p] = true
	}
	named, kinds, others := 0, map[role.Leaf]bool{}, map[string]bool{}
	var lamps, words, cuts, whole, bare, own, shared, clash, only int
	least := -1
	for i := range ls {
		t := &ls[i].tally
		if ls[i].kind != role.NoLeaf {
			named++
			kinds[ls[i].kind] = true
		} else if ls[i].named != "" {
			others[ls[i].named] = true
		}
		count := func(n *int, of int) {
			if of > 0 {
				*n++
			}
		}
		count(&lamps, t.lamps)
		count(&words, t.words)
		count(&cuts, t.cuts)
		count(&shared, t.shared)
		count(&only, t.lamps+t.cuts)
		clash += t.clash
		if t.lamps > 0 && t.words > 0 {
			whole++
		}
		if t.lamps+t.words+t.cuts == 0 {
			bare++
		}
		own += t.lamps + t.words + t.cuts
		if t.things > 0 && (least < 0 || t.shared < least) {
			least = t.shared
		}
	}
	has[eachNamedSheet] = named == len(ls) && len(kinds) == len(ls)
	has[someNamedSheet] = named > 0 && !has[eachNamedSheet] && len(kinds) == named
	has[namedForThemselves] = named == 0 && len(others) == len(ls)
	has[lampsOnOne] = lamps == 1
	has[wordsOnOne] = words == 1
	has[sameHoles] = least >= 2
	has[nothingShared] = least == 0
	has[cutsOnOne] = cuts <= 1
	has[lampsOnSeveral] = lamps > 1
	has[wordsOnSeveral] = words > 1
	has[cutsOnSeveral] = cuts > 1
	has[completeSeveral] = whole > 1
	has[completeOne] = whole == 1 && bare == len(ls)-1
	has[copiesOfOne] = own == 0
	has[alikeButWords] = only == 0 && words > 1
	has[runAcross] = clash > 0
	has[oneAskedFor] = opt.At != nil
	score := 0
	var for_, against []string
	for _, p := range pooling {
		if !has[p.of] {
			continue
		}
		score += p.db
		if p.db > 0 {
			for_ = append(for_, p.says)
		} else {
			against = append(against, p.says)
		}
	}
	if score > 0 {
		return true, score < role.Sure, for_, against
	}
	return false, score > -role.Sure, against, for_
}

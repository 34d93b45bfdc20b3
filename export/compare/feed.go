package compare

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"lampblack/export/result"
)

// link is how a board is fed.
type link struct {
	from, wire string
	mm         float64
}

// linksOf tells how each board is fed, in the order of the feed, and what fuse stands before each chain.
func linksOf(all []result.Chain) (order []string, by map[string]link, fuses map[string]float64) {
	by, fuses = map[string]link{}, map[string]float64{}
	add := func(name string, l link) {
		order = append(order, name)
		by[name] = l
	}
	for _, c := range all {
		from := cmp.Or(c.From, "the supply")
		for i, k := range c.Links {
			add(k.Panel, link{from, cmp.Or(k.Wire, "wire"), k.FeedMM})
			if i == 0 {
				fuses[from+" to "+k.Panel] = c.FuseA
			}
			from = k.Panel
		}
		if c.Back != nil {
			add(c.Back.Panel+" (its other end)", link{"the supply", cmp.Or(c.Back.Wire, "wire"), c.Back.FeedMM})
		}
	}
	return order, by, fuses
}

// feeds tells of the chains: which board hangs on which, over what wire, how long; and of fuses.
func (d *Difference) feeds(was, is []result.Chain) {
	say := func(code, format string, args ...any) { d.tell(code, "", "", format, args...) }
	orderA, a, fusesA := linksOf(was)
	orderB, b, fusesB := linksOf(is)
	// The way of the feed, past what only one side has.
	way := func(order []string, all, other map[string]link) string {
		var runs [][]string
		for _, name := range order {
			if _, ok := other[name]; !ok {
				continue
			}
			from := all[name].from
			for range len(all) {
				up, ok := all[from]
				if _, both := other[from]; !ok || both {
					break
				}
				from = up.from
			}
			if n := len(runs) - 1; n >= 0 && runs[n][len(runs[n])-1] == from {
				runs[n] = append(runs[n], name)
			} else {
				runs = append(runs, []string{from, name})
			}
		}
		var out []string
		for _, r := range runs {
			out = append(out, strings.Join(r, " → "))
		}
		return strings.Join(out, ", ")
	}
	if x, y := way(orderA, a, b), way(orderB, b, a); x != y {
		say("feed", "the feed runs %s; before %s", y, x)
	}
	wires := map[[2]string][]string{}
	for _, name := range orderA {
		p := a[name]
		q, ok := b[name]
		if !ok {
			continue
		}
		if p.wire != q.wire {
			k := [2]string{p.wire, q.wire}
			wires[k] = append(wires[k], name)
		}
		if figure(p.mm) != figure(q.mm) {
			say("feed-length", "the feed from %s to %s was %s mm long, it is %s mm", q.from, name, figure(p.mm), figure(q.mm))
		}
	}
	for _, k := range slices.SortedFunc(maps.Keys(wires), func(p, q [2]string) int { return slices.Compare(p[:], q[:]) }) {
		say("feed", "wire of the feed to %s: %s, now %s", strings.Join(wires[k], ", "), k[0], k[1])
	}
	for _, at := range slices.Sorted(maps.Keys(fusesA)) {
		if n, ok := fusesB[at]; ok {
			for _, t := range changedFuse(fusesA[at], n) {
				say("fuse", "fuse from %s: %s", at, t)
			}
		}
	}
}

func changedFuse(a, b float64) []string {
	of := func(v float64) string {
		if v == 0 {
			return "none"
		}
		return figure(v) + " A"
	}
	if of(a) == of(b) {
		return nil
	}
	return []string{of(a) + ", now " + of(b)}
}

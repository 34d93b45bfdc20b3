package design

import (
	"slices"
	"strings"

	"lampblack/led"
	"lampblack/panel/diag"
)

// Groups of LEDs that are dimmed apart: each has a supply conductor of its own, which runs through every board of the feed
// that it is needed on, so that all connectors of one feed are alike.

// groupOf returns the group that LEDs of the kind on the panel belong to, windows' or others, -1 for none: the first that names them.
func groupOf(panel, kind string, window bool, r led.Request) int {
	has := func(list []string, s string) bool {
		return len(list) == 0 || slices.ContainsFunc(list, func(x string) bool { return strings.EqualFold(x, s) })
	}
	return slices.IndexFunc(r.Groups, func(g led.Dimmed) bool { return has(g.Kinds, kind) && has(g.Panels, panel) && g.Lights.Has(window) })
}

// conductors returns the supply conductors of every board: those of all groups on any board of the same feed, the LEDs of
// no group first, then the groups in the request's order.
func (d *design) conductors(chains []led.Chain) [][]led.Group {
	feed := d.feeds(chains)
	used := map[int][]bool{} // of each feed, by group; 0 is none
	for i, b := range d.boards {
		if used[feed[i]] == nil {
			used[feed[i]] = make([]bool, len(d.req.Groups)+1)
		}
		for _, s := range b.strings {
			used[feed[i]][s.group+1] = true
		}
	}
	out := make([][]led.Group, len(d.boards))
	for i := range out {
		var groups []led.Group
		for g, u := range used[feed[i]] {
			switch {
			case !u:
			case g == 0:
				groups = append(groups, led.Group{Duty: 1})
			default:
				groups = append(groups, led.Group{Name: d.req.Groups[g-1].Name, Duty: d.req.Groups[g-1].Duty})
			}
		}
		if len(groups) == 0 {
			groups = []led.Group{{Duty: 1}}
		}
		for k := range groups {
			groups[k].Net = led.Supply
			if k > 0 {
				groups[k].Net = led.Return + led.NetID(k)
			}
		}
		out[i] = groups
	}
	return out
}

// feeds numbers the boards so that those joined by wires have one number.
func (d *design) feeds(chains []led.Chain) []int {
	index := map[string]int{}
	feed := make([]int, len(d.boards))
	for i, b := range d.boards {
		if _, ok := index[b.Panel]; !ok {
			index[b.Panel] = i
		}
		feed[i] = i
	}
	for _, c := range chains {
		// A chain stands behind the one that has the board it starts from.
		to := -1
		if i, ok := index[c.From]; ok && c.From != "" {
			to = feed[i]
		}
		for _, k := range c.Links {
			i := index[k.Panel]
			if to < 0 {
				to = feed[i]
			}
			feed[i] = to
		}
	}
	return feed
}

// empty tells groups that no LED belongs to.
func (d *design) empty() diag.List {
	var l diag.List
	for i, g := range d.req.Groups {
		used := slices.ContainsFunc(d.boards, func(b boardPlan) bool {
			return slices.ContainsFunc(b.strings, func(s stringPlan) bool { return s.group == i })
		})
		if !used {
			l.Add(diag.Warning, "led-group-empty", "no LED belongs to the group %q", g.Name).About("groups").
				Fix("check the kinds and panels it names; a group named before it may have taken them")
		}
	}
	return l
}

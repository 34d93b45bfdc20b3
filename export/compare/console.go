package compare

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"lampblack/export/result"
)

// console tells of what is no panel's own.
func (d *Difference) console(was, is result.Console) {
	say := func(code, format string, args ...any) { d.tell(code, "", "", format, args...) }
	if was.Console != is.Console {
		say("name", "the console was called %q, it is %q", was.Console, is.Console)
	}
	if was.Revision != is.Revision {
		say("revision", "revision was %q, it is %q", was.Revision, is.Revision)
	}
	if a, b := max(was.Copies, 1), max(is.Copies, 1); a != b {
		say("copies", "consoles to make: %d, now %d", a, b)
	}
	if was.FabClass != is.FabClass {
		say("class", "class of fabrication: %s, now %s", orNone(was.FabClass), orNone(is.FabClass))
	}
	d.supply(was.Supply, is.Supply)
	d.feeds(was.Chains, is.Chains)
	if !same(was.AnotherLots, is.AnotherLots) {
		say("another-lots", "resistors for LEDs of a further lot, brighter or dimmer, are others: see the report")
	}
	if a, b := ordersOf(was), ordersOf(is); !same(a, b) {
		say("order", "boards are ordered together in another way: %s, now %s", arrays(a), arrays(b))
	}
	d.nests(was.Nests, is.Nests)
	d.work(was.Cost, is.Cost)
}

// supply tells of the supply and what is asked of it.
func (d *Difference) supply(a, b *result.Supply) {
	say := func(code, format string, args ...any) { d.tell(code, "", "", format, args...) }
	switch {
	case a == nil && b == nil:
	case a == nil:
		say("supply", "currents are computed now, they were not")
	case b == nil:
		say("supply", "currents cannot be computed any more")
	default:
		if a.Volts != b.Volts || a.RatedA != b.RatedA || a.Ohms != b.Ohms || a.OtherA != b.OtherA || supplied(a) != supplied(b) {
			say("supply", "supply was %s, it is %s", supplyWords(*a), supplyWords(*b))
		}
		if a.Verdict != b.Verdict {
			say("supply-verdict", "whether the supply holds: was %s, is %s", a.Verdict, b.Verdict)
		}
		d.switched(a, b)
		how := now("usually", 1000*a.TypicalA, 1000*b.TypicalA, 1, "mA")
		if a.PeakA != a.TypicalA || b.PeakA != b.TypicalA {
			how = append(how, now("all groups on", 1000*a.PeakA, 1000*b.PeakA, 1, "mA")...)
		}
		if how = append(how, now("at worst", 1000*a.WorstA, 1000*b.WorstA, 1, "mA")...); len(how) > 0 {
			say("currents", "what the boards take: %s", strings.Join(how, "; "))
			d.slightly(!differBy(a.TypicalA, b.TypicalA, 0.005) && !differBy(a.PeakA, b.PeakA, 0.005) && !differBy(a.WorstA, b.WorstA, 0.005))
		}
	}
}

// switched tells what the supply's voltage does when other loads are switched on.
func (d *Difference) switched(a, b *result.Supply) {
	if same(a.Switching, b.Switching) && a.SwitchOnA == b.SwitchOnA {
		return
	}
	how := now("all at once asks for", a.SwitchOnA, b.SwitchOnA, 2, "A")
	for _, s := range a.Switching {
		if k := slices.IndexFunc(b.Switching, func(t result.Switching) bool { return t.Load == s.Load }); k < 0 {
			how = append(how, fmt.Sprintf("no %s any more", s.Load))
		} else {
			how = append(how, now("light with "+s.Load+" on", 100*s.Light, 100*b.Switching[k].Light, 1, "%")...)
		}
	}
	for _, s := range b.Switching {
		if !slices.ContainsFunc(a.Switching, func(t result.Switching) bool { return t.Load == s.Load }) {
			how = append(how, s.Load+" is new")
		}
	}
	d.tell("loads", "", "", "switching on other loads: %s", cmp.Or(strings.Join(how, "; "), "other figures"))
}

// supplied is the battery, without what it does for the light.
func supplied(s *result.Supply) string {
	b := s.Battery
	if b == nil {
		return ""
	}
	w := fmt.Sprintf("%s of %d cells", b.Chemistry, b.Cells)
	if b.CapacityAh > 0 {
		w += fmt.Sprintf(", %s Ah", figure(b.CapacityAh))
	}
	return w
}

func supplyWords(s result.Supply) string {
	w := fmt.Sprintf("%s V", figure(s.Volts.Nominal))
	if s.Volts.Min != s.Volts.Nominal || s.Volts.Max != s.Volts.Nominal {
		w += fmt.Sprintf(" (%s to %s V)", figure(s.Volts.Min), figure(s.Volts.Max))
	}
	w += fmt.Sprintf(", %s A", figure(s.RatedA))
	if b := supplied(&s); b != "" {
		w += ", " + b
	}
	if s.Ohms > 0 {
		w += fmt.Sprintf(", %s ohm inside", figure(s.Ohms))
	}
	if s.OtherA > 0 {
		w += fmt.Sprintf(", %s A of it for others", figure(s.OtherA))
	}
	return w
}

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

// bright tells of the luminance that is asked for, and of what dims it.
func (d *Difference) bright(a, b *result.Bright) {
	if a == nil && b == nil || same(a, b) {
		return
	}
	if a == nil || b == nil {
		d.tell("bright", "", "", "how bright the lettering is: %s", map[bool]string{true: "known now, it was not", false: "not known any more"}[a == nil])
		return
	}
	told := len(d.Changes)
	asked := slices.Concat(changedTo("for", a.Use, b.Use), now("full", a.Full, b.Full, 1, "cd/m²"), now("down to", a.Night, b.Night, 2, "cd/m²"), now("dimmer's bits", float64(a.Bits), float64(b.Bits), 0, ""))
	var does []string
	for _, m := range a.Dimmers {
		k := slices.IndexFunc(b.Dimmers, func(n result.Dimmer) bool { return n.Group == m.Group })
		if k < 0 {
			asked = append(asked, fmt.Sprintf("no group %s any more", m.Group))
			continue
		}
		n, of := b.Dimmers[k], ""
		if m.Group != "" {
			of = "group " + m.Group + ": "
			asked = slices.Concat(asked, changedTo(of+"for", m.Use, n.Use), now(of+"full", m.Most, n.Most, 1, "cd/m²"), now(of+"down to", m.Least, n.Least, 2, "cd/m²"),
				now(of+"dimmer's bits", float64(m.Has), float64(n.Has), 0, ""))
		}
		does = slices.Concat(does, now(of+"all on the lettering has", m.Level, n.Level, 1, "cd/m²"), now(of+"at its full mark the dimmer is on for", 100*m.Full, 100*n.Full, 1, "% of the time"),
			now(of+"at its least for", 100*m.Night, 100*n.Night, 2, "%"), now(of+"bits wanted", float64(m.Bits), float64(n.Bits), 0, ""), now(of+"one step is", m.Step, n.Step, 2, "cd/m²"))
	}
	for _, n := range b.Dimmers {
		if !slices.ContainsFunc(a.Dimmers, func(m result.Dimmer) bool { return m.Group == n.Group }) {
			asked = append(asked, fmt.Sprintf("group %s is new, full %s cd/m²", n.Group, figure(n.Most)))
		}
	}
	if len(asked) > 0 {
		d.tell("bright", "", "", "how bright the lettering is to be: %s", strings.Join(asked, "; "))
	}
	if len(does) > 0 {
		d.tell("dimmer", "", "", "what dims the lettering: %s", strings.Join(does, "; "))
	}
	if told == len(d.Changes) && !slices.ContainsFunc(d.Changes, func(c Change) bool { return c.Code == "light" || c.Code == "string" || c.Code == "currents" }) {
		d.tell("dimmer", "", "", "the LEDs' currents, the lettering's luminance, or how a camera checks it, are others by themselves")
	}
}

func changedTo(what, a, b string) []string {
	if a == b {
		return nil
	}
	return []string{fmt.Sprintf("%s %s, now %s", what, orNone(a), orNone(b))}
}

// ordersOf leaves out what follows from the files.
func ordersOf(c result.Console) []result.Order {
	all := slices.Clone(c.Orders)
	for i := range all {
		all[i].Files, all[i].Travel = nil, nil
	}
	return all
}

func arrays(all []result.Order) string {
	if len(all) == 0 {
		return "each by itself"
	}
	var out []string
	for _, o := range all {
		out = append(out, fmt.Sprintf("%d of %s x %s mm with %d boards", o.Quantity, figure(o.Width), figure(o.Height), len(o.Boards)))
	}
	return strings.Join(out, " and ")
}

// nests tells of the stock that the sheets take.
func (d *Difference) nests(was, is []result.Nest) {
	say := func(format string, args ...any) { d.tell("nest", "", "", format, args...) }
	key := func(n result.Nest) string {
		return fmt.Sprintf("%s sheets on %s x %s mm", sheetNames(n.Sheet), figure(n.Width), figure(n.Height))
	}
	of := func(all []result.Nest, k int) []result.Nest { // kinds may lie on several sizes of stock: in their order
		var out []result.Nest
		for _, n := range all {
			if n.Sheet == all[k].Sheet {
				out = append(out, n)
			}
		}
		return out
	}
	seen := map[string]bool{}
	for _, all := range [2][]result.Nest{was, is} {
		for k, n := range all {
			if seen[n.Sheet] {
				continue
			}
			seen[n.Sheet] = true
			find := func(side []result.Nest) []result.Nest {
				if i := slices.IndexFunc(side, func(o result.Nest) bool { return o.Sheet == n.Sheet }); i >= 0 {
					return of(side, i)
				}
				return nil
			}
			_ = k
			a, b := find(was), find(is)
			for i := range max(len(a), len(b)) {
				switch {
				case i >= len(a):
					say("%s of stock: new, %d of them", key(b[i]), b[i].Sheets)
				case i >= len(b):
					say("%s of stock: no longer, %d of them before", key(a[i]), a[i].Sheets)
				default:
					if how := nested(a[i], b[i]); len(how) > 0 {
						say("%s of stock: %s", key(b[i]), strings.Join(how, "; "))
					}
				}
			}
		}
	}
}

func nested(a, b result.Nest) (how []string) {
	if a.Width != b.Width || a.Height != b.Height {
		how = append(how, fmt.Sprintf("the stock was %s x %s mm", figure(a.Width), figure(a.Height)))
	}
	how = slices.Concat(how, now("taken", float64(a.Sheets), float64(b.Sheets), 0, ""), now("pieces", float64(len(a.Pieces)), float64(len(b.Pieces)), 0, ""),
		now("used of the last one's width", a.Used, b.Used, 1, "mm"), now("between pieces", a.Gap, b.Gap, 1, "mm"), now("to the edge", a.Edge, b.Edge, 1, "mm"))
	if !slices.Equal(a.TooLarge, b.TooLarge) {
		how = append(how, fmt.Sprintf("too large for it: %s, now %s", few(a.TooLarge), few(b.TooLarge)))
	}
	if len(how) == 0 && !same(a.Pieces, b.Pieces) {
		how = []string{"pieces lie elsewhere on as many"}
	}
	return how
}

// work tells of work and cost.
func (d *Difference) work(a, b *result.Cost) {
	switch {
	case a == nil && b == nil || same(a, b):
		return
	case a == nil || b == nil:
		d.Unknown = append(d.Unknown, "work and cost, as one side does not tell them")
		return
	}
	var how []string
	slight := true
	for i := range min(len(a.Of), len(b.Of)) {
		x, y := a.Of[i], b.Of[i]
		of := ""
		if i > 0 {
			of = "for all consoles "
		}
		how = slices.Concat(how, now(of+"by hand", x.Hands, y.Hands, 0, "minutes"), now(of+"of the laser", x.Laser, y.Laser, 0, "minutes"))
		slight = slight && math.Abs(x.Hands-y.Hands) < 1 && math.Abs(x.Laser-y.Laser) < 1 && x.Total == y.Total
		if u, v := money(x.Total, a.Currency), money(y.Total, b.Currency); u != v {
			how = append(how, fmt.Sprintf("%scosts %s, now %s", of, u, v))
		}
	}
	if len(how) == 0 {
		how = []string{"counted otherwise, or for another number: see cost.csv"}
	}
	d.tell("work", "", "", "work and cost: %s", strings.Join(how, "; "))
	d.slightly(slight)
}

func money(total, currency string) string {
	if total == "" {
		return "not told"
	}
	return strings.TrimSpace(total + " " + currency)
}

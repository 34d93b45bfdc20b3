package compare

import (
	"cmp"
	"fmt"
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

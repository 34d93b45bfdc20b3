package compare

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/export/result"
)

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
	asked := slices.Concat(changedTo("for", a.Use, b.Use), level("full", a.Full, b.Full, " cd/m²"), level("down to", a.Night, b.Night, " cd/m²"), level("dimmer's bits", float64(a.Bits), float64(b.Bits), ""))
	var does []string
	for _, m := range a.Dimmers {
		k := slices.IndexFunc(b.Dimmers, func(n result.Dimmer) bool { return n.Group == m.Group })
		if k < 0 {
			if m.Group == "" {
				continue
			}
			asked = append(asked, fmt.Sprintf("no group %s any more", m.Group))
			continue
		}
		n, of := b.Dimmers[k], ""
		if m.Group != "" {
			of = "group " + m.Group + ": "
			asked = slices.Concat(asked, changedTo(of+"for", m.Use, n.Use), level(of+"full", m.Most, n.Most, " cd/m²"), level(of+"down to", m.Least, n.Least, " cd/m²"),
				level(of+"dimmer's bits", float64(m.Has), float64(n.Has), ""))
		}
		does = slices.Concat(does, now(of+"all on the lettering has", m.Level, n.Level, 1, "cd/m²"), now(of+"at its full mark the dimmer is on for", 100*m.Full, 100*n.Full, 1, "% of the time"),
			now(of+"at its least for", 100*m.Night, 100*n.Night, 2, "%"), now(of+"bits wanted", float64(m.Bits), float64(n.Bits), 0, ""), now(of+"one step is", m.Step, n.Step, 2, "cd/m²"))
	}
	for _, n := range b.Dimmers {
		if n.Group != "" && !slices.ContainsFunc(a.Dimmers, func(m result.Dimmer) bool { return m.Group == n.Group }) {
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

// level is a figure that may not be asked for.
func level(what string, a, b float64, unit string) []string {
	of := func(v float64) string {
		if v == 0 {
			return "none asked"
		}
		return figure(v) + unit
	}
	if of(a) == of(b) {
		return nil
	}
	return []string{fmt.Sprintf("%s %s, now %s", what, of(a), of(b))}
}

func changedTo(what, a, b string) []string {
	if a == b {
		return nil
	}
	return []string{fmt.Sprintf("%s %s, now %s", what, orNone(a), orNone(b))}
}

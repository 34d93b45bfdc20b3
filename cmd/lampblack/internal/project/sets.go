package project

import (
	"slices"
	"strconv"
	"strings"

	"lampblack/led/bright"
	"lampblack/panel/diag"
)

// SetsOf returns the groups that are sets of LEDs of a panel, each of which lights all of its lettering by itself; nothing where there
// are not two at least.
func (p Project) SetsOf(panel string) []Group {
	var out []Group
	for _, g := range p.Groups {
		if g.Set && (len(g.Panels) == 0 || slices.ContainsFunc(g.Panels, func(n string) bool { return strings.EqualFold(n, panel) })) {
			out = append(out, g)
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// setSense tells sets that cannot be told apart: each is of one kind of LED, and of a colour of its own.
func (r *reader) setSense(p *Project) {
	for i, g := range p.Groups {
		if !g.Set {
			continue
		}
		key := "groups." + strconv.Itoa(i)
		if len(g.LEDs) != 1 || g.Lights != "" {
			f := r.diags.Add(diag.Error, "project-set-kind", "the set %s must be of one kind of LED, which its leds name, and light all of the lettering", g.Name)
			f.Place = p.Place(key)
			f.Fix("write it as {name: night, leds: [red-3mm], set: yes}")
			continue
		}
		one, ok := p.Kind(g.LEDs[0])
		for _, o := range p.Groups[:i] {
			if !o.Set || len(o.LEDs) != 1 || !share(g.Panels, o.Panels) {
				continue
			}
			if k, known := p.Kind(o.LEDs[0]); ok && known && k.RGB == one.RGB {
				f := r.diags.Add(diag.Error, "project-set-kind", "the sets %s and %s are of LEDs of one colour, %s", o.Name, g.Name, one.Name)
				f.Place = p.Place(key + ".leds")
				f.Fix("take another colour for one of them; one set that is dimmed does for two levels of one colour")
			}
		}
	}
}

// Wish returns how bright the lettering is to be.
func (p Project) Wish() bright.Wish {
	w := bright.Wish{Levels: p.Bright}
	for _, g := range p.Groups {
		if g.Bright.Any() {
			w.Groups = append(w.Groups, bright.GroupLevels{Group: g.Name, Levels: g.Bright})
		}
	}
	return w
}

// brightSense tells levels of groups that no current can keep: LEDs of one kind on a panel have one current, whatever groups they are of.
func (r *reader) brightSense(p *Project) {
	for i, g := range p.Groups {
		if !g.Bright.Any() {
			continue
		}
		at := p.Place("groups." + strconv.Itoa(i) + ".bright")
		if len(g.LEDs) == 0 || g.Lights != "" {
			f := r.diags.Add(diag.Error, "project-group-bright", "the group %s has levels of its own, so it must name its kinds of LED, and be all of them on its panels: LEDs of one kind have one current", g.Name)
			f.Place = at
			f.Fix("write it as {name: night, leds: [red-3mm], bright: night-adapted desk}, with a kind that no other group has there")
			continue
		}
		for _, o := range p.Groups[:i] { // a later one has what is left
			for _, kind := range g.LEDs {
				if o.Lights != "" && share(g.Panels, o.Panels) && o.Bright != g.Bright && (len(o.LEDs) == 0 || slices.ContainsFunc(o.LEDs, func(n string) bool { return strings.EqualFold(n, kind) })) {
					f := r.diags.Add(diag.Error, "project-group-bright", "the group %s has levels of its own, but those of %s that light %s are of group %s: LEDs of one kind have one current on a panel", g.Name, kind, o.Lights, o.Name)
					f.Place = at
					f.Fix("name another kind in the leds of one of them, or name group %s first", g.Name)
				}
			}
		}
	}
}

// share reports whether two lists of panels, of which an empty one stands for all, have one in common.
func share(a, b []string) bool {
	return len(a) == 0 || len(b) == 0 || slices.ContainsFunc(a, func(n string) bool {
		return slices.ContainsFunc(b, func(m string) bool { return strings.EqualFold(n, m) })
	})
}

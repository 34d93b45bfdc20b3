package project

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/read"
)

func colourNames() []string {
	var out []string
	for _, c := range part.Colours() {
		out = append(out, c.Name)
	}
	return out
}

// Kind returns the LED kind of that name: the project's own, or the catalogue's.
func (p Project) Kind(name string) (part.LED, bool) {
	for _, k := range p.Kinds {
		if k.Name == name {
			return k, true
		}
	}
	return part.Find(name)
}

// kinds tells LED kinds that nobody describes, and currents above a kind's maximum.
func (r *reader) kinds(p *Project) {
	var known []string
	for _, k := range p.Kinds {
		known = append(known, k.Name)
	}
	for _, k := range part.Kinds() {
		known = append(known, k.Name)
	}
	check := func(key, name string) (part.LED, bool) {
		k, ok := p.Kind(name)
		if ok {
			return k, true
		}
		f := r.diags.Add(diag.Error, "project-unknown-led", "there is no LED kind %s", strconv.Quote(name))
		f.Place = p.Place(key)
		if s, ok := diag.Nearest(name, known); ok {
			f.Fix("did you mean %s? The kinds are: %s", s, strings.Join(known, ", ")).By("write "+s, diag.Set, key, s)
		} else {
			f.Fix("use one of %s, or describe it under leds", strings.Join(known, ", "))
		}
		return k, false
	}
	limit := func(key, panel string, k part.LED, i part.Amp) {
		if k.IMax > 0 && i > k.IMax {
			f := r.diags.Add(diag.Error, "project-current-high", "%.4g mA is above the %.4g mA that %s survives", float64(i)*1e3, float64(k.IMax)*1e3, k.Name).Of(panel)
			f.Place = p.Place(key)
			f.Fix("choose at most %.3g mA; half of the maximum is common for panels that are read in the dark", float64(k.IMax)*1e3)
			own := "defaults.current"
			if panel != "" {
				own = diag.PanelKey(panel, "current")
			}
			half := k.IMax / 2
			f.By(fmt.Sprintf("give each %v, half of the maximum", half), diag.Set, own, half.String()).By("give each "+k.IMax.String(), diag.Set, own, k.IMax.String())
		}
	}
	named := func(rules []read.KindRule, name string) bool {
		return slices.ContainsFunc(rules, func(k read.KindRule) bool { return k.Kind == name })
	}
	for i, k := range p.Defaults.LEDs {
		at := join("defaults.led", strconv.Itoa(i))
		if kind, ok := check(join(at, "kind"), k.Kind); ok {
			limit(at, "", kind, p.Defaults.Current)
		}
	}
	usual, ok := p.Kind(p.Defaults.LED)
	if !named(p.Defaults.LEDs, p.Defaults.LED) { // else it is checked with the rules
		if usual, ok = check("defaults.led", p.Defaults.LED); ok {
			limit("defaults.current", "", usual, p.Defaults.Current)
		}
	}
	for i, q := range p.Panels {
		key := "panels." + strconv.Itoa(i)
		own := r.has(join(key, "led"))
		current, at := p.Defaults.Current, join(key, "led")
		if q.Current != 0 {
			current, at = q.Current, join(key, "current")
		}
		for n, k := range q.LEDs {
			kind, good := p.Kind(k.Kind)
			if own {
				kind, good = check(join(join(key, "led"), strconv.Itoa(n)+".kind"), k.Kind)
			}
			if good && (own || q.Current != 0) {
				limit(at, q.Name, kind, current)
			}
		}
		k, good := usual, ok
		switch {
		case named(q.LEDs, q.LED):
			continue // it is checked with the rules
		case q.LED != "":
			k, good = check(join(key, "led"), q.LED)
		}
		if good && (q.LED != "" || q.Current != 0) {
			limit(at, q.Name, k, current)
		}
	}
}

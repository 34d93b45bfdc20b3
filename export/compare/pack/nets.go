package pack

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"lampblack/export"
)

// nets tells whether the pins of parts that both boards have are joined as they were, whatever nets are called.
func (c *comparison) nets() {
	was, names := netsOf(c.was.Artwork, func(ref string) string { return c.joined[0][ref] })
	is, now := netsOf(c.is.Artwork, func(ref string) string {
		if _, ok := c.joined[1][ref]; ok {
			return ref
		}
		return ""
	})
	if len(was) == 0 || len(is) == 0 {
		return
	}
	var odd []string
	for _, k := range slices.Sorted(maps.Keys(was)) {
		if _, ok := is[k]; !ok {
			odd = append(odd, was[k]+" ("+list(strings.Fields(k))+")")
		}
	}
	if len(odd) > 0 {
		c.say("nets", "pins are joined otherwise, no longer so: %s", list(odd))
		c.no("its pins are joined otherwise")
		return
	}
	other := 0
	for k, n := range was {
		if is[k] != n {
			other++
		}
	}
	if other > 0 && names && now {
		c.say("net-names", "%s another name", map[bool]string{true: "1 net has", false: fmt.Sprintf("%d nets have", other)}[other == 1])
	}
}

// netsOf returns the names of nets by the pins that they join, of those parts that name gives one.
func netsOf(a export.Artwork, name func(string) string) (out map[string]string, named bool) {
	pins := map[string][]string{}
	for _, l := range a.Layers {
		if !l.Function.Copper() {
			continue
		}
		for _, o := range l.Objects {
			if o.Pin == "" || !o.HasNet || o.Net == "" || o.Net == "N/C" {
				continue
			}
			if ref := name(o.Ref); ref != "" {
				if pin := ref + "-" + o.Pin; !slices.Contains(pins[o.Net], pin) {
					pins[o.Net] = append(pins[o.Net], pin)
				}
			}
		}
	}
	out = map[string]string{}
	for _, net := range slices.Sorted(maps.Keys(pins)) {
		all := pins[net]
		slices.SortFunc(all, natural)
		if len(all) > 1 {
			out[strings.Join(all, " ")] = net
		}
	}
	return out, len(pins) > 0
}

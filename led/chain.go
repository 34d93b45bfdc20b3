package led

import (
	"strings"

	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
)

// chains returns the chains as indices into panels.
func chains(panels []panel.Panel, req Request) ([][]int, diag.List) {
	var l diag.List
	index := map[string]int{}
	var names []string
	for i, p := range panels {
		if _, ok := index[p.Name]; ok {
			l.Add(diag.Error, "led-panel-name-twice", "two panels are called %q, so the chain cannot tell them apart", p.Name).Of(p.Name).
				Fix("give each panel a name of its own")
			continue
		}
		index[p.Name] = i
		names = append(names, p.Name)
	}
	used := make([]bool, len(panels))
	var out [][]int
	for _, c := range req.Chains {
		var chain []int
		for _, name := range c {
			i, ok := index[name]
			switch {
			case !ok:
				f := l.Add(diag.Error, "led-chain-unknown-panel", "the chain names a panel %q that there is not", name)
				if n := nearest(name, names); n != "" {
					f.Fix("did you mean %q? The panels are %s", n, strings.Join(names, ", "))
				} else {
					f.Fix("the panels are %s", strings.Join(names, ", "))
				}
			case used[i]:
				l.Add(diag.Error, "led-chain-panel-twice", "the chain names the panel %q twice, so its feed would be a loop", name).Of(name).
					Fix("name each panel once, in the order of the wires from the supply")
			default:
				used[i] = true
				chain = append(chain, i)
			}
		}
		if len(chain) > 0 {
			out = append(out, chain)
		}
	}
	var rest []int
	for _, i := range indices(names, index) {
		if !used[i] {
			rest = append(rest, i)
		}
	}
	if len(rest) == 0 {
		return out, l
	}
	if len(req.Chains) > 0 {
		for _, i := range rest {
			l.Add(diag.Warning, "led-chain-panel-missing", "no chain names the panel %q; it is taken to hang on a feed of its own from the supply", panels[i].Name).
				Of(panels[i].Name).Fix("add it to the chain, in the order of the wires from the supply")
		}
	}
	return append(out, rest), l
}

func indices(names []string, index map[string]int) []int {
	out := make([]int, len(names))
	for i, n := range names {
		out[i] = index[n]
	}
	return out
}

// feedTo returns the feed segment that leads to a board: its wire, and one contact at either end.
func (r Request) feedTo(s Settings) Feed {
	metres := s.FeedLength.MM() / 1000
	return Feed{
		Wire:   r.Wire.Text,
		Length: s.FeedLength,
		Ohms:   part.Ohm(float64(r.Wire.At(r.WireCelsius))*metres) + 2*r.ContactOhms,
	}
}

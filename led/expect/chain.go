package expect

import (
	"slices"

	"lampblack/led"
	"lampblack/led/solve"
)

// Step is what a console shows once a further board is on the feed, and none behind it.
type Step struct {
	Chain int    // from 1
	Panel string // that is added
	Back  bool   // nothing is added but the feed from behind, of a chain fed at both ends
	Own   Span   // A, what was added
	Amps  Span   // A, of all boards so far together
	Volts Span   // V across the added board, at its OUT connector
}

// Chain returns the console as it grows board by board along its feeds, at its own supply and without its other loads; nil where one of
// these has no operating point.
func Chain(c led.Circuit) []Step {
	grown := c
	grown.Source.Others, grown.Source.Steps, grown.Chains = nil, nil, nil
	var out []Step
	add := func(s Step) bool {
		k := solve.Ready(with(grown, c.Boards))
		var ok bool
		if s.Amps, ok = ampsOf(k); !ok {
			return false
		}
		if tap := tapOf(k.Boards, s.Panel); tap >= 0 {
			if s.Volts, ok = voltsAt(k, tap); !ok {
				return false
			}
		}
		s.Own = s.Amps
		if n := len(out); n > 0 {
			was := out[n-1].Amps
			s.Own = Span{s.Amps.Least - was.Least, s.Amps.Usual - was.Usual, s.Amps.Most - was.Most}
		}
		out = append(out, s)
		return true
	}
	for _, i := range inOrder(c.Chains) {
		chain := c.Chains[i]
		grown.Chains = append(grown.Chains, chain)
		at := &grown.Chains[len(grown.Chains)-1]
		at.BothEnds = false
		for n, link := range chain.Links {
			at.Links = chain.Links[:n+1]
			if !add(Step{Chain: i + 1, Panel: link.Panel}) {
				return nil
			}
		}
		if n := len(chain.Links); chain.BothEnds && n > 0 {
			at.BothEnds = true
			if !add(Step{Chain: i + 1, Panel: chain.Links[n-1].Panel, Back: true}) {
				return nil
			}
		}
	}
	return out
}

// inOrder returns the chains so that each comes behind the one that has the board it starts from.
func inOrder(chains []led.Chain) (out []int) {
	known := map[string]bool{"": true} // looked up only
	for len(out) < len(chains) {
		before := len(out)
		for i, c := range chains {
			if known[c.From] && !slices.Contains(out, i) {
				out = append(out, i)
				for _, k := range c.Links {
					known[k.Panel] = true
				}
			}
		}
		if len(out) == before {
			return out // the rest start from what is on no feed
		}
	}
	return out
}

// with returns the circuit with those boards alone that its chains have.
func with(c led.Circuit, boards []led.Wiring) led.Circuit {
	c.Boards = slices.DeleteFunc(slices.Clone(boards), func(w led.Wiring) bool {
		return !slices.ContainsFunc(c.Chains, func(ch led.Chain) bool {
			return slices.ContainsFunc(ch.Links, func(k led.Link) bool { return k.Panel == w.Panel })
		})
	})
	return c
}

// tapOf returns the tap of a board at its first conductor that has LEDs, -1 where none has.
func tapOf(boards []led.Wiring, panel string) int {
	tap := 0
	for _, w := range boards {
		if w.Panel == panel {
			for g := range w.Conductors() {
				if w.LEDsFed(g) > 0 {
					return tap + g
				}
			}
			return -1
		}
		tap += len(w.Conductors())
	}
	return -1
}

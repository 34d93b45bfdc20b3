package flow

import (
	"lampblack/led"
	"lampblack/led/chance"
	"lampblack/panel/diag"
)

// A console of more strings than any desk has is built fewer times, so that a call ends within seconds; the result tells how
// often.
const (
	mostDraws     = 40_000_000
	leastConsoles = 50
)

// spread builds consoles by chance, when asked for.
func (s *session) spread(out *Outcome) {
	if s.set.Consoles <= 0 || len(out.Circuit.Boards) == 0 || out.Findings.HasErrors() {
		return
	}
	strings := 0
	for _, w := range out.Circuit.Boards {
		strings += len(w.Strings)
	}
	consoles := min(s.set.Consoles, max(leastConsoles, mostDraws/max(strings, 1)))
	found := guard(func() {
		var err error
		if out.Spread, err = chance.Spread(s.ctx, out.Circuit, s.request, s.set.Seed, consoles); err != nil {
			out.Spread = led.Spread{}
			out.Findings.Add(diag.Warning, "led-spread", "how consoles of parts as they are sold would spread could not be computed: %v", err).
				About("supply").Fix("the supply is near its limit; see what else is told of it")
		}
	})
	if found != nil {
		out.Findings = append(out.Findings, *found)
	}
}

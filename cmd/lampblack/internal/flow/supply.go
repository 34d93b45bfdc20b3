package flow

import (
	"lampblack/led"
	"lampblack/panel/diag"
)

// BatteryResult is what a battery does for the console; light is relative to that at the nominal voltage.
type BatteryResult struct {
	Chemistry     string  `json:"chemistry"`
	Cells         int     `json:"cells"`
	CapacityAh    float64 `json:"capacity_ah,omitempty"`
	LightFull     float64 `json:"light_full"`
	LightCharging float64 `json:"light_charging"`
	LightEmpty    float64 `json:"light_empty"`
	Hours         float64 `json:"hours,omitempty"`
	PlanHours     float64 `json:"plan_hours,omitempty"`
}

// SpreadResult is how consoles built from parts drawn by chance come out; light is relative to the current asked for.
type SpreadResult struct {
	Seed     uint64             `json:"seed"`
	Consoles int                `json:"consoles"`
	Panels   []PanelLightResult `json:"panels"`
	Evenness PercentilesResult  `json:"evenness"` // darkest panel over brightest
	DemandA  PercentilesResult  `json:"demand_a"`
}

// PanelLightResult is the light of one panel.
type PanelLightResult struct {
	Panel string            `json:"panel"`
	Light PercentilesResult `json:"light"`
}

// PercentilesResult are values that 5, 50 and 95 of a hundred consoles stay below.
type PercentilesResult struct {
	P5  float64 `json:"p5"`
	P50 float64 `json:"p50"`
	P95 float64 `json:"p95"`
}

// A console of more strings than any desk has is built fewer times, so that a call ends within seconds; the result tells how
// often.
const (
	mostDraws     = 40_000_000
	leastConsoles = 50
)

// spread builds consoles by chance, when asked for.
func (s *session) spread(out *Outcome) {
	if s.set.Consoles <= 0 || out.Circuit.Boards == nil || out.Findings.HasErrors() {
		return
	}
	strings := 0
	for _, w := range out.Circuit.Boards {
		strings += len(w.Strings)
	}
	consoles := min(s.set.Consoles, max(leastConsoles, mostDraws/max(strings, 1)))
	found := guard(func() {
		var err error
		if out.Spread, err = led.SpreadOf(out.Circuit, Request(s.project, s.drawings), s.set.Seed, consoles); err != nil {
			out.Spread = led.Spread{}
			out.Findings.Add(diag.Warning, "led-spread", "how consoles of parts as they are sold would spread could not be computed: %v", err).
				Fix("the supply is near its limit; see what else is told of it")
		}
	})
	if found != nil {
		out.Findings = append(out.Findings, *found)
	}
}

func batteryResult(b led.Battery) *BatteryResult {
	if !b.Any() {
		return nil
	}
	return &BatteryResult{
		b.Chemistry.Name, b.Cells, num(b.AmpHours, 6), num(b.Full, 4), num(b.Charging, 4), num(b.Empty, 4), num(b.Hours, 3), num(b.PlanHours, 3),
	}
}

func spreadResult(s led.Spread) *SpreadResult {
	if s.Consoles == 0 {
		return nil
	}
	of := func(p led.Percentiles) PercentilesResult {
		return PercentilesResult{num(p.P5, 5), num(p.P50, 5), num(p.P95, 5)}
	}
	r := &SpreadResult{Seed: s.Seed, Consoles: s.Consoles, Panels: []PanelLightResult{}, Evenness: of(s.Evenness), DemandA: of(s.Demand)}
	for _, p := range s.Panels {
		r.Panels = append(r.Panels, PanelLightResult{p.Panel, of(p.Light)})
	}
	return r
}

func chainResult(c led.Chain) ChainResult {
	r := ChainResult{From: c.From, Links: []LinkResult{}, BothEnds: c.BothEnds}
	for _, k := range c.Links {
		r.Links = append(r.Links, LinkResult{
			Panel: k.Panel, SegmentA: num(float64(k.Segment), 9), SegmentWorstA: num(float64(k.SegmentWorst), 9),
			Volts: num(float64(k.Volts), 6), RelativeLight: num(k.RelativeLight, 6), OfAsked: num(k.OfAsked, 6),
			FeedMM: k.Feed.Length.MM(), FeedOhms: num(float64(k.Feed.Ohms), 9),
		})
	}
	if n := len(r.Links); c.BothEnds && n > 0 {
		back := r.Links[n-1]
		back.SegmentA, back.SegmentWorstA = num(float64(c.BackAmps), 9), num(float64(c.BackWorst), 9)
		back.FeedMM, back.FeedOhms = c.Back.Length.MM(), num(float64(c.Back.Ohms), 9)
		r.Back = &back
	}
	return r
}

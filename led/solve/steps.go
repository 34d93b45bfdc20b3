package solve

import (
	"slices"

	"lampblack/led"
	"lampblack/led/part"
)

// light returns the mean LED current at a point with nominal parts, relative to that of the strings as they are set.
func (k *Console) light(p Point) float64 {
	sum, usual := 0.0, 0.0
	for _, c := range k.Classes {
		i, _ := branch(k.Source, c, corner{}, 1).At(k.Across(p, c.Tap))
		first := c.Members[0]
		weight := float64(c.LEDs * len(c.Members))
		sum += float64(weight * i)
		usual += float64(weight * float64(k.Boards[first.Board].Strings[first.ID].Nominal))
	}
	if usual == 0 {
		return 0
	}
	return sum / usual
}

// steps sets what switching on each of the other loads does while everything else is on, where the supply has a resistance.
func (k *Console) steps() {
	src := &k.Source
	src.Steps = nil
	if src.Ohms <= 0 {
		return
	}
	with := func(others []led.Load) (Point, float64, bool) {
		n := k.net
		n.others = others
		p := Point{e: float64(src.Nominal), loads: k.loads(corner{})}
		var err error
		if p.v, err = n.compile().solve(p.e, p.loads, nil); err != nil {
			return p, 0, false
		}
		return p, k.light(p), true
	}
	for i, o := range src.Others {
		rest := slices.Delete(slices.Clone(src.Others), i, i+1)
		off, bright, ok := with(rest)
		if !ok || bright == 0 {
			continue
		}
		s := led.Step{Name: o.Name, Before: part.Volt(off.v[terminal]), After: src.Volts, Light: 1 / bright}
		if o.Inrush > 0 {
			p, light, ok := with(append(rest, led.Load{Amps: o.Inrush}))
			s.Momentary = true
			if s.Inrush, s.InrushLight = part.Volt(0), 0; ok {
				s.Inrush, s.InrushLight = part.Volt(max(0, p.v[terminal])), light/bright
			}
		}
		src.Steps = append(src.Steps, s)
	}
}

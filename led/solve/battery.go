package solve

import "lampblack/led/part"

// onBattery computes the light and the runtime of a battery.
func (k *Console) onBattery() error {
	b := &k.Source.Battery
	if !b.Any() {
		return nil
	}
	loads := k.loads(corner{})
	light := func(cell part.Volt) (float64, error) {
		p := Point{e: float64(cell) * float64(b.Cells), loads: loads}
		var err error
		if p.v, err = k.solver.solve(p.e, p.loads, nil); err != nil {
			return 0, err
		}
		sum, usual := 0.0, 0.0
		for _, c := range k.Classes {
			i, _ := branch(k.Source, c, corner{}, 1).At(k.Across(p, c.Tap))
			first := c.Members[0]
			weight := float64(c.LEDs * len(c.Members))
			sum += float64(weight * i)
			usual += float64(weight * float64(k.Boards[first.Board].Strings[first.ID].Nominal))
		}
		if usual == 0 {
			return 0, nil
		}
		return sum / usual, nil
	}
	var err error
	if b.Empty, err = light(b.Chemistry.Empty); err != nil {
		return err
	}
	if b.Full, err = light(b.Chemistry.Full); err != nil {
		return err
	}
	if b.Charging, err = light(b.Chemistry.Most); err != nil {
		return err
	}
	if load := float64(k.Source.Typical + k.Source.Other); load > 0 && b.AmpHours > 0 {
		b.Hours = b.AmpHours / load
		b.PlanHours = b.Hours * b.Chemistry.Usable
	}
	return nil
}

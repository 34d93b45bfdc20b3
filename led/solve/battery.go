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
		return k.light(p), nil
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

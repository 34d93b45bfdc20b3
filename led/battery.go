package led

import (
	"fmt"

	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Battery is a supply's battery, and what it does for the console. The zero Battery is none.
type Battery struct {
	Chemistry part.Chemistry
	Cells     int     // in series
	AmpHours  float64 // as its label has it; 0: not told

	// Filled in by Settle.
	Empty, Full, Charging float64 // mean LED current there relative to nominal
	Hours                 float64 // typical load from full to empty, by the label
	PlanHours             float64 // what to plan with: the usable share of it
}

// Any reports whether there is a battery.
func (b Battery) Any() bool { return b.Cells > 0 }

// onBattery computes the light and the runtime of a battery.
func (k *console) onBattery() error {
	b := &k.Source.Battery
	if !b.Any() {
		return nil
	}
	loads := k.loads(corner{})
	light := func(cell part.Volt) (float64, error) {
		p := point{e: float64(cell) * float64(b.Cells), loads: loads}
		var err error
		if p.v, err = k.solver.solve(p.e, p.loads, nil); err != nil {
			return 0, err
		}
		sum, usual := 0.0, 0.0
		for _, c := range k.classes {
			i, _ := k.Source.branch(c, corner{}, 1).at(k.across(p, c.tap))
			first := c.members[0]
			weight := float64(c.leds * len(c.members))
			sum += float64(weight * i)
			usual += float64(weight * float64(k.Boards[first.board].Strings[first.id].Nominal))
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

// judgeBattery tells what a battery does for the console.
func judgeBattery(c Circuit) diag.List {
	var l diag.List
	b := c.Source.Battery
	if !b.Any() {
		return l
	}
	text := fmt.Sprintf("light on the battery: %.0f %% when full, %.0f %% on the charger, %.0f %% when empty, of what it is at %v", 100*b.Full, 100*b.Charging, 100*b.Empty, c.Source.Nominal)
	if b.Hours > 0 {
		text += fmt.Sprintf("; plan with %s at the typical load, of the %s that its label promises", hours(b.PlanHours), hours(b.Hours))
	}
	l.Add(diag.Note, "led-battery", "%s", text).
		Fix("the label holds for a new battery, discharged slowly at room temperature; cold, age and fast discharge take a good part of it. Put the fuse at the battery's terminal, and stop at %v", b.Chemistry.Empty*part.Volt(b.Cells))
	if b.Empty < 0.3 {
		l.Add(diag.Warning, "led-battery-dim", "when the battery is empty, the light is down to %.0f %%", 100*b.Empty).
			Fix("put fewer LEDs in series, or put a regulator between battery and console")
	}
	return l
}

// hours writes a time as one would say it.
func hours(h float64) string {
	switch {
	case h >= 72:
		return fmt.Sprintf("%.0f days", h/24)
	case h >= 10:
		return fmt.Sprintf("%.0f h", h)
	case h >= 1:
		return fmt.Sprintf("%.1f h", h)
	}
	return fmt.Sprintf("%.0f min", h*60)
}

package judge

import (
	"fmt"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// judgeBattery tells what a battery does for the console.
func judgeBattery(c led.Circuit) diag.List {
	var l diag.List
	b := c.Source.Battery
	if !b.Any() {
		return l
	}
	text := fmt.Sprintf("light on the battery: %.0f %% when full, %.0f %% on the charger, %.0f %% when empty, of what it is at %v", 100*b.Full, 100*b.Charging, 100*b.Empty, c.Source.Nominal)
	if b.Hours > 0 {
		text += fmt.Sprintf("; plan with %s at the typical load, of the %s that its label promises", hours(b.PlanHours), hours(b.Hours))
	}
	l.Add(diag.Note, "led-battery", "%s", text).About("supply.battery").
		Fix("the label holds for a new battery, discharged slowly at room temperature; cold, age and fast discharge take a good part of it. Put the fuse at the battery's terminal, and stop at %v", b.Chemistry.Empty*part.Volt(b.Cells))
	if b.Empty < 0.3 {
		l.Add(diag.Warning, "led-battery-dim", "when the battery is empty, the light is down to %.0f %%", 100*b.Empty).About("supply.battery").
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

package judge

import (
	"fmt"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// Steps of the light that are told: a step of 2 % is just seen (Weber's fraction of the eye; common practice), one of a tenth
// disturbs.
const (
	seenStep   = 0.02
	strongStep = 0.10
)

// judgeSwitching tells what switching on other loads does to the light, and whether the supply stands their inrush. Boards of LEDs
// and resistors have none of their own: they hold no capacitors.
func judgeSwitching(s led.Source) diag.List {
	var l diag.List
	for _, x := range s.Steps {
		name := x.Name
		if name == "" {
			name = "an other load"
		}
		worst := 1 - x.Light
		if x.Momentary {
			worst = max(worst, 1-x.InrushLight)
		}
		if worst < seenStep {
			continue
		}
		sev := diag.Note
		if worst > strongStep {
			sev = diag.Warning
		}
		text := fmt.Sprintf("when %s is switched on, the supply falls from %s to %s V and the light by %.0f %%", name,
			part.Trimmed(float64(x.Before), 2), part.Trimmed(float64(x.After), 2), 100*(1-x.Light))
		if x.Momentary {
			text += fmt.Sprintf(", for a moment to %s V and by %.0f %%", part.Trimmed(float64(x.Inrush), 2), 100*(1-x.InrushLight))
		}
		l.Add(sev, "led-switching", "%s", text).About("supply.also_feeds", "supply.resistance").
			Fix("use a supply that holds its voltage, or one of its own for the other load")
	}
	if all, inrush, ok := s.SwitchOn(); ok && all > s.Rated {
		l.Add(diag.Note, "led-inrush", "switched on all at once, boards and other loads ask for %v, of it %v inrush of other loads; the supply delivers %v",
			all.Rounded(), inrush.Rounded(), s.Rated).About("supply.also_feeds", "supply.amps").
			Fix("switch the other loads on one after the other, or ask whether the supply stands such a moment; the boards themselves have no inrush")
	}
	return l
}

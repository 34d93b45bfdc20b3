package flow

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// Count says how many LEDs a panel is to be reckoned with, whatever its drawing has.
type Count struct {
	Panel string
	LEDs  int
}

// Changes are what a builder would try on a console, as 'supply --what-if' takes them.
type Changes struct {
	steps  []func(*project.Project)
	counts []Count
}

// mostCounted bounds the LEDs a panel can be reckoned with; more are refused by led/design too.
const mostCounted = 5000

// ChangeKeys returns what can be changed, each with an example.
func ChangeKeys() []string {
	return []string{
		"leds=dome:18", "current=6mA", "current=dome:6mA", "led=white-3mm", "led=dome:white-3mm", "series=3", "series=dome:3",
		"volts=24V", "amps=3A", "wire=0.75mm2", "feed_length=dome:500mm", "temperature=-10..30",
	}
}

// ParseChanges reads changes separated by commas: "leds=dome:18,current=6mA,volts=24V". A panel before a colon limits a
// change to it.
func ParseChanges(text string, p project.Project) (Changes, error) {
	var c Changes
	for _, one := range strings.Split(text, ",") {
		one = strings.TrimSpace(one)
		if one == "" {
			continue
		}
		key, value, ok := strings.Cut(one, "=")
		if !ok {
			return c, fmt.Errorf("%q is no change; write for example %s", one, strings.Join(ChangeKeys(), ", "))
		}
		if err := c.add(strings.TrimSpace(key), strings.TrimSpace(value), p); err != nil {
			return c, fmt.Errorf("%s: %w", one, err)
		}
	}
	if len(c.steps)+len(c.counts) == 0 {
		return c, fmt.Errorf("nothing to change; write for example %s", strings.Join(ChangeKeys(), ", "))
	}
	return c, nil
}

// add reads one change.
func (c *Changes) add(key, value string, p project.Project) error {
	// A panel before a colon, where the key has panels.
	at := -1
	if name, rest, ok := strings.Cut(value, ":"); ok {
		at = slices.IndexFunc(p.Panels, func(q project.Panel) bool { return strings.EqualFold(q.Name, strings.TrimSpace(name)) })
		if at < 0 {
			var names []string
			for _, q := range p.Panels {
				names = append(names, q.Name)
			}
			return fmt.Errorf("there is no panel %q; the panels are %s", name, strings.Join(names, ", "))
		}
		value = strings.TrimSpace(rest)
	}
	// onPanels changes one panel, or all of them.
	onPanels := func(set func(*project.Panel)) {
		c.steps = append(c.steps, func(p *project.Project) {
			for i := range p.Panels {
				if at < 0 || i == at {
					set(&p.Panels[i])
				}
			}
		})
	}
	onSupply := func(set func(*project.Project)) error {
		if at >= 0 {
			return fmt.Errorf("%s is of the whole console; leave the panel out", key)
		}
		c.steps = append(c.steps, set)
		return nil
	}
	switch key {
	case "leds":
		n, err := strconv.Atoi(value)
		switch {
		case at < 0:
			return fmt.Errorf("name the panel: leds=dome:18")
		case err != nil || n < 1 || n > mostCounted:
			return fmt.Errorf("the number of LEDs must be from 1 to %d", mostCounted)
		}
		c.counts = append(c.counts, Count{p.Panels[at].Name, n})
	case "current":
		i, err := part.ParseAmp(value, part.MilliAmp)
		if err != nil {
			return err
		}
		if i <= 0 {
			return fmt.Errorf("a current of nothing gives no light; write for example current=6mA")
		}
		onPanels(func(q *project.Panel) { q.Current = i })
	case "led":
		if _, ok := p.Kind(value); !ok {
			return fmt.Errorf("there is no LED kind %q; write for example led=white-3mm", value)
		}
		onPanels(func(q *project.Panel) { q.LED = value })
	case "series":
		n, err := strconv.Atoi(value)
		if err != nil || n < 1 || n > 60 {
			return fmt.Errorf("the number of LEDs in series must be from 1 to 60")
		}
		onPanels(func(q *project.Panel) { q.InSeries = n })
	case "feed_length":
		l, err := part.ParseLength(value)
		if err != nil {
			return err
		}
		onPanels(func(q *project.Panel) { q.FeedLength = l })
	case "wire":
		w, err := part.ParseWire(value)
		if err != nil {
			return err
		}
		if at < 0 {
			c.steps = append(c.steps, func(p *project.Project) { p.Feed.Wire = w })
		}
		onPanels(func(q *project.Panel) { q.Wire = w })
	case "volts":
		w, err := part.ParseWindow(value)
		if err != nil {
			return err
		}
		return onSupply(func(p *project.Project) { p.Supply.Volts, p.Supply.Battery = w, project.Battery{} })
	case "amps":
		i, err := part.ParseAmp(value, part.Ampere)
		if err != nil {
			return err
		}
		return onSupply(func(p *project.Project) { p.Supply.Amps = i })
	case "temperature":
		t, err := project.ParseCelsius(value)
		if err != nil {
			return err
		}
		return onSupply(func(p *project.Project) { p.Ambient = t })
	default:
		return fmt.Errorf("%q cannot be changed here; write for example %s", key, strings.Join(ChangeKeys(), ", "))
	}
	return nil
}

// Apply returns the project and settings with the changes made.
func (c Changes) Apply(p project.Project, set Settings) (project.Project, Settings) {
	p.Panels = slices.Clone(p.Panels)
	for _, step := range c.steps {
		step(&p)
	}
	set.Counts = append(slices.Clone(set.Counts), c.counts...)
	return p, set
}

// counted returns the panels with as many LEDs as they are to be reckoned with: the first of the drawing's own, and beyond
// them further ones on a grid, since where they sit hardly matters to currents.
func (s *session) counted(panels []panel.Panel) []panel.Panel {
	out := slices.Clone(panels)
	for i, q := range out {
		for _, c := range s.set.Counts {
			if q.Name != c.Panel {
				continue
			}
			holes := slices.Clone(q.LEDs[:min(c.LEDs, len(q.LEDs))])
			box := q.Outline.Box()
			const pitch = 10 * geom.Millimetre
			cols := max(1, int((box.Max.X-box.Min.X)/pitch))
			for k := 0; len(holes) < c.LEDs; k++ {
				holes = append(holes, panel.Hole{
					At: geom.Pt{X: box.Min.X + geom.Nm(k%cols)*pitch + pitch/2, Y: box.Min.Y + geom.Nm(k/cols)*pitch + pitch/2}, D: 3 * geom.Millimetre,
				})
			}
			q.LEDs = holes
			out[i] = q
		}
	}
	return out
}

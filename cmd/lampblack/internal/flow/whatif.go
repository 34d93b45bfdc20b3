package flow

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Count says how many LEDs a panel is to be reckoned with, whatever its drawing has.
type Count struct {
	Panel string
	LEDs  int
}

// Changes are what a builder would try on a console, as 'supply --what-if' takes them.
type Changes struct {
	list   []change
	counts []Count
}

// change is a key of the project file with the value to try.
type change struct {
	project.Try
	panel int // -1: all
	value string
}

// mostCounted bounds the LEDs a panel can be reckoned with; more are refused by led/design too.
const mostCounted = 5000

// ChangeKeys returns what can be changed, each with an example.
func ChangeKeys() []string {
	out := []string{"leds=dome:18"}
	for _, t := range project.Tries() {
		out = append(out, t.Key+"="+t.Example)
		if t.Panel {
			out = append(out, t.Key+"=dome:"+t.Example)
		}
	}
	return out
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
	if len(c.list)+len(c.counts) == 0 {
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
	if key == "leds" {
		n, err := strconv.Atoi(value)
		switch {
		case at < 0:
			return fmt.Errorf("name the panel: leds=dome:18")
		case err != nil || n < 1 || n > mostCounted:
			return fmt.Errorf("the number of LEDs must be from 1 to %d", mostCounted)
		}
		c.counts = append(c.counts, Count{p.Panels[at].Name, n})
		return nil
	}
	for _, t := range project.Tries() {
		switch {
		case t.Key != key:
			continue
		case at >= 0 && !t.Panel:
			return fmt.Errorf("%s is of the whole console; leave the panel out", key)
		case key == "led":
			if _, ok := p.Kind(value); !ok {
				return fmt.Errorf("there is no LED kind %q; write for example led=%s", value, t.Example)
			}
		}
		ch := change{t, at, value}
		p.Panels = slices.Clone(p.Panels)
		if err := ch.apply(&p); err != nil {
			return err
		}
		c.list = append(c.list, ch)
		return nil
	}
	var known []string
	for _, t := range project.Tries() {
		known = append(known, t.Key)
	}
	if near, ok := diag.Nearest(key, append(known, "leds")); ok {
		return fmt.Errorf("%q cannot be changed here; did you mean %s?", key, near)
	}
	return fmt.Errorf("%q cannot be changed here; write for example %s", key, strings.Join(ChangeKeys(), ", "))
}

// apply makes the change; a wire of all panels is the feed's too.
func (c change) apply(p *project.Project) error {
	if !c.Panel {
		return p.Try(c.Key, c.value)
	}
	for i := range p.Panels {
		if c.panel >= 0 && i != c.panel {
			continue
		}
		if err := p.Panels[i].Try(c.Key, c.value); err != nil {
			return err
		}
		if c.Key == "wire" && c.panel < 0 {
			p.Feed.Wire = p.Panels[i].Wire
		}
	}
	return nil
}

// Apply returns the project and settings with the changes made.
func (c Changes) Apply(p project.Project, set Settings) (project.Project, Settings) {
	p.Panels = slices.Clone(p.Panels)
	for _, ch := range c.list {
		if err := ch.apply(&p); err != nil {
			panic("flow: what could be changed cannot any more: " + err.Error())
		}
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

package flow

import (
	"context"
	"fmt"
	"slices"

	"lampblack/led"
	"lampblack/led/bright"
	"lampblack/led/design"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/work"
)

// gaugeIn is a panel with its lettering, and its LEDs at a current that is the same for all.
type gaugeIn struct {
	Of     engraved
	Wiring led.Wiring
	Stack  light.Stack
	Sets   []light.Set // of its LEDs, where there are several
}

type gaugeOut struct {
	says
	Colours []light.Gauged
}

// gauging finds what each colour of a panel's LEDs does for its lettering, before there are currents.
var gauging = stage[gaugeIn, gaugeOut]{"gauge", func(ctx context.Context, in gaugeIn) gaugeOut {
	return gaugeOut{Colours: light.Gauge(ctx, in.Of.Panel, in.Of.areas(), in.Wiring, in.Stack, in.Sets)}
}}

// gauged is the current at which panels are gauged; light goes with the current.
const gauged = part.MilliAmp

// brighten gives the LEDs of each panel and colour the current by which all lettering has the luminance that the project asks for.
func (s *session) brighten(out *Outcome) {
	want := s.project.Wish()
	if !want.Any() {
		return
	}
	lamps := make([][]bright.Lamps, len(out.Built))
	faults := make([]*diag.Finding, len(out.Built))
	lists := make([]diag.List, len(out.Built))
	work.Each(s.ctx, len(out.Built), func(i int) { lamps[i], lists[i], faults[i] = s.gauge(out.Built[i]) })
	var l diag.List
	for i := range out.Built {
		if l = append(l, lists[i]...); faults[i] != nil {
			l = append(l, *faults[i])
		}
	}
	if s.project.Bright.Any() && s.project.Has("defaults.current") {
		l.Add(diag.Note, "bright-current-unused", "defaults.current has no effect beside bright, which chooses the current of each panel that names none").
			About("defaults.current").Fix("take it out; to keep a panel's current, write it in that panel").By("take it out", diag.Remove, "defaults.current", nil)
	}
	out.Findings = append(out.Findings, s.shifted(l, nil)...)
	out.Lamps = bright.Chosen(slices.Concat(lamps...), want)
	s.chosen = slices.Clone(out.Lamps)
	for _, b := range out.Built {
		for _, m := range b.Boards {
			for k := range s.request.Panels {
				if set := &s.request.Panels[k]; set.Panel == m.Name() {
					set.Currents = currentsOf(out.Lamps, b.Panel.Name)
				}
			}
		}
	}
}

// currentsOf returns what the kinds of a panel's LEDs are given.
func currentsOf(all []bright.Lamps, panel string) []led.KindCurrent {
	var out []led.KindCurrent
	for _, l := range all {
		for _, k := range l.Kinds {
			if l.Panel == panel && l.Amps > 0 {
				out = append(out, led.KindCurrent{Kind: k, Current: l.Amps})
			}
		}
	}
	return out
}

// gauge returns the lamps of a panel, a colour each, and tells what of them cannot be reckoned.
func (s *session) gauge(b Built) (lamps []bright.Lamps, l diag.List, fault *diag.Finding) {
	if b.Unlit || len(b.Boards) == 0 {
		return nil, nil, nil
	}
	whole, fault, ok := s.engraved(b.Panel)
	if !ok {
		return nil, nil, fault
	}
	at := b.Panel
	at.Name = b.Boards[0].Name() // as settings and groups call it
	w, groups, ok := design.Lamps(at, s.request, gauged)
	if !ok {
		return nil, nil, nil // the circuit tells it
	}
	got, fault, ok := gauging.run(s, b.Panel.Name, gaugeIn{whole, w, s.project.Stack, s.setsOf(b.Panel.Name)})
	if !ok {
		return nil, nil, fault
	}
	unknown := false
	for _, g := range got.Value.Colours {
		if unknown = unknown || g.Assumed; g.Mean > 0 && !g.Assumed {
			one := s.lampsOf(b, w, groups, g.RGB)
			one.Colour, one.PerAmp = g.Name, g.Mean/float64(gauged)
			lamps = append(lamps, one)
			l = append(l, bright.Mixed(one, groupsOfColour(w, groups, g.RGB), s.project.Wish())...)
		}
	}
	if unknown {
		l = append(l, bright.Unknown(b.Panel.Name, s.settingsOf(at.Name).Current)...)
	}
	return lamps, l, nil
}

// groupsOfColour returns the groups that LEDs of a colour are of, groups being those of their strings.
func groupsOfColour(w led.Wiring, groups []string, rgb [3]uint8) (out []string) {
	for _, d := range w.LEDs {
		if g := groups[d.String]; d.Kind.RGB == rgb && !slices.Contains(out, g) {
			out = append(out, g)
		}
	}
	return out
}

// lampsOf returns the LEDs of a colour, groups being those of their strings.
func (s *session) lampsOf(b Built, w led.Wiring, groups []string, rgb [3]uint8) bright.Lamps {
	out := bright.Lamps{Panel: b.Panel.Name, Own: s.ownCurrent(b.Panel.Name)}
	var kinds []part.LED
	for _, d := range w.LEDs {
		if d.Kind.RGB != rgb {
			continue
		}
		if out.LEDs++; !slices.Contains(out.Kinds, d.Kind.Name) {
			out.Kinds, kinds = append(out.Kinds, d.Kind.Name), append(kinds, d.Kind)
			out.Group = groups[d.String]
		}
	}
	out.Least, out.Most = bright.Limits(kinds, s.project.Ambient.Max)
	return out
}

// ownCurrent is what the project's entry of a panel names; 0: nothing.
func (s *session) ownCurrent(name string) part.Amp {
	for _, d := range s.drawings {
		if slices.ContainsFunc(d.Panels, func(q panel.Panel) bool { return q.Name == name }) {
			return d.Entry.Current
		}
	}
	return 0
}

// shone brings the lamps to the currents that their LEDs have in the end. Where nothing was asked for they are what the light of the
// built panels tells.
func (s *session) shone(out *Outcome) {
	if !s.project.Wish().Any() {
		out.Lamps = s.untold(out)
		return
	}
	out.Lamps = slices.Clone(out.Lamps)
	for i := range out.Lamps {
		l := &out.Lamps[i]
		for _, b := range out.Built {
			if b.Panel.Name != l.Panel || len(b.Boards) == 0 {
				continue
			}
			if amps := meanAmps(b.Wiring(), l.Kinds); amps > 0 {
				l.Amps = amps
			}
		}
	}
}

// untold returns the lamps of built panels by the light that was computed for their files.
func (s *session) untold(out *Outcome) []bright.Lamps {
	var all []bright.Lamps
	for _, b := range out.Built {
		if b.Unlit || b.Stopped != "" || b.Field.Mean <= 0 || b.Field.Assumed {
			continue
		}
		w := b.Wiring()
		add := func(colour string, rgb [3]uint8, mean float64) {
			one := s.lampsOf(b, w, make([]string, len(w.Strings)), rgb)
			one.Colour, one.Amps = colour, meanAmps(w, one.Kinds)
			if one.Group = groupIn(b, one.Kinds); one.Amps > 0 && mean > 0 {
				one.PerAmp = mean / float64(one.Amps)
				all = append(all, one)
			}
		}
		switch {
		case len(b.Field.Layers) == 1:
			add(b.Field.Layers[0].Name, b.Field.Layers[0].RGB, b.Field.Mean)
		case len(b.Field.Colours) > 0:
			for k, c := range b.Field.Colours {
				add(c.Name, b.Field.Layers[k].RGB, c.Mean)
			}
		}
	}
	return all
}

// groupIn returns the group that LEDs of these kinds are dimmed with.
func groupIn(b Built, kinds []string) string {
	for _, m := range b.Boards {
		for i, g := range m.Wiring.Strings {
			if m.Wiring.Grouped() && slices.Contains(kinds, m.Wiring.LEDs[g.LEDs[0]].Kind.Name) {
				return m.Wiring.Groups[m.Wiring.FedBy(led.StringID(i))].Name
			}
		}
	}
	return ""
}

// meanAmps returns the mean current in LEDs of these kinds.
func meanAmps(w led.Wiring, kinds []string) part.Amp {
	sum, n := 0.0, 0
	for _, g := range w.Strings {
		if len(g.LEDs) > 0 && slices.Contains(kinds, w.LEDs[g.LEDs[0]].Kind.Name) {
			sum += float64(float64(g.Nominal) * float64(len(g.LEDs)))
			n += len(g.LEDs)
		}
	}
	return part.Amp(sum / float64(max(n, 1)))
}

// judgeBright tells how bright the panels come out.
func (s *session) judgeBright(out *Outcome) {
	s.shone(out)
	var l diag.List
	want := s.project.Wish()
	if want.Any() && out.Circuit.Solved {
		l = bright.Judge(out.Lamps, s.chosen, want, s.film)
	}
	l = append(l, bright.Untold(slices.DeleteFunc(slices.Clone(out.Lamps), func(p bright.Lamps) bool { return want.For(p.Group).Any() }))...)
	out.Findings = append(out.Findings, s.shifted(l, nil)...)
}

// film says which sheets would pass a share of the light that these do.
func (s *session) film(share float64) string {
	st := s.project.Stack
	var ways []string
	for _, g := range light.Grades() {
		if t := st.WithDiffuser(g).Transmission; t < st.Transmission*0.95 && t > 0 {
			ways = append(ways, fmt.Sprintf("stack.grade: %s passes %s of what this diffuser does", g, bright.Percent(t/st.Transmission)))
		}
	}
	text := fmt.Sprintf("to use all of its range, a grey film that passes %s on the diffuser", bright.Percent(share))
	if len(ways) > 0 {
		text += ", or in part a denser diffuser: " + ways[0]
	}
	return text
}

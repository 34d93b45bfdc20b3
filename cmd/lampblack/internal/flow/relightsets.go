package flow

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/read"
)

// setLamps returns the LEDs of each set of a panel, by the kind that the drawing has them with. Where neither LEDs that are drawn nor a rule
// tell a set's kind, nor is it the panel's usual one, an LED of it could not be told in the drawing that is written: that is an error.
func (s *session) setLamps(b Built, old panel.Panel, entry project.Panel, sets []project.Group, set led.Settings) (out []lamps, l diag.List) {
	for _, g := range sets {
		kind, known := s.project.Kind(g.LEDs[0])
		if !known {
			continue
		}
		name, told := "", strings.EqualFold(kind.Name, set.Kind.Name)
		if slices.ContainsFunc(entry.LEDs, func(r read.KindRule) bool { return strings.EqualFold(r.Kind, kind.Name) }) {
			name, told = kind.Name, true
		}
		for _, h := range old.LEDs {
			if strings.EqualFold(h.Kind, kind.Name) || h.Kind == "" && strings.EqualFold(kind.Name, set.Kind.Name) {
				name, told = h.Kind, true
				break
			}
		}
		if !told {
			var rules []string
			for _, o := range sets {
				rules = append(rules, fmt.Sprintf("{rule: layer %s, kind: %s}", strings.ToUpper(o.Name), o.LEDs[0]))
			}
			l.Add(diag.Error, "relight-sets", "nothing tells LEDs of the set %s, %s, on the drawing of %s from those of other sets, so that a drawing with all of them could not be read: nothing is changed", g.Name, kind.Name, old.Name).
				Of(old.Name).About(diag.PanelKey(old.Name, "led"), "groups").
				Fix("say it by layers in the panel's entry, led: [%s], and draw one LED at least of each set; or leave the LEDs to the build: without any on the drawing, place: {even: %g} or place: {count: N} places each set by itself",
					strings.Join(rules, ", "), usualEven)
			continue
		}
		own := old
		own.LEDs = ofKind(old.LEDs, name)
		k := lamps{Lamp: light.Lamp{Name: name, Kind: kind, Hole: holeOf(own, kind)}}
		k.seats = s.seats(b, k.Kind, k.Hole)
		k.Spacing = k.seats.Spacing
		out = append(out, k)
	}
	return out, l
}

// placedSets places each set by itself, in the rooms that its lamps have. LEDs of no set stay.
func placedSets(ctx context.Context, p panel.Panel, opt light.Options, all []light.Lamp, set led.Settings, names []string) (light.Plan, diag.List) {
	var amps []part.Amp
	for _, k := range all {
		amps = append(amps, set.CurrentOf(k.Kind.Name))
	}
	plans, l := light.PlaceSets(ctx, p, opt, all, amps)
	if l.HasErrors() || ctx.Err() != nil {
		return light.Plan{}, l
	}
	plan := light.Together(plans, names)
	for _, h := range p.LEDs {
		if !slices.ContainsFunc(all, func(k light.Lamp) bool { return strings.EqualFold(k.Name, h.Kind) }) {
			plan.LEDs = append(plan.LEDs, h)
		}
	}
	return plan, l
}

// layerOf returns the layer that a rule of the project has LEDs of a kind on; usual where none names one.
func layerOf(rules []read.KindRule, kind, usual string) string {
	for _, r := range rules {
		if kind != "" && strings.EqualFold(r.Kind, kind) && r.Rule.Layer != "" {
			return r.Rule.Layer
		}
	}
	return usual
}

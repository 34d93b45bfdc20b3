package desk_test

import (
	"fmt"
	"maps"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/export/result"
)

// bay is a panel of 120 x 80 mm on layers of ours: screws, openings, LEDs, a word.
func bay(more ...string) []byte {
	all := []string{rect("OUTLINE", 0, 0, 120, 80), circle("MOUNT", 5, 5, 3.2), circle("MOUNT", 115, 5, 3.2), circle("MOUNT", 115, 75, 3.2), circle("MOUNT", 5, 75, 3.2),
		circle("OPENING", 60, 25, 12.2), text("LETTERING", 40, 60, 6, "SHADE")}
	for i := range 12 {
		all = append(all, circle("LED", 15+8*float64(i), 50, 3.2))
	}
	return dxf(append(all, more...)...)
}

const fed = "console: bench\nsupply: {volts: 12 V, amps: 2 A}\n"

// told returns all that is told of the desk, as far as a stage goes.
func (p *page) told(stage string) []result.Finding {
	switch stage {
	case "supply", "build":
		var r result.Console
		if stage == "build" {
			var m desk.Made
			p.ask("build", nil, &m)
			return m.Result.Findings
		}
		p.ask("supply", nil, &r)
		return r.Findings
	}
	var out []result.Finding
	for _, f := range p.understood().Findings {
		out = append(out, f.Finding)
	}
	return out
}

// A finding that comes with changes goes by each of them, and none that weighs as much comes in its place.
func TestChangesMend(t *testing.T) {
	const one = "panels:\n  - {name: bay, drawing: bay.dxf}\n"
	panel := func(more string) string { return fed + "panels:\n  - {name: bay, drawing: bay.dxf, " + more + "}\n" }
	chain := func(more string) string {
		return fed + more + "\npanels:\n  - {name: bay, drawing: bay.dxf}\n  - {name: vent, drawing: vent.dxf}\n"
	}
	plain := []byte(regexp.MustCompile("OUTLINE|MOUNT|OPENING|LETTERING|LED").ReplaceAllString(string(bay()), "0"))
	for _, c := range []struct {
		code, stage, yaml string
		bay               []byte // nil: bay
	}{
		{"project-unknown-key", "look", panel("currant: 8 mA"), nil},
		{"project-unknown-key", "look", "consol: bench\n" + strings.TrimPrefix(fed, "console: bench\n") + one, nil},
		{"project-former-key", "look", fed + "order: [{boards: {bay: 2}, gap: 2 mm}]\n" + one, nil},
		{"project-no-value", "look", panel("current: "), nil},
		{"project-no-value", "look", panel("current: ''"), nil},
		{"project-unknown-value", "look", panel("units: inhc"), nil},
		{"project-unknown-value", "look", fed + "font: plian\n" + one, nil},
		{"project-former-value", "look", fed + "order: [{boards: {bay: 2}, parted_by: v-cut}]\n" + one, nil},
		{"project-wrong-value", "look", panel("current: '7,5 mA'"), nil},
		{"project-chain-twice", "look", chain("chain: [bay, vent, bay]"), nil},
		{"project-unknown-panel", "look", chain("chain: [bay, went]"), nil},
		{"project-unknown-panel", "look", chain("chain: [bay, roof, vent]"), nil},
		{"project-unknown-panel", "look", chain("chains: [{boards: [bay]}, {from: roof, boards: [vent]}]"), nil},
		{"project-not-fed", "look", chain("chain: [bay]"), nil},
		{"project-chain-loop", "look", chain("chains: [{boards: [bay]}, {from: vent, boards: [vent]}]"), nil},
		{"project-unknown-member", "look", chain("groups: [{name: night, leds: [red-3mmm]}]"), nil},
		{"project-unknown-led", "look", panel("led: red-3m"), nil},
		{"project-unknown-led", "look", panel("led: [{rule: rest, kind: red-3m}]"), nil},
		{"project-current-high", "look", panel("current: 45 mA"), nil},
		{"project-two-chains", "look", chain("chain: [bay, vent]\nchains: [{boards: [bay, vent]}]"), nil},
		{"project-two-supplies", "look", "supply: {volts: 12 V, battery: {cells: 6, chemistry: lead, capacity: 7 Ah}}\n" + one, nil},
		{"project-no-supply", "look", "supply: {amps: 2 A}\n" + one, nil},
		{"project-no-rating", "look", "supply: {volts: 12 V}\n" + one, nil},
		{"project-no-sheet", "look", fed + "stack: {measured: {plate: 1.5 mm}}\n" + one, nil},
		{"project-measured-off", "look", fed + "stack: {face: 3 mm, measured: {face: 5 mm}}\n" + one, nil},
		{"project-no-boards", "look", fed + "order: [{boards: {}}]\n" + one, nil},
		{"project-impossible-value", "look", fed + "rules: {via_pad: 0.5 mm, via_drill: 0.4 mm}\n" + one, nil},
		{"project-impossible-value", "look", fed + "rules: {via_drill: 0.3 mm, smallest_hole: 0.35 mm}\n" + one, nil},
		{"project-unknown-control", "look", panel("controls: [{rule: circles 12.2 mm, kind: push-12m}]"), nil},
		{"project-two-beams", "look", fed + "leds: [{name: own, colour: red, forward: 2 V, package: 3 mm, half_angle: 30 deg, beam: [[0, 1], [20, 0.5], [60, 0]]}]\n" + one, nil},

		{"panel-layer-missing", "look", panel("layers: {led: LEED}"), nil},
		{"panel-rule-empty", "look", panel("roles: {opening: circles 40 mm}"), nil},
		{"panel-rule-empty", "look", panel("roles: {opening: [circles 12.2 mm on layer OPENING, circles 40 mm], mount: rest}"), nil},
		{"panel-led-rule-empty", "look", panel("led: [{rule: layer GREEN, kind: green-3mm}, {rule: rest, kind: red-3mm}]"), nil},
		{"panel-led-no-rule", "look", panel("led: [{rule: 'circles 3.2 mm near 15, 50', kind: green-3mm}]"), nil},
		{"panel-room-empty", "look", panel("room: [{rule: circles 40 mm, room: 3 mm}, {rule: rest, room: 2 mm}]"), nil},
		{"panel-control-empty", "look", panel("controls: [{rule: circles 40 mm, kind: push-12mm}]"), nil},
		{"panel-rule-empty", "look", panel("roles: {opening: [circles 40 mm, circles 41 mm]}"), nil},
		{"panel-text-unused", "look", panel("roles: {led: circles 3.2 mm, opening: circles 12.2 mm, lettering: lines, outline: largest}"), plain},
		{"panel-no-outline", "look", panel("roles: {led: circles 3.2 mm, opening: circles 12.2 mm, lettering: texts, outline: circles 300 mm}"), plain},
		{"panel-too-small", "look", panel("units: mm"), inches()},
		{"dxf-units-assumed", "look", fed + one, []byte(strings.Replace(string(inches()), "$INSUNITS", "$NOUNITS", 1))},

		{"led-supply-over", "supply", "supply: {volts: 12 V, amps: 20 mA}\n" + one, nil},
		{"led-supply-tight", "supply", "supply: {volts: 12 V, amps: 30 mA}\n" + one, nil},
		{"led-supply-below-vf", "supply", "supply: {volts: 1.5 V, amps: 2 A}\n" + one, nil},
		{"led-wire-overload", "supply", "supply: {volts: 12 V, amps: 30 A}\nfeed: {wire: 0.2 mm2, connector: 5 A}\ndefaults: {led: white-3mm, current: 20 mA, series: 1}\n" + many(), crowded()},
		{"led-connector-overload", "supply", "supply: {volts: 12 V, amps: 30 A}\nfeed: {wire: 1.5 mm2, connector: 1 A}\ndefaults: {led: white-3mm, current: 20 mA, series: 1}\n" + many(), crowded()},
		{"led-feed-drop", "supply", "supply: {volts: 12 V, amps: 30 A}\nfeed: {wire: 0.5 mm2, connector: 5 A}\ndefaults: {led: red-3mm, current: 10 mA, series: 1, feed_length: 1 m}\n" + many(), crowded()},
		{"led-fuse", "supply", "supply: {volts: 12 V, amps: 2 A}\nfeed: {fuse: 10 A}\n" + one, nil},
		{"led-current-varies", "supply", "supply: {volts: 10 V .. 15 V, amps: 2 A}\ndefaults: {series: 4}\n" + one, nil},
		{"led-current-reduced", "supply", "supply: {volts: 12 V .. 24 V, amps: 2 A}\ndefaults: {series: 5, current: 20 mA}\n" + one, nil},
		{"led-hot", "supply", "supply: {volts: 12 V, amps: 2 A}\ntemperature: 20 .. 80\ndefaults: {current: 20 mA}\n" + one, nil},
		{"led-short-overload", "supply", "supply: {volts: 12 V, amps: 2 A}\ndefaults: {current: 18 mA, series: 4}\n" + one, nil},
		{"led-resistor-overload", "supply", "supply: {volts: 24 V, amps: 2 A}\ndefaults: {current: 20 mA, series: 1, resistor: {package: '0805'}}\n" + one, nil},
		{"led-string-too-long", "supply", "supply: {volts: 12 V, amps: 2 A}\ndefaults: {series: 9}\n" + one, nil},
		{"led-spacing", "supply", fed + "rules: {copper_gap: 0.05 mm}\n" + one, nil},

		{"led-place-fewer", "build", panel("place: {count: 900}"), unlit()},
		{"led-place-uneven", "build", panel("place: {even: 0.99}"), unlit()},
		{"led-place-kinds", "build", panel("led: [{rule: layer GREEN, kind: green-3mm}, {rule: rest, kind: red-3mm}]"), unlit()},
		{"light-shows-leds", "build", fed + "stack: {grade: opal-medium}\nengraving: {finish: clear}\n" + one, nil},
		{"place-connector-told", "build", panel("connectors: {in: [60, 25]}"), nil},
		{"shape-room", "build", fed + one, nil},
		{"bright-current-unused", "build", fed + "bright: {full: 5 cd/m2}\ndefaults: {current: 8 mA}\n" + one, nil},
		{"bright-own-current", "build", fed + "bright: {full: 5 cd/m2}\n" + strings.Replace(one, "bay.dxf", "bay.dxf, current: 1.6 mA", 1), nil},
		{"bright-far-off", "build", fed + "bright: {full: 5 cd/m2}\n" + strings.Replace(one, "bay.dxf", "bay.dxf, current: 8 mA", 1), nil},
		{"bright-too-dim", "build", fed + "bright: {full: 5000 cd/m2}\n" + one, nil},
		{"bright-steps", "build", fed + "bright: {full: 5 cd/m2, night: 0.001 cd/m2}\n" + one, nil},
		{"stencil-thick", "build", fed + "stencil: 0.5 mm\ndefaults: {resistor: {package: '0805'}}\n" + one, nil},
		{"nest-too-large", "build", fed + "stock: {face: {size: 90 x 140 mm, turns: none}}\n" + one, nil},
	} {
		t.Run(fmt.Sprintf("%s %.60q", c.code, c.yaml), func(t *testing.T) {
			p := newPage(t)
			p.lay("lampblack.yaml", []byte(c.yaml))
			p.lay("vent.dxf", vent())
			if c.bay == nil {
				c.bay = bay()
			}
			p.lay("bay.dxf", c.bay)
			before := p.told(c.stage)
			weighs := func(all []result.Finding) (n map[string]int) {
				n = map[string]int{}
				for _, f := range all {
					n[f.Severity] += max(1, f.Count)
				}
				return n
			}
			var changes []result.Change
			severity := ""
			var codes []string
			for _, f := range before {
				if codes = append(codes, f.Code+": "+f.Text); f.Code == c.code && len(f.Changes)+len(f.Places) > 0 {
					severity = f.Severity
					changes = append(changes, f.Changes...)
					for _, q := range f.Places {
						changes = append(changes, q.Changes...)
					}
				}
			}
			require.NotEmpty(t, changes, "%s", strings.Join(codes, "\n"))
			was := count(before, c.code, severity)
			if n := len(changes); n > 2 && os.Getenv("CHANGES") == "" {
				changes = []result.Change{changes[0], changes[n-1]} // each wants a build; CHANGES=all tries all
			}
			for _, change := range changes {
				q := &page{t, p.engine, maps.Clone(p.desk)}
				a := q.frames("edit", desk.Editing{Changes: []desk.Change{change}})
				require.Empty(t, a.Wrong, change.Words)
				q.take(a)
				after := q.told(c.stage)
				var left []string
				for _, f := range after {
					left = append(left, f.Severity+" "+f.Code+": "+f.Text)
				}
				said := change.Words + ": " + change.At + "\n" + string(a.file(t, "lampblack.yaml")) + "\n" + strings.Join(left, "\n")
				require.Less(t, count(after, c.code, severity), was, said)
				w, n := weighs(before), weighs(after)
				require.LessOrEqual(t, n["error"], w["error"], said)
				if w["error"] == 0 { // what an error hides is told when it is gone
					require.LessOrEqual(t, n["warning"], w["warning"], said)
				}
			}
		})
	}
}

func count(all []result.Finding, code, severity string) int {
	n := 0
	for _, f := range all {
		if f.Code == code && f.Severity == severity {
			n += max(1, f.Count)
		}
	}
	return n
}

// inches is a panel of 5 x 3 units.
func inches() []byte {
	return dxf(rect("OUTLINE", 0, 0, 5, 3), circle("LED", 1, 1, 0.125), circle("LED", 2, 1, 0.125))
}

// unlit has no LEDs, and is small: LEDs are placed on it time and again.
func unlit() []byte {
	return dxf(rect("OUTLINE", 0, 0, 60, 40), circle("MOUNT", 5, 5, 3.2), circle("MOUNT", 55, 35, 3.2), text("LETTERING", 15, 24, 5, "SHADE"), text("LETTERING", 25, 10, 5, "DOOR"))
}

// crowded has 104 LEDs.
func crowded() []byte {
	all := []string{rect("OUTLINE", 0, 0, 120, 80), text("LETTERING", 40, 60, 6, "SHADE")}
	for i := range 104 {
		all = append(all, circle("LED", 10+8*float64(i%13), 10+8*float64(i/13), 3.2))
	}
	return dxf(all...)
}

// many are panels one after the other, all of one drawing.
func many() string {
	out := "panels:\n"
	for i := range 3 {
		out += fmt.Sprintf("  - {name: bay%d, drawing: bay.dxf}\n", i)
	}
	return out
}

// Package ledtest has consoles for tests: panels of LEDs on a grid, a kind of LED from textbooks, and what a design has to tell.
package ledtest

import (
	"context"
	"fmt"
	"slices"

	"lampblack/led"
	"lampblack/led/design"
	"lampblack/led/judge"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Row returns a panel with n LEDs on a grid of 12 by 9 mm, ten in a row.
func Row(name string, n int) panel.Panel {
	p := panel.Panel{Name: name}
	for i := range n {
		p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(float64(i%10)*12, float64(i/10)*9), D: geom.MM(3)})
	}
	return p
}

// Stiff is a kind of exactly 2 V at any current, as worked examples have it.
func Stiff() part.LED {
	return part.LED{
		Name: "textbook", Package: "radial-3mm", HoleMM: 3, Curve: []part.VfPoint{{I: 0.020, V: 2}, {I: 0.001, V: 1.99999}},
		VfMin: 2, VfMax: 2, IMax: 0.030, HalfAngle: 30, Candela: 0.1, RGB: [3]uint8{255, 0, 0},
	}
}

// Wall returns a console of so many boards with so many LEDs each, in one chain that holds.
func Wall(boards, leds int) ([]panel.Panel, led.Request) {
	req := led.Usual()
	req.Supply = part.Window{Min: 23, Nominal: 24, Max: 25}
	req.Ambient = led.Celsius{Min: 0, Nominal: 20, Max: 35}
	req.Rated, req.ConnectorRated, req.ContactOhms = 60, 60, 0.0005
	req.Defaults.FeedLength = geom.MM(60)
	req.Wire = part.MetricWire(2.5)
	req.Wire.Rated = 60
	var panels []panel.Panel
	for i := range boards {
		panels = append(panels, Row(fmt.Sprintf("bay-%d", i), leds))
	}
	return panels, req
}

// Whole designs the circuit and judges it.
func Whole(panels []panel.Panel, req led.Request) (led.Circuit, diag.List) {
	c, l := design.Circuit(context.Background(), panels, req)
	return c, append(l, judge.Circuit(c, req)...)
}

// Codes returns severity and code of each finding.
func Codes(l diag.List) []string {
	var out []string
	for _, f := range l {
		out = append(out, f.Severity.String()+" "+f.Code)
	}
	return out
}

// Find returns the first finding of that code, of the panel if one is named.
func Find(l diag.List, code, panel string) (diag.Finding, bool) {
	i := slices.IndexFunc(l, func(f diag.Finding) bool { return f.Code == code && (panel == "" || f.Panel == panel) })
	if i < 0 {
		return diag.Finding{}, false
	}
	return l[i], true
}

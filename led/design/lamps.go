package design

import (
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
)

// Lamps returns a panel's LEDs before there is a circuit: each with its kind, in one string for each kind with current i, as far as
// the light is concerned; and of each string the group that its LEDs are dimmed with, empty for none. ok is false where a kind is
// not known or cannot be, which Circuit tells.
func Lamps(p panel.Panel, req led.Request, i part.Amp) (w led.Wiring, groups []string, ok bool) {
	kinds, of, l := kindsOf(p, req.For(p.Name), req)
	if l.HasErrors() {
		return w, nil, false
	}
	w.Panel = p.Name
	for _, k := range kinds {
		name := ""
		if g := groupOf(p.Name, k.Name, req); g >= 0 {
			name = req.Groups[g].Name
		}
		groups = append(groups, name)
		w.Strings = append(w.Strings, led.String{Nominal: i})
	}
	for h, k := range of {
		w.LEDs = append(w.LEDs, led.LED{Hole: h, Kind: kinds[k], String: led.StringID(k)})
		w.Strings[k].LEDs = append(w.Strings[k].LEDs, h)
	}
	return w, groups, true
}

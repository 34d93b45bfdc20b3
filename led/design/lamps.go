package design

import (
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
)

// Lamps returns a panel's LEDs before there is a circuit: each with its kind, in one string for each kind and group with current i, as
// far as the light is concerned; and of each string the group that its LEDs are dimmed with, empty for none. ok is false where a kind is
// not known or cannot be, which Circuit tells.
func Lamps(p panel.Panel, req led.Request, i part.Amp) (w led.Wiring, groups []string, ok bool) {
	kinds, of, l := kindsOf(p, req.For(p.Name), req)
	if l.HasErrors() {
		return w, nil, false
	}
	w.Panel = p.Name
	w.LEDs = make([]led.LED, len(p.LEDs))
	for k, kind := range kinds {
		for _, part := range parted(p, kind.Name, func(h int) bool { return of[h] == k }, req) {
			name := ""
			if part.group >= 0 {
				name = req.Groups[part.group].Name
			}
			for _, h := range part.holes {
				w.LEDs[h] = led.LED{Hole: h, Kind: kind, String: led.StringID(len(w.Strings))}
			}
			groups, w.Strings = append(groups, name), append(w.Strings, led.String{Nominal: i, LEDs: part.holes})
		}
	}
	return w, groups, true
}

package flow

import (
	"slices"

	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/room"
)

// lessRoom returns the panel with one part of so many of the rooms that are guessed, none of them for 0 parts, and how many
// they are.
func lessRoom(p panel.Panel, parts geom.Nm) (panel.Panel, int) {
	n := 0
	var kept []panel.Room
	for _, r := range p.Room {
		if r.Guessed() {
			n++
			beyond := geom.Nm(0)
			if parts > 0 {
				beyond = r.Beyond / parts
			}
			less, ok := room.Smaller(p, r, beyond)
			if !ok {
				continue
			}
			r = less
		}
		kept = append(kept, r)
	}
	p.Room = kept
	return p, n
}

// tellLess tells that the board came to be only with less room behind openings: once, in place of what the shape told of them.
func tellLess(l *diag.List, p panel.Panel, n int, parts geom.Nm) {
	*l = slices.DeleteFunc(*l, func(f diag.Finding) bool { return f.Code == "shape-room-less" })
	left := "none of it"
	if parts > 0 {
		left = "half of it"
	}
	c := p.Openings[p.Room[slices.IndexFunc(p.Room, panel.Room.Guessed)].Opening].Box().Centre()
	f := l.Add(diag.Note, "shape-room-less", "parts and tracks only found their places with less room behind openings than common parts need: %s is left of that which is guessed (%d openings)", left, n)
	f.About(diag.PanelKey(p.Name, "room"), "defaults.room").At(c.X.MM(), c.Y.MM()).
		Fix("see that what sits there has room beside the board; else draw its body, and leave the board more room")
}

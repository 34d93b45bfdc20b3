package shape

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/board"
	"lampblack/led"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/room"
)

// Rooms give way: all of them to a board's edge that is drawn, each to the LEDs and mounts that are drawn in it, as far as they
// need, and guessed ones to whatever else would be worse than without them. So a guess costs no board, no screw and no sound
// neck; what a project tells costs what it costs.

// given is a room that is smaller than it should be.
type given struct {
	from panel.Room // as it should be
	left geom.Nm    // how far it still reaches beyond the opening
	to   string
}

// roomy derives the board with as much of the rooms as it can have.
func (d deriver) roomy() outcome {
	if len(d.p.Room) == 0 || len(d.p.Boards) > 0 {
		return d.with(nil)
	}
	rooms, gave := d.yielded()
	out := d.with(rooms)
	if slices.ContainsFunc(rooms, panel.Room.Guessed) && out.harmed() {
		if bare := d.with(slices.DeleteFunc(slices.Clone(rooms), panel.Room.Guessed)); out.worseThan(bare) {
			var more []given
			out, more = d.most(rooms, bare)
			gave = append(gave, more...)
		}
	}
	tellRooms(d.p.Name, out.b.Room, gave, &out.l)
	return out
}

// Rooms returns the panel's rooms less what gives way to LEDs and mounts drawn in them, and to a drawn edge: what a survey shows,
// before there is a board.
func Rooms(p panel.Panel, r board.Rules) []panel.Room {
	if len(p.Boards) > 0 {
		return nil
	}
	rooms, _ := deriver{p: p, r: r, lamps: lampsOf(p, led.Wiring{})}.yielded()
	return rooms
}

// harmed reports whether anything speaks against the board.
func (o outcome) harmed() bool { return len(o.l) > 0 }

// worseThan reports whether the board is worse than one with less room round openings.
func (o outcome) worseThan(less outcome) bool {
	return o.l.Count(diag.Error) > less.l.Count(diag.Error) || len(o.b.Holes) < len(less.b.Holes) || o.neck < less.neck
}

// mostTries bounds how often a board is derived to find which rooms it can have.
const mostTries = 40

// most returns the board with as many of the guessed rooms as leave it as good as bare, which has none of them, and the rooms
// that gave way. Groups of rooms are tried together, and halved where they do harm.
func (d deriver) most(rooms []panel.Room, bare outcome) (outcome, []given) {
	kept := map[int]panel.Room{} // by opening
	for _, r := range bare.b.Room {
		kept[r.Opening] = r
	}
	best, need, tries := bare, d.standardOf(bare), 0
	try := func(group []panel.Room) bool {
		if tries++; tries > mostTries {
			return false
		}
		with := slices.Clone(best.b.Room)
		with = append(with, group...)
		slices.SortFunc(with, func(a, b panel.Room) int { return cmp.Compare(a.Opening, b.Opening) })
		out, ok := d.meeting(with, need)
		if !ok || out.worseThan(bare) {
			return false
		}
		for _, r := range group {
			kept[r.Opening] = r
		}
		best = out
		return true
	}
	var add func(group []panel.Room)
	add = func(group []panel.Room) {
		switch {
		case len(group) == 0 || try(group):
		case len(group) == 1:
			if half, ok := room.Smaller(d.p, group[0], group[0].Beyond/2); ok {
				try([]panel.Room{half})
			}
		default:
			add(group[:len(group)/2])
			add(group[len(group)/2:])
		}
	}
	var guessed []panel.Room
	for _, r := range rooms {
		if r.Guessed() {
			guessed = append(guessed, r)
		}
	}
	if n := len(guessed); n > 1 { // all together were tried
		add(guessed[:n/2])
		add(guessed[n/2:])
	} else if half, ok := room.Smaller(d.p, guessed[0], guessed[0].Beyond/2); ok {
		try([]panel.Room{half})
	}
	var gave []given
	for _, r := range guessed {
		if now := kept[r.Opening]; now.Beyond < r.Beyond {
			gave = append(gave, given{r, now.Beyond, "the board"})
		}
	}
	return best, gave
}

// yielded returns the rooms less what LEDs and mounts need that are drawn in them.
func (d deriver) yielded() (rooms []panel.Room, gave []given) {
	type thing struct {
		at   geom.Pt
		need float64 // from its middle to the room's edge
		what string
	}
	var all []thing
	for i, h := range d.p.LEDs {
		all = append(all, thing{h.At, d.lamps[i].reach() + float64(d.r.CopperToEdge+d.r.BodyClearance+hair), "an LED"})
	}
	for _, h := range d.p.Mounts {
		all = append(all, thing{h.At, float64(h.D/2 + d.r.HoleToEdge + d.r.BodyClearance + hair), "a mount"})
	}
	most := 0.0
	for _, t := range all {
		most = max(most, t.need)
	}
	slices.SortStableFunc(all, func(a, b thing) int { return cmp.Compare(a.at.X, b.at.X) })
	for _, r := range d.p.Room {
		ring := d.p.Openings[r.Opening].Ring(geom.FlattenTolerance)
		box := r.Box().Grown(geom.Nm(most))
		first, _ := slices.BinarySearchFunc(all, box.Min.X, func(t thing, x geom.Nm) int { return cmp.Compare(t.at.X, x) })
		left, to := r.Beyond, ""
		for _, t := range all[first:] {
			if t.at.X > box.Max.X {
				break
			}
			if !box.Contains(t.at) || ring.Locate(t.at) != geom.Outside {
				continue // in the opening itself: nothing that the room does helps it
			}
			const step = 100 * geom.Micrometre
			spare := geom.Nm(ring.DistTo(t.at)-t.need) / step * step
			if spare < left && (spare >= 0 || t.what == "an LED") {
				left, to = max(spare, 0), t.what
			}
		}
		if left < r.Beyond {
			gave = append(gave, given{r, left, to})
		}
		if r, ok := room.Smaller(d.p, r, left); ok {
			rooms = append(rooms, r)
		}
	}
	return rooms, gave
}

// tellRooms tells the rooms that were guessed, and those that gave way, each once.
func tellRooms(name string, kept []panel.Room, gave []given, l *diag.List) {
	var guessed []panel.Room // as large as such parts need, also where less is left
	for _, r := range kept {
		if r.Guessed() {
			if i := slices.IndexFunc(gave, func(g given) bool { return g.from.Opening == r.Opening }); i >= 0 {
				r = gave[i].from
			}
			guessed = append(guessed, r)
		}
	}
	if n := len(guessed); n > 0 {
		lo, hi := guessed[0].Beyond, guessed[0].Beyond
		var parts []string
		for _, r := range guessed {
			lo, hi = min(lo, r.Beyond), max(hi, r.Beyond)
			if !slices.Contains(parts, r.For) {
				parts = append(parts, r.For)
			}
		}
		span := hi.String()
		if lo != hi {
			span = lo.String() + " to " + span
		}
		f := at(l.Add(diag.Note, "shape-room", "%s: room of %s round %s is kept free behind the panel, as common parts of that size need (%s)",
			bodiless(n), span, pronoun(n), strings.Join(parts, "; ")), guessed[0].Box().Centre())
		f.About(diag.PanelKey(name, "room"), "defaults.room").
			Fix("draw what is behind as a closed line on layer body; or say how much room it wants, as room: openings + %v, or room: none", hi).
			By(fmt.Sprintf("keep %v round every opening free", hi), diag.Set, diag.PanelKey(name, "room"), "openings + "+hi.String()).
			By("nothing sits behind them", diag.Set, diag.PanelKey(name, "room"), "none")
	}
	if len(gave) == 0 {
		return
	}
	worst, to, told := gave[0], []string{}, false
	for _, g := range gave {
		if g.from.Beyond-g.left > worst.from.Beyond-worst.left {
			worst = g
		}
		if !slices.Contains(to, g.to) {
			to = append(to, g.to)
		}
		told = told || !g.from.Guessed()
	}
	slices.Sort(to)
	severity := diag.Note
	if told {
		severity = diag.Warning // what a person asked for
	}
	what := "the room behind an opening gives"
	if n := len(gave); n > 1 {
		what = "the rooms behind " + strconv.Itoa(n) + " openings give"
	}
	f := at(l.Add(severity, "shape-room-less", "%s way to %s: here %s left of %v", what, strings.Join(to, ", "), remains(worst.left), worst.from.Beyond), worst.from.Box().Centre())
	f.About(diag.PanelKey(name, "room"), "defaults.room").
		Fix("see that what sits there has room beside the board; else move the LED or the mount, or draw the body")
	for _, g := range gave[:min(len(gave), mostRelated)] {
		if g.from.Opening != worst.from.Opening {
			c := g.from.Box().Centre()
			f.Note(diag.Place{At: &diag.Point{X: c.X.MM(), Y: c.Y.MM()}}, "here %s left of %v", remains(g.left), g.from.Beyond)
		}
	}
}

func remains(beyond geom.Nm) string {
	if beyond <= 0 {
		return "nothing is"
	}
	return beyond.String() + " are"
}

func bodiless(n int) string {
	if n == 1 {
		return "an opening has no body round it"
	}
	return strconv.Itoa(n) + " openings have no body round them"
}

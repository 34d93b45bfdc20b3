package flow

import (
	"slices"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// Request returns what the project asks of the circuit. Chains and groups name the panels that the drawings gave: a drawing
// of several panels stands for all of them, one without a good panel hands its feed's length on to the next.
func Request(p project.Project, drawings []Drawing) led.Request {
	req := led.Usual()
	req.Supply, req.SupplyOhms, req.Rated, req.Ambient = p.Supply.Volts, p.Supply.Ohms, p.Supply.Amps, p.Ambient
	if c, ok := part.FindChemistry(p.Supply.Battery.Chemistry); ok {
		req.Battery = led.Battery{Chemistry: c, Cells: p.Supply.Battery.Cells, AmpHours: p.Supply.Battery.AmpHours}
	}
	for _, o := range p.Supply.AlsoFeeds {
		req.Others = append(req.Others, led.Load(o))
	}
	req.Wire, req.WireCelsius = p.Feed.Wire, p.Feed.Celsius
	req.ConnectorRated, req.ContactOhms = p.Feed.Connector, p.Feed.Contact
	req.Fuse, req.FuseOhms, req.HolderOhms, req.SwitchOhms = p.Feed.Fuse, p.Feed.FuseOhms, p.Feed.Holder, p.Feed.Switch
	req.MaxChange, req.Derating = p.Defaults.MaxChange, p.Defaults.Resistor.Used
	req.Kinds = p.Kinds
	d := &req.Defaults
	if k, ok := p.Kind(p.Defaults.LED); ok {
		d.Kind = k
	}
	d.Current, d.StringLength = p.Defaults.Current, p.Defaults.InSeries
	d.Series, d.Tolerance = p.Defaults.Resistor.Series, p.Defaults.Resistor.Tol
	d.ResistorPackage, d.ResistorRated = p.Defaults.Resistor.Package, p.Defaults.Resistor.Rated
	d.ResistorGrows = !p.Defaults.Resistor.Kept && d.ResistorRated == 0
	d.ConnectorPackage, d.FeedLength = p.Defaults.Connector, p.Defaults.FeedLength

	w := wiring{p, drawings, map[string]int{}, map[string]boardRef{}}
	for i, q := range drawings {
		for _, b := range q.boards() {
			w.board[b.name] = b
			w.byName[b.name] = i
		}
	}
	for i, q := range drawings {
		w.byName[q.Entry.Name] = i
		delete(w.board, q.Entry.Name) // it stands for all that the drawing gives
	}
	req.Chains = nil
	for _, c := range p.Chains {
		from, carried := w.start(c.From)
		run := led.Run{From: from, BothEnds: c.BothEnds, BackLength: c.BackLength}
		var last boardRef
		for _, name := range c.Boards {
			i, ok := w.byName[name]
			if !ok {
				continue
			}
			e := drawings[i]
			if len(e.Panels) == 0 {
				carried += e.Entry.FeedLength
				continue
			}
			boards := e.boards()
			if one, ok := w.board[name]; ok {
				boards = []boardRef{one}
			}
			if len(boards) == 0 {
				carried += e.Entry.FeedLength // the feed passes it by
			}
			for _, b := range boards {
				set := settings(p, e.Entry, *d)
				set.Panel, set.FeedLength = b.name, e.Entry.FeedLength+carried
				if b.panel == last.panel { // of one panel with several
					set.FeedLength = between(last.box, b.box)
				}
				carried, last = 0, b
				req.Panels = append(req.Panels, set)
				run.Panels = append(run.Panels, b.name)
			}
		}
		run.BackLength += carried
		if len(run.Panels) > 0 {
			req.Chains = append(req.Chains, run)
		}
	}
	for _, g := range p.Groups {
		dim := led.Dimmed{Name: g.Name, Kinds: g.LEDs, Lights: led.Lighting(g.Lights), Duty: g.Duty}
		for _, name := range g.Panels {
			dim.Panels = append(dim.Panels, name)
			if _, one := w.board[name]; one {
				continue
			}
			if i, ok := w.byName[name]; ok {
				for _, b := range drawings[i].boards() {
					dim.Panels = append(dim.Panels, b.name)
				}
			}
		}
		req.Groups = append(req.Groups, dim)
	}
	return req
}

// settings are those of a project's entry over the usual ones.
func settings(p project.Project, e project.Panel, set led.Settings) led.Settings {
	if e.LED != "" {
		if k, ok := p.Kind(e.LED); ok {
			set.Kind = k
		}
	}
	if e.Current != 0 {
		set.Current = e.Current
	}
	if e.InSeries != 0 {
		set.StringLength = e.InSeries
	}
	set.Wire = e.Wire
	return set
}

// wiring finds what feeds a panel.
type wiring struct {
	project  project.Project
	drawings []Drawing
	byName   map[string]int // the entry that gives a panel or a board
	board    map[string]boardRef
}

// between is the length of the feed between two boards behind one panel: the way between their edges, and a hand's width to wire
// them by.
func between(a, b geom.Box) geom.Nm {
	const ends, step = 100 * geom.Millimetre, 10 * geom.Millimetre
	return (geom.Nm(a.Dist(b)) + ends + step - 1) / step * step
}

// start returns the good panel that a chain from the named one starts from, empty for the supply, and the length of feed to
// add where panels between are not good.
func (w wiring) start(from string) (string, geom.Nm) {
	add := geom.Nm(0)
	for range len(w.drawings) + 1 {
		i, ok := w.byName[from]
		if !ok || from == "" {
			break
		}
		if one, ok := w.board[from]; ok {
			return one.name, add
		}
		if good := w.drawings[i].boards(); len(good) > 0 {
			return good[len(good)-1].name, add
		}
		add += w.drawings[i].Entry.FeedLength
		from = w.before(from)
	}
	return "", add
}

// before returns the panel that feeds the named one, empty for the supply.
func (w wiring) before(name string) string {
	for _, c := range w.project.Chains {
		switch i := slices.Index(c.Boards, name); {
		case i > 0:
			return c.Boards[i-1]
		case i == 0:
			return c.From
		}
	}
	return ""
}

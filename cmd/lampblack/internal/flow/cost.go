package flow

import (
	"context"
	"slices"
	"strings"

	"lampblack/board"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/cost"
	"lampblack/export/parts"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

// costIn is what is counted of one console, and of all that are made where these are several.
type costIn struct {
	Counts []cost.Counts
	Times  cost.Times
	Prices cost.Prices
}

type costOut struct {
	says
	All  []cost.Estimate
	File bundle.File
}

// costing estimates work and cost.
var costing = stage[costIn, costOut]{"cost", func(_ context.Context, in costIn) (out costOut) {
	for _, c := range in.Counts {
		out.All = append(out.All, cost.Of(c, in.Times, in.Prices))
	}
	out.File = bundle.File{Path: string(result.CostCSV), Data: cost.Details(out.All).CSV()}
	return out
}}

// costs estimates work and cost of the console, and tells what has no price.
func (s *session) costs(out *Outcome) {
	if s.set.Only != "" {
		return
	}
	var l diag.List
	in := costIn{Times: s.project.Times, Prices: s.prices(&l)}
	for _, n := range slices.Compact([]int{1, s.project.Copies}) {
		in.Counts = append(in.Counts, s.counts(out, n))
	}
	kept, fault, ok := costing.run(s, "", in)
	l = append(l, faults(fault)...)
	if ok {
		out.Costs, out.costed = kept.Value.All, &kept.Value.File
		all := in.Counts[len(in.Counts)-1]
		unknown, known := in.Prices.Unknown(all)
		for _, n := range unknown {
			f := l.Add(diag.Warning, "cost-unknown", "the price list has %s, and no part of the console goes by that", n.Name).About("prices")
			f.Place = n.At
			if near, ok := diag.Nearest(n.Name, known); ok {
				f.Fix("did you mean %s?", near)
			} else {
				f.Fix("write a value, a package, a part and its value as parts.csv has them, or your own number; or take it out")
			}
		}
		if missing := out.Costs[len(out.Costs)-1].Missing(); len(missing) > 0 {
			l.Add(diag.Warning, "cost-no-price", "no price is told of %s: sums leave these out", strings.Join(missing, "; ")).About("prices").
				Fix("add them to %s, with 0 for what costs nothing", in.Prices.File)
		}
	}
	out.Findings = append(out.Findings, s.shifted(l, nil)...)
}

// prices reads the price list that the project names; what is wrong with it stops no board.
func (s *session) prices(l *diag.List) cost.Prices {
	file, name := s.project.PriceFile(), told(s.project.Prices)
	if file == "" {
		return cost.Prices{}
	}
	data, err := s.set.load(file)
	if err != nil {
		f := l.Add(diag.Error, fileCode(err), "%s", fileText(err, name)).About("prices").
			Fix("check the name and where the file lies: beside the project file; or take prices out")
		f.Spares = true
		return cost.Prices{}
	}
	p, found := project.ReadPrices(data, name)
	for i := range found {
		found[i].Spares = true
	}
	*l = append(*l, found...)
	if found.HasErrors() {
		return cost.Prices{}
	}
	return p
}

// counts is what so many consoles take.
func (s *session) counts(out *Outcome, copies int) cost.Counts {
	c := cost.Counts{Consoles: copies}
	items, mounts, beside := s.itemsFor(out, copies), out.mounts(), s.toBuy(out)
	beside.Copies, beside.Sheets = copies, nil
	for _, b := range parts.Bill(beside.list(parts.Hardware(mounts, copies), items...)) {
		c.Parts = append(c.Parts, cost.Part{Names: b.Names, Number: b.Number, What: b.What, Quantity: b.Quantity, Spares: b.Spares, Unit: b.Unit, Own: b.Price})
	}
	drilled := map[string]int{} // looked up only
	for _, m := range out.made() {
		drilled[m.Name()] = holes(m.lowered.Value.Art)
	}
	for _, o := range out.Orders {
		drilled[result.OrderFolder(o.Name)] = o.holes
	}
	for _, p := range parts.Packs(out.arraysFor(copies), items...) {
		what := "board "
		if p.Holds != "" {
			what = "array "
		}
		c.Boards = append(c.Boards, cost.Board{Name: what + p.Name, W: p.Size.W(), H: p.Size.H(), Quantity: p.Quantity})
		c.Holes += drilled[p.Name] * p.Quantity
	}
	for _, i := range items {
		soldered(&c.Work, i)
	}
	for _, m := range mounts {
		if m.Thread != "" {
			c.Work.Screws += copies
		}
	}
	c.Work.Boards, c.Work.Wires, c.Work.Ends = len(items)*copies, len(beside.Cuts)*copies, 2*len(beside.Cuts)*copies
	s.countSheets(out, &c)
	return c
}

// soldered adds the parts of a board and their joints, as often as it is made.
func soldered(w *cost.Work, i parts.Item) {
	for _, p := range i.Board.Parts {
		if slices.Contains(i.Idle, p.Ref) {
			continue
		}
		n := 1
		if p.Kind == board.Connector && strings.HasPrefix(p.Footprint, board.WirePads) {
			n = 0 // the wires are all that is soldered
		}
		if slices.ContainsFunc(p.Pads, func(q board.Pad) bool { return q.Through }) {
			w.ThroughParts += n * i.Quantity
			w.ThroughJoints += len(p.Pads) * i.Quantity
		} else {
			w.SurfaceParts += n * i.Quantity
			w.SurfaceJoints += len(p.Pads) * i.Quantity
		}
	}
}

// holes counts what is drilled in a board or an array, and the slots that are routed by the drill files.
func holes(a export.Artwork) int {
	n := 0
	for _, d := range a.Drills {
		n += len(d.Hits) + len(d.Slots)
	}
	return n
}

// countSheets counts the acrylic and what the laser does to it.
func (s *session) countSheets(out *Outcome, c *cost.Counts) {
	for _, q := range s.acrylic(out, c.Consoles) {
		one := cost.Sheet{Kind: q.Kind, Words: q.Words, W: q.W, H: q.H, Stock: q.Panel == ""}
		i := slices.IndexFunc(c.Sheets, func(o cost.Sheet) bool { o.Quantity = 0; return o == one })
		if i < 0 {
			i, c.Sheets = len(c.Sheets), append(c.Sheets, one)
		}
		c.Sheets[i].Quantity += q.Count
		c.Work.Laid += q.Count
	}
	for _, b := range out.Built {
		if !b.written() {
			continue
		}
		for _, q := range s.sheetsOf(b) {
			_, words := sheetWords(q.Name)
			i := slices.IndexFunc(c.Laser, func(o cost.Lasered) bool { return o.Kind == words })
			if i < 0 {
				i, c.Laser = len(c.Laser), append(c.Laser, cost.Lasered{Kind: words, Times: c.Consoles})
			}
			c.Laser[i].Cut, c.Laser[i].Engraved = append(c.Laser[i].Cut, q.Cut), append(c.Laser[i].Engraved, q.Engraved)
		}
	}
}

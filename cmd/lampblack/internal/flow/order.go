package flow

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampblack/cmd/lampblack/internal/memo"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export"
	"lampblack/export/bundle"
	"lampblack/export/gang"
	"lampblack/export/parts"
	"lampblack/export/picture"
	"lampblack/export/readback"
	"lampblack/export/report"
	"lampblack/export/result"
	"lampblack/led"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// Ordered is one manufacturing panel with several boards that was proven.
type Ordered struct {
	result.Order
	files []bundle.File // below its folder
	holes int           // drilled in it
}

// array is an array as the lists take it.
func array(in orderIn, made orderOut) parts.Array {
	a := parts.Array{Name: result.OrderFolder(in.Order.Name), Holds: in.holds(), Laminate: in.Pieces[0].Lowered.Value.Art.Laminate}
	a.Size = geom.BoxOf(geom.Pt{}, geom.PtMM(made.Order.Width, made.Order.Height))
	return a
}

// holds is which boards an array holds.
func (in orderIn) holds() []parts.Held {
	var out []parts.Held
	for _, p := range in.Pieces {
		out = append(out, parts.Held{Board: p.Lowered.Value.Art.Name, Count: p.Count})
	}
	return out
}

// arrayed is an order of the project as arrays: what it holds in all, and how that is parted.
type arrayed struct {
	holds  []parts.Held
	loads  []gang.Load
	arrays []parts.Array // of each load
}

// quantities returns how often each array is made where so many of each board are wanted and the arrays before bring what they do.
func (a arrayed) quantities(wanted int, before []parts.Array) []int {
	var counts []int
	for _, h := range a.holds {
		counts = append(counts, h.Count)
	}
	return gang.Quantities(a.loads, counts, parts.Times(wanted, before, a.holds))
}

// arrays are the arrays made so far.
func (s *session) arrays(out *Outcome) []parts.Array { return out.arraysFor(s.project.Copies) }

// arraysFor are the arrays made so far, as often as that many consoles take them.
func (out *Outcome) arraysFor(copies int) []parts.Array {
	var all []parts.Array
	for _, o := range out.arrayed {
		for k, n := range o.quantities(copies, all) {
			one := o.arrays[k]
			one.Quantity = n
			all = append(all, one)
		}
	}
	return all
}

func drillTravel(a export.Artwork) *result.DrillTravel { return result.DrillTravelOf(travel(a)) }

// orderIn is the boards of an array and how they are laid out.
type orderIn struct {
	Order  project.Order
	Pieces []pieceIn
	Mask   geom.Nm
	Meta   packMeta
	Times  int    // that it is ordered
	Key    string // the project's order, of which it may be a part
}

type pieceIn struct {
	Lowered memo.Kept[lowerOut]
	Count   int
	Board   memo.Kept[boardOut] // for its rules and the list of parts
	Wiring  led.Wiring
	Idle    []string // connectors that no wire leads to
}

type orderOut struct {
	says
	Made  bool
	Order result.Order
	Files []bundle.File
	Holes int // drilled in it
}

// layoutOf is how an order's arrays may be laid out.
func layoutOf(o project.Order) gang.Options {
	opt := gang.Options{Width: o.Width, Height: o.Height, Rail: o.Frame, Gap: o.Slot}
	if o.PartedBy == project.Scoring {
		opt.Cut = gang.Vcuts
	}
	return opt
}

// listed is what an array holds, in words: "2 x dome".
func (in orderIn) listed() []string {
	var out []string
	for _, p := range in.Pieces {
		out = append(out, fmt.Sprintf("%d x %s", p.Count, p.Lowered.Value.Art.Name))
	}
	return out
}

// ordering lays out, writes and proves an array.
var ordering = stage[orderIn, orderOut]{"order", func(ctx context.Context, in orderIn) orderOut {
	o, name := in.Order, result.OrderFolder(in.Order.Name)
	var pieces []gang.Piece
	for _, p := range in.Pieces {
		art, b := p.Lowered.Value.Art, p.Board.Value.Board
		pieces = append(pieces, gang.Piece{Art: art, Count: p.Count, EdgeClear: b.NearestCopper(), HoleClear: b.Rules.CopperToHole, InkClear: b.Rules.LegendClear})
	}
	opt := layoutOf(o)
	opt.Name, opt.Order, opt.Mask = name, in.Key, in.Mask
	parting := fmt.Sprintf("routed slots of %v, broken out at tabs with holes of 0.5 mm", o.Slot)
	cut := "tabs" // the word of result.json
	if o.PartedBy == project.Scoring {
		cut = "v-cut"
		parting = "V-cuts from both sides, a third of the laminate left, on the lines of the V-cut layer"
	}
	plan, l := gang.Make(ctx, pieces, opt)
	if l.HasErrors() {
		return orderOut{says: says{l}}
	}
	var fab []bundle.File
	var packed []byte
	if !work.Until(ctx, func(w *work.Watch) {
		var found diag.List
		page := report.Pack{Quantity: strconv.Itoa(in.Times), Array: strings.Join(in.listed(), ", "), Parting: parting}
		hung(&page, plan, pieces)
		fab, found = fabFiles(w, plan.Art, in.Meta, page, in.lists(plan)...)
		if l = append(l, found...); !l.HasErrors() {
			l = append(l, ownPack(proveOrder(ctx, w, plan, fab), name)...)
		}
		packed = bundle.Zip(w, fab)
	}) {
		return orderOut{}
	}
	r := result.OrderOf(o.Name, cut, plan.Art.Size, plan.Used)
	r.Quantity = in.Times
	r.Packing, r.Tabs, r.Travel = plan.Method, len(plan.Tabs), drillTravel(plan.Art)
	for _, b := range plan.Boards {
		r.Boards = append(r.Boards, result.OrderBoardOf(pieces[b.Piece].Art.Name, b.Box, b.Turn))
	}
	what := fmt.Sprintf("%.2f × %.2f mm, %.0f %% boards", r.Width, r.Height, 100*plan.Used)
	out := orderOut{says: says{l}, Made: true, Holes: holes(plan.Art)}
	for _, f := range fab {
		out.Files = append(out.Files, bundle.File{Path: result.PackFolder + f.Path, Data: f.Data})
	}
	out.Files = append(out.Files,
		bundle.File{Path: result.OrderZip.Within(o.Name), Data: packed},
		bundle.File{Path: result.ArrayTop.Within(o.Name), Data: picture.Array(plan.Art, geom.Top, in.Meta.Mask, name, what)},
		bundle.File{Path: result.ArrayBottom.Within(o.Name), Data: picture.Array(plan.Art, geom.Bottom, in.Meta.Mask, name, "bottom, seen through the board: "+what)})
	for _, f := range out.Files {
		r.Files = append(r.Files, name+"/"+f.Path)
	}
	out.Order = r
	return out
}}

// lists are the array's own lists: where the parts of all its boards stand, and what they are.
func (in orderIn) lists(plan gang.Plan) []list {
	var items []parts.Item
	for i, p := range in.Pieces {
		one := parts.Item{Board: p.Board.Value.Board, Wiring: p.Wiring, Idle: p.Idle}
		for k, b := range plan.Boards {
			if b.Piece == i {
				one.Numbers = append(one.Numbers, gang.Number(k))
			}
		}
		items = append(items, one)
	}
	return []list{placementOf(plan.Art), {export.PartsFileName(plan.Art.Name), export.PartsMeaning, parts.Parts(items...).CSV()}}
}

func placementOf(a export.Artwork) list {
	return list{export.PlacementFileName(a.Name), export.PlacementMeaning, parts.ArrayPlacement(a).CSV()}
}

// hung tells README.txt where the boards hang.
func hung(page *report.Pack, plan gang.Plan, pieces []gang.Piece) {
	for i, b := range plan.Boards {
		q := pieces[b.Piece]
		one := report.Hung{Board: q.Art.Name, Box: b.Box, Turn: b.Turn * geom.QuarterDegrees}
		for _, t := range plan.Tabs {
			switch {
			case t.Board == i:
				one.Tabs = append(one.Tabs, report.Tab{At: t.At, Other: t.Other + 1})
			case t.Other == i:
				one.Tabs = append(one.Tabs, report.Tab{At: t.Far(), Other: t.Board + 1})
			}
		}
		page.Hung = append(page.Hung, one)
		if page.Bare == 0 || q.EdgeClear < page.Bare {
			page.Bare = q.EdgeClear
		}
	}
	v, _ := plan.Art.Layer(export.Vcut)
	for _, s := range v.Objects {
		page.Scored = append(page.Scored, geom.Segment{A: s.From, B: s.To})
	}
}

// splitIn is the boards of an order, and how large an array may be.
type splitIn struct {
	Order  project.Order
	Boards []splitBoard
}

type splitBoard struct {
	Lowered memo.Kept[lowerOut]
	Count   int
}

type splitOut struct {
	says
	Loads []gang.Load
}

// splitting parts an order that one array does not hold.
var splitting = stage[splitIn, splitOut]{"split", func(ctx context.Context, in splitIn) splitOut {
	var pieces []gang.Piece
	for _, b := range in.Boards {
		pieces = append(pieces, gang.Piece{Art: b.Lowered.Value.Art, Count: b.Count})
	}
	return splitOut{Loads: gang.Loads(ctx, pieces, layoutOf(in.Order))}
}}

// orders plans, writes and proves the arrays that the project asks for.
func (s *session) orders(out *Outcome) {
	for _, o := range s.project.Orders {
		in, l := s.pieces(out, o)
		var made []Ordered
		var parted arrayed
		if !l.HasErrors() && len(in.Pieces) > 0 {
			var more diag.List
			made, parted, more = s.arrayed(out, o, in)
			l = append(l, more...)
		}
		for k := range l {
			f := &l[k]
			if len(f.Subject.Keys) == 0 {
				f.About(diag.OrderKey(o.Name, "boards"))
			}
			if f.Place.File == "" {
				at := f.Place.At
				f.Place = s.project.Where(f.Subject.Keys, s.entry)
				f.Place.At = at
			}
		}
		out.Findings = append(out.Findings, l...)
		if len(made) > 0 {
			out.Orders, out.arrayed = append(out.Orders, made...), append(out.arrayed, parted)
		}
	}
}

// arrayed makes the arrays of an order: one, or several where one does not hold all.
func (s *session) arrayed(out *Outcome, o project.Order, in orderIn) (made []Ordered, as arrayed, l diag.List) {
	split := splitIn{Order: o}
	for _, p := range in.Pieces {
		split.Boards = append(split.Boards, splitBoard{p.Lowered, p.Count})
	}
	parted, fault, ok := splitting.run(s, o.Name, split)
	if !ok {
		return nil, as, faults(fault)
	}
	loads := parted.Value.Loads
	as = arrayed{holds: in.holds(), loads: loads}
	quantities := as.quantities(s.project.Copies, s.arrays(out))
	var told []string
	for k, load := range loads {
		one := in
		one.Key, one.Times, one.Pieces = o.Name, quantities[k], nil
		if len(loads) > 1 {
			one.Order.Name = fmt.Sprintf("%s-%d", o.Name, k+1)
			if s.nameTaken(out, one.Order.Name) {
				l.Add(diag.Error, "order-name", "the order %s does not fit on one array, and its part %s would have the name of something else", o.Name, result.OrderFolder(one.Order.Name)).
					About(diag.OrderKey(o.Name, "name")).Fix("give the order another name")
				return nil, as, l
			}
		}
		for i, n := range load.Counts {
			if n > 0 {
				p := in.Pieces[i]
				p.Count = n
				one.Pieces = append(one.Pieces, p)
			}
		}
		told = append(told, fmt.Sprintf("%d of %s", quantities[k], strings.Join(one.listed(), " and ")))
		kept, fault, ok := ordering.run(s, one.Order.Name, one)
		l = append(l, faults(fault)...)
		if !ok {
			return nil, as, l
		}
		for _, f := range kept.Value.Findings {
			if f.Panel == result.OrderFolder(one.Order.Name) { // the array's name: it is no panel of the project
				f.Panel = ""
			}
			l = append(l, f)
		}
		if kept.Value.Made {
			made, as.arrays = append(made, Ordered{kept.Value.Order, kept.Value.Files, kept.Value.Holes}), append(as.arrays, array(one, kept.Value))
		}
	}
	if l.HasErrors() {
		return nil, as, l
	}
	if len(loads) > 1 || loads[0].Times > 1 {
		l.Add(diag.Note, "order-split", "the order %s holds more than fits on one manufacturing panel of %v x %v, so it is split into arrays: %s", o.Name, o.Width, o.Height, strings.Join(told, ", ")).
			About(diag.OrderKey(o.Name, "boards")).Fix("if your board house takes larger ones, tell width and height of the order")
	}
	return made, as, l
}

// nameTaken reports whether another order, a panel or a board has the name or the folder of an array.
func (s *session) nameTaken(out *Outcome, name string) bool {
	same := func(a, b string) bool { return strings.EqualFold(a, b) }
	return slices.ContainsFunc(s.project.Orders, func(o project.Order) bool { return same(o.Name, name) }) ||
		slices.ContainsFunc(out.Built, func(b Built) bool {
			return slices.ContainsFunc(b.folders(), func(f folder) bool { return same(f.name, result.OrderFolder(name)) })
		})
}

// pieces gathers what an array is made of.
func (s *session) pieces(out *Outcome, o project.Order) (orderIn, diag.List) {
	var l diag.List
	name := result.OrderFolder(o.Name)
	in := orderIn{Order: o, Mask: s.project.Rules.MaskMargin, Meta: s.meta()}
	cuts := s.cuts(out)
	for _, want := range o.Boards {
		var known []string
		var b *Built
		var boards []Made // the panel's, or the one that is named
		for i := range out.Built {
			q := &out.Built[i]
			if strings.EqualFold(q.Panel.Name, want.Panel) {
				b, boards = q, q.Boards
			}
			for _, m := range q.Boards {
				known = append(known, m.Name())
				if strings.EqualFold(m.Name(), want.Panel) {
					b, boards = q, []Made{m}
				}
			}
		}
		if b == nil || !b.written() {
			f := l.Add(diag.Error, "order-no-board", "the order %s asks for a board %s that there is not", o.Name, want.Panel).
				About(diag.OrderKey(o.Name, "boards."+want.Panel))
			if b == nil {
				f.Fix("the boards are: %s", strings.Join(known, ", "))
			} else {
				f.Fix("mend the errors of panel %s, or take it out of the order", b.Panel.Name)
			}
			continue
		}
		if slices.ContainsFunc(b.folders(), func(f folder) bool { return strings.EqualFold(f.name, name) }) {
			l.Add(diag.Error, "order-name", "the order's folder %s would be that of a panel", name).About(diag.OrderKey(o.Name, "name")).Fix("give the order another name")
			continue
		}
		for _, m := range boards {
			in.Pieces = append(in.Pieces, pieceIn{m.lowered, want.Count, m.proven, partsOf(m.Wiring), parts.Idle(m.Wiring, cuts)})
		}
	}
	return in, l
}

// proveOrder reads the array back from its own bytes: it is what was planned, it hangs together, and each board in it is the
// board that was proven.
func proveOrder(ctx context.Context, w *work.Watch, plan gang.Plan, fab []bundle.File) diag.List {
	pack, l := readBack(ctx, w, plan.Art, fab)
	if l.HasErrors() {
		return l
	}
	l = append(l, plan.Verify(pack.Artwork)...)
	for i := range plan.Boards {
		w.Look()
		for _, f := range readback.Compare(plan.Expected(i), plan.Extract(pack.Artwork, i)) {
			f.Text = fmt.Sprintf("board %d of the array: %s", i+1, f.Text)
			l = append(l, f)
		}
	}
	return l
}

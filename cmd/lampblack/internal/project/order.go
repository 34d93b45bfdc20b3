package project

import (
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Order is one manufacturing panel with several boards.
type Order struct {
	Name     string
	Boards   []Ordered
	Width    geom.Nm // of the manufacturing panel, at most
	Height   geom.Nm
	Frame    geom.Nm // width of it
	Slot     geom.Nm // between boards: the router bit
	PartedBy string  // Tabs or Scoring
}

// How boards are parted. Both are the words of IPC-2222.
const (
	Tabs    = "tabs"
	Scoring = "scoring"
)

// Ordered is a board and how many of it.
type Ordered struct {
	Panel string
	Count int
}

// Bounds of an order.
const (
	mostOrdered = 200 // boards on a manufacturing panel
	mostOrders  = 50
)

// newOrder is an order of which nothing is told. Up to about 400 by 300 mm is what assembly lines and most board houses
// take; a frame of 7 mm holds fiducials and tooling holes; 2 mm is the usual router bit (all common practice).
func newOrder() Order {
	return Order{Width: geom.MM(400), Height: geom.MM(300), Frame: geom.MM(7), Slot: geom.MM(2), PartedBy: Tabs}
}

func orderKeys() mapping[Order] {
	side := lengths(geom.MM(30), geom.MM(950))
	return mapping[Order]{keys: []key[Order]{
		{name: "name", is: bind(fileName(), func(o *Order) *string { return &o.Name }), help: "names `out/order-NAME`", usual: "its number", eg: []string{"spares"}},
		{name: "boards", is: bind(boards{}, func(o *Order) *[]Ordered { return &o.Boards }), need: true,
			help: "how many of each: `{dome: 2, focus: 4}`, or a list of panels", usual: "needed", eg: []string{"{dome: 2, focus: 4}"}},
		{name: "width", is: bind(side, func(o *Order) *geom.Nm { return &o.Width }), help: "of the whole, at most", usual: "400 mm", eg: []string{"400 mm"}},
		{name: "height", is: bind(side, func(o *Order) *geom.Nm { return &o.Height }), help: "of the whole, at most", usual: "300 mm", eg: []string{"300 mm"}},
		{name: "parted_by", was: []string{"cut"}, is: bind(choice{words: []string{Tabs, Scoring}, was: map[string]string{"v cut": Scoring}}, func(o *Order) *string { return &o.PartedBy }),
			help: "`tabs`: routed slots, with tabs to break; `scoring`: V-cuts from both sides, for rectangular boards of one kind", usual: "`tabs`", eg: []string{Tabs, Scoring}},
		{name: "slot", was: []string{"gap"}, is: bind(lengths(geom.MM(1), geom.MM(10)), func(o *Order) *geom.Nm { return &o.Slot }), help: "width of the slots between boards: the router bit", usual: "2 mm", eg: []string{"2 mm"}},
		{name: "frame", was: []string{"rail"}, is: bind(lengths(geom.MM(5), geom.MM(50)), func(o *Order) *geom.Nm { return &o.Frame }), help: "width of the frame round them", usual: "7 mm", eg: []string{"7 mm"}},
	}, whole: func(r *reader, n ast.Node, at spot, o *Order) {
		if len(o.Boards) == 0 && r.has(join(at.path, "boards")) && !r.diags.HasErrors() {
			r.add(n, "project-no-boards", "%s asks for no board", r.say(at.path)).Fix("write boards: {dome: 2, focus: 4}, or take the order out").By("take the order out", diag.Remove, at.path, nil)
		}
		total := 0
		for _, b := range o.Boards {
			total += b.Count
		}
		if total > mostOrdered {
			r.add(n, "project-too-large", "%s asks for %d boards on a panel; %d are possible", r.say(at.path), total, mostOrdered).Fix("split the order")
		}
	}}
}

// boards are names of panels with a count each, or a list of names, one board each time a name stands there.
type boards struct{ leaf }

func (boards) count() quantity[int] { return counts(1, mostOrdered) }

func (b boards) read(r *reader, n ast.Node, at spot, to *[]Ordered) bool {
	add := func(name string, count int, where ast.Node) {
		r.places[join(at.path, name)] = r.at(where)
		for i := range *to {
			if o := &(*to)[i]; strings.EqualFold(o.Panel, name) {
				o.Count += count
				return
			}
		}
		*to = append(*to, Ordered{name, count})
	}
	m, keys := n.(ast.MapNode)
	if !keys {
		var list []string
		ok := names("").read(r, n, at, &list)
		s, _ := n.(*ast.SequenceNode)
		for i, name := range list {
			if name != "" {
				add(name, 1, s.Values[i])
			}
		}
		return ok
	}
	good := true
	for it := m.MapRange(); it.Next(); {
		name, ok := scalar(it.Key())
		if !ok {
			r.add(it.Key(), "project-unknown-key", "this cannot be a panel's name").Fix("write boards: {dome: 2, focus: 4}")
			good = false
			continue
		}
		sub := spot{path: join(at.path, name), eg: []string{"1"}}
		var count int
		if good = b.count().read(r, it.Value(), sub, &count) && good; count > 0 {
			add(name, count, it.Key())
		}
	}
	return good
}

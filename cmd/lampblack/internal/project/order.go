package project

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel/geom"
)

// Order is one manufacturing panel with several boards.
type Order struct {
	Name   string
	Boards []Ordered
	Width  geom.Nm // of the manufacturing panel, at most
	Height geom.Nm
	Rail   geom.Nm // width of the frame
	Gap    geom.Nm // between boards: the router bit
	Cut    string  // "tabs" or "v-cut"
}

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

// orders reads the key order: one manufacturing panel, or a list of them.
func (r *reader) orders(n ast.Node, path string, p *Project) {
	if _, list := n.(*ast.SequenceNode); !list {
		r.order(n, path, p)
		return
	}
	r.sequence(n, path, func(n ast.Node, path string) { r.order(n, path, p) })
}

func (r *reader) order(n ast.Node, path string, p *Project) {
	// Up to about 400 by 300 mm is what assembly lines and most board houses take; a frame of 7 mm holds fiducials and
	// tooling holes; 2 mm is the usual router bit (all common practice).
	o := Order{Width: geom.MM(400), Height: geom.MM(300), Rail: geom.MM(7), Gap: geom.MM(2), Cut: "tabs"}
	r.mapping(n, path,
		field{"name", func(n ast.Node, path string) { r.name(n, path, &o.Name) }},
		field{"boards", func(n ast.Node, path string) { o.Boards = r.ordered(n, path) }},
		field{"width", func(n ast.Node, path string) { set(&o.Width)(r.length(n, path, geom.MM(30), geom.MM(950))) }},
		field{"height", func(n ast.Node, path string) { set(&o.Height)(r.length(n, path, geom.MM(30), geom.MM(950))) }},
		field{"rail", func(n ast.Node, path string) { set(&o.Rail)(r.length(n, path, geom.MM(5), geom.MM(50))) }},
		field{"gap", func(n ast.Node, path string) { set(&o.Gap)(r.length(n, path, geom.MM(1), geom.MM(10))) }},
		field{"cut", func(n ast.Node, path string) { set(&o.Cut)(r.oneOf(n, path, []string{"tabs", "v-cut"})) }},
	)
	if !r.need(n, path, "boards") {
		return
	}
	if o.Name == "" {
		o.Name = strconv.Itoa(len(p.Orders) + 1)
	}
	total := 0
	for _, b := range o.Boards {
		total += b.Count
	}
	if total > mostOrdered || len(p.Orders) >= mostOrders {
		r.add(n, "project-too-large", "%s asks for %d boards on a panel; %d are possible, and %d orders", r.say(path), total, mostOrdered, mostOrders).
			Fix("split the order")
		return
	}
	for _, other := range p.Orders {
		if strings.EqualFold(other.Name, o.Name) {
			r.add(n, "project-same-name", "two orders are named %s", o.Name).Fix("give each a name of its own: name: desk-2")
			return
		}
	}
	p.Orders = append(p.Orders, o)
}

// ordered reads which boards: names with a count each, or a list of names, one board each time a name stands there.
func (r *reader) ordered(n ast.Node, path string) []Ordered {
	var out []Ordered
	add := func(name string, count int) {
		for i := range out {
			if strings.EqualFold(out[i].Panel, name) {
				out[i].Count += count
				return
			}
		}
		out = append(out, Ordered{name, count})
	}
	m, ok := n.(ast.MapNode)
	if !ok {
		r.sequence(n, path, func(n ast.Node, path string) {
			if s, ok := r.text(n, path); ok {
				r.places["order-board."+strings.ToLower(s)] = r.at(n)
				add(s, 1)
			}
		})
		return out
	}
	for it := m.MapRange(); it.Next(); {
		name, ok := scalar(it.Key())
		if !ok {
			r.add(it.Key(), "project-unknown-key", "this cannot be a panel's name").Fix("write boards: {dome: 2, focus: 4}")
			continue
		}
		sub := join(path, name)
		r.places[sub] = r.at(it.Key())
		r.places["order-board."+strings.ToLower(name)] = r.at(it.Key())
		s, ok := r.text(it.Value(), sub)
		if !ok {
			continue
		}
		count, err := strconv.Atoi(s)
		if err != nil || count < 1 || count > mostOrdered {
			r.add(it.Value(), "project-wrong-value", "%s: %s is no number of boards", sub, strconv.Quote(s)).Fix("write a whole number from 1 to %d", mostOrdered)
			continue
		}
		add(name, count)
	}
	return out
}

package project

import (
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel/dxf"
)

// Connectors says where a panel's connectors must stand: IN of its first board along the feed, OUT of its last.
type Connectors struct{ In, Out Berth }

// Berth is where a connector must stand. The zero value leaves it to the flow.
type Berth struct {
	Edge string  // of the board: "left", "bottom", "right" or "top"
	Here bool    // the middle of its row of pins is at the place
	X, Y float64 // on the drawing, mm
}

// Edges are the words for a board's edges.
func Edges() []string { return []string{"left", "bottom", "right", "top"} }

func berthKeys() mapping[Connectors] {
	return mapping[Connectors]{brief: true, keys: []key[Connectors]{
		{name: "in", is: bind(berth{}, func(c *Connectors) *Berth { return &c.In }), help: "of the feed that comes", usual: "free", eg: []string{"left", "[12, 30]"}},
		{name: "out", is: bind(berth{}, func(c *Connectors) *Berth { return &c.Out }), help: "of the feed that goes on", usual: "free", eg: []string{"bottom", "[120, 8]"}},
	}}
}

// berth is a Berth: an edge's name, or [x, y].
type berth struct{ within }

func (berth) edge() choice { return choice{words: Edges()} }

func (k berth) read(r *reader, n ast.Node, at spot, to *Berth) bool {
	word, isText := scalar(n)
	if !isText || strings.Contains(word, ",") {
		var xy *dxf.XY
		if !k.within.read(r, n, at, &xy) {
			return false
		}
		*to = Berth{Here: true, X: xy.X, Y: xy.Y}
		return true
	}
	var edge string
	ok := k.edge().read(r, n, at, &edge)
	*to = Berth{Edge: edge}
	return ok
}

func (k berth) schema() *Schema {
	return &Schema{AnyOf: []*Schema{k.edge().schema(), k.within.schema()}}
}

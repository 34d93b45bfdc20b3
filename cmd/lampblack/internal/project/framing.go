package project

import (
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/panel/frame"
	"lampblack/panel/geom"
)

// Bounds of a frame's walls: what is narrower breaks, what is wider leaves no room for light.
const (
	leastWall = 2 * geom.Millimetre
	mostWall  = 30 * geom.Millimetre
)

// framing is the width of a frame's walls; yes is the usual one, no none.
type framing struct{ leaf }

func (framing) bare() string { return "mm" }

func (framing) widths() quantity[geom.Nm] { return lengths(leastWall, mostWall) }

func (f framing) schema() *Schema {
	return &Schema{AnyOf: []*Schema{f.widths().schema(), yesNo{}.schema()}}
}

func (f framing) read(r *reader, n ast.Node, at spot, to *geom.Nm) bool {
	switch strings.ToLower(n.GetToken().Value) {
	case "yes", "true":
		*to = frame.Usual
		return true
	case "no", "false":
		*to = 0
		return true
	}
	return f.widths().read(r, n, at, to)
}

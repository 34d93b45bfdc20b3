package tables

import (
	"fmt"
	"strings"

	"lampblack/export/result"
	"lampblack/export/table"
)

// Boards is the finished boards, and where the others stopped.
func Boards(c result.Console) table.Table {
	t := table.New("Boards", table.Text("panel"), table.Number("width", "mm"), table.Number("height", "mm"), table.Number("strings", ""),
		table.Number("nets", ""), table.Number("joints", ""), table.Number("open", ""), table.Number("track", "mm"), table.Number("hops/least", ""),
		table.Number("vias", ""), table.Number("least gap", "mm"), table.Number("+", "mohm"), table.Number("0 V", "mohm"),
		table.Number("light min/mean", ""), table.Text("state"))
	for _, p := range c.Panels {
		b := p.Board
		if b == nil {
			t.Add(p.Name, "", "", len(p.Strings), "", "", "", "", "", "", "", "", "", "", state(p.Stopped))
			continue
		}
		hops, gap, plus, minus, light := "", "", "", "", ""
		if b.Hops.Ratio > 0 {
			hops = table.Fixed(b.Hops.Ratio, 2)
		}
		if b.MinClearance > 0 {
			gap = table.Fixed(b.MinClearance, 2)
		}
		if c := b.Through; c != nil {
			plus, minus = table.Fixed(1e3*c.PlusOhms, 1), table.Fixed(1e3*c.MinusOhms, 1)
		}
		if p.Light != nil {
			light = table.Fixed(p.Light.MinToMean, 2)
		}
		t.Add(p.Name, table.Fixed(b.Width, 2), table.Fixed(b.Height, 2), len(p.Strings), b.Nets, b.Connections, b.Unrouted, table.Fixed(b.TrackMM, 0),
			hops, b.Vias, gap, plus, minus, light, state(p.Stopped))
	}
	return t
}

// state is how far a board came; stopped names the stage that found an error.
func state(stopped string) string {
	if stopped != "" {
		return "stopped: " + stopped
	}
	return "proven"
}

// Limits is how much of the board house's limits each board uses, and which of them it comes nearest to.
func Limits(c result.Console) table.Table {
	t := table.New("Finest on each board (limits of class "+c.FabClass+")", append(append([]table.Column{table.Text("panel")}, finest()...),
		table.Text("tightest"), table.Number("found", "mm"), table.Number("limit", "mm"))...)
	for _, p := range c.Panels {
		if b := p.Board; b != nil && b.Tightest != nil {
			t.Add(p.Name, table.Fixed(b.MinClearance, 2), table.Fixed(b.MinTrack, 2), table.Fixed(b.MinRing, 2), table.Fixed(b.MinHole, 2),
				table.Fixed(b.MinEdge, 2), b.Tightest.Limit, table.Fixed(b.Tightest.Found, 2), table.Fixed(b.Tightest.Required, 2))
		}
	}
	return t
}

// finest is the columns of a board's smallest measures.
func finest() []table.Column {
	return []table.Column{table.Number("gap", "mm"), table.Number("track", "mm"), table.Number("ring", "mm"), table.Number("hole", "mm"), table.Number("to edge", "mm")}
}

// Orders is the arrays of several boards.
func Orders(c result.Console) table.Table {
	t := table.New("Orders: several boards on one panel", table.Text("order"), table.Number("quantity", ""), table.Text("boards"), table.Number("width", "mm"), table.Number("height", "mm"),
		table.Number("boards", "%"), table.Number("tabs", ""), table.Text("parted by"), table.Number("drill way", "m"), table.Number("unsorted", "m"))
	for _, o := range c.Orders {
		short, plain := "", ""
		if o.Travel != nil {
			short, plain = table.Fixed(o.Travel.Written/1000, 2), table.Fixed(o.Travel.Plain/1000, 2)
		}
		t.Add(o.Name, o.Quantity, Ordered(o), table.Fixed(o.Width, 2), table.Fixed(o.Height, 2), percent(o.Utilisation, 0), o.Tabs, o.Cut, short, plain)
	}
	return t
}

// Ordered lists what an order holds, in the order of first places: "2 dome, 4 focus".
func Ordered(o result.Order) string {
	var kinds []string
	count := map[string]int{}
	for _, b := range o.Boards {
		if count[b.Panel]++; count[b.Panel] == 1 {
			kinds = append(kinds, b.Panel)
		}
	}
	for i, k := range kinds {
		kinds[i] = fmt.Sprintf("%d %s", count[k], k)
	}
	return strings.Join(kinds, ", ")
}

// PackFiles is the files of a pack that was inspected.
func PackFiles(p result.Pack) table.Table {
	t := table.New("Files", table.Text("file"), table.Text("kind"), table.Text("function"), table.Number("width", "mm"), table.Number("height", "mm"),
		table.Number("flashes", ""), table.Number("draws", ""), table.Number("regions", ""), table.Number("errors", ""), table.Number("warnings", ""))
	for _, f := range p.Contents {
		w, h := "", ""
		if f.BBox != nil {
			w, h = table.Fixed(f.BBox[2]-f.BBox[0], 2), table.Fixed(f.BBox[3]-f.BBox[1], 2)
		}
		count := func(n int) string {
			if f.Kind != "gerber" {
				return ""
			}
			return fmt.Sprint(n)
		}
		t.Add(f.Name, f.Kind, f.Function, w, h, count(f.Flashes), count(f.Draws), count(f.Regions), f.Errors, f.Warnings)
	}
	return t
}

// PackHoles is the sizes of holes in a pack.
func PackHoles(p result.Pack) table.Table {
	t := table.New("Holes", table.Text("file"), table.Number("diameter", "mm"), table.Number("holes", ""), table.Number("slots", ""), table.Text("use"))
	for _, f := range p.Contents {
		for _, k := range f.Tools {
			t.Add(f.Name, table.Fixed(k.D, 3), k.Holes, k.Slots, k.Function)
		}
	}
	return t
}

// PackCopper is what the copper of a pack tells; no row where it could not be measured.
func PackCopper(p result.Pack) table.Table {
	t := table.New("Copper", append(append([]table.Column{table.Number("nets", ""), table.Number("joints", ""), table.Number("open", "")}, finest()...),
		table.Number("test points", ""))...)
	if f := p.Figures; f != nil {
		t.Add(len(p.Nets), f.Joints, f.Open, table.Fixed(f.MinClearance, 3), table.Fixed(f.MinTrack, 3), table.Fixed(f.MinRing, 3),
			table.Fixed(f.MinHole, 3), table.Fixed(f.MinEdge, 3), p.Points)
	}
	return t
}

// PackNets is the nets that a pack's attributes name.
func PackNets(p result.Pack) table.Table {
	t := table.New("Nets", table.Text("net"), table.Number("pads", ""), table.Number("vias", ""))
	for _, n := range p.Nets {
		t.Add(n.Name, n.Pads, n.Vias)
	}
	return t
}

package tables

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lampblack/export/result"
	"lampblack/export/table"
)

// Boards is the finished boards, and where the others stopped.
func Boards(c result.Console) table.Table {
	t := table.New("Boards", table.Text("panel"), table.Number("width", "mm"), table.Number("height", "mm"), table.Number("strings", ""),
		table.Number("connections", ""), table.Number("not made", ""), table.Number("tracks", "m"), table.Number("vias", ""),
		table.Number("darkest lettering", "% of average"), table.Text("state")).
		Read("Connections are the joints between two pads that copper has to make; vias are plated holes that lead a track to the other side. " +
			"Proven: the written files were read back, and every connection and every distance in them is right.")
	each(c, func(p result.Panel, q result.PanelBoard) {
		b := q.Board
		if b == nil {
			t.Add(q.Name, "", "", len(q.Strings), "", "", "", "", "", state(p.Stopped, false))
			return
		}
		light := ""
		if p.Light != nil {
			light = percent(p.Light.MinToMean, 0)
			for i, c := range p.Light.Colours {
				if i == 0 {
					light = ""
				} else {
					light += ", "
				}
				light += cmp.Or(c.Set, c.Colour) + " " + percent(c.MinToMean, 0)
			}
		}
		t.Add(q.Name, table.Fixed(b.Width, 2), table.Fixed(b.Height, 2), len(q.Strings), b.Connections, b.Unrouted, table.Fixed(b.TrackMM/1e3, 2),
			b.Vias, light, state(p.Stopped, asked(c, p)))
	})
	return t
}

// each goes through all boards, panel by panel.
func each(c result.Console, f func(result.Panel, result.PanelBoard)) {
	for _, p := range c.Panels {
		for _, q := range p.Every() {
			f(p, q)
		}
	}
}

// state is how far a board came; stopped names the stage that found an error. A board is proven for what its drawing was
// read as; where that was asked and nobody has answered, it says so.
func state(stopped string, asked bool) string {
	switch {
	case stopped != "":
		return "stopped: " + stopped
	case asked:
		return "as assumed"
	}
	return "proven"
}

// asked reports whether a question about the panel's drawing is open.
func asked(c result.Console, p result.Panel) bool {
	return slices.ContainsFunc(c.Findings, func(f result.Finding) bool { return f.Question != nil && f.File == p.Drawing })
}

// Limits is how much of the board house's limits each board uses, and which of them it comes nearest to.
func Limits(c result.Console) table.Table {
	kept := "Every board keeps all of them."
	if slices.ContainsFunc(c.Findings, func(f result.Finding) bool { return f.Code == "shape-gave-way" }) {
		kept = "Every board keeps them, but for those that gave way to an LED or a screw: warnings name them, and what is left."
	}
	t := table.New("What each board asks of its maker (limits of class "+c.FabClass+")", append(append([]table.Column{table.Text("panel")}, finest()...),
		table.Text("nearest to a limit"), table.Number("is", "mm"), table.Number("limit", "mm"))...).
		Read("The smallest of each on the board: between copper of different nets, a track's width, the copper round a hole, a hole, copper to the " +
			"board's edge. Last, which of all limits it comes nearest to. " + kept)
	each(c, func(_ result.Panel, q result.PanelBoard) {
		if b := q.Board; b != nil && b.Tightest != nil {
			t.Add(q.Name, table.Fixed(b.MinClearance, 2), table.Fixed(b.MinTrack, 2), table.Fixed(b.MinRing, 2), table.Fixed(b.MinHole, 2),
				table.Fixed(b.MinEdge, 2), b.Tightest.Limit, table.Fixed(b.Tightest.Found, 2), table.Fixed(b.Tightest.Required, 2))
		}
	})
	return t
}

// finest is the columns of a board's smallest measures.
func finest() []table.Column {
	return []table.Column{table.Number("copper gap", "mm"), table.Number("track", "mm"), table.Number("ring round holes", "mm"), table.Number("hole", "mm"),
		table.Number("copper to edge", "mm")}
}

// Orders is the arrays of several boards.
func Orders(c result.Console) table.Table {
	t := table.New("Orders: several boards made as one piece", table.Text("order"), table.Text("boards"), table.Number("quantity", ""), table.Number("width", "mm"),
		table.Number("height", "mm"), table.Number("area used", "%"), table.Number("tabs", ""), table.Text("parted by")).
		Read("The board house makes them as one; afterwards they are broken off their tabs, or along the scored lines.")
	for _, o := range c.Orders {
		t.Add(o.Name, Ordered(o), o.Quantity, table.Fixed(o.Width, 2), table.Fixed(o.Height, 2), percent(o.Utilisation, 0), o.Tabs, o.Cut)
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
		table.Number("pads and dots", ""), table.Number("lines", ""), table.Number("areas", ""), table.Number("errors", ""), table.Number("warnings", "")).
		Read("The function is what the file says it is for; width and height are of all that it draws.")
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
	t := table.New("Holes", table.Text("file"), table.Number("diameter", "mm"), table.Number("holes", ""), table.Number("slots", ""), table.Text("use")).
		Read("Slots are long holes. Plated holes have copper on their walls, others none.")
	for _, f := range p.Contents {
		for _, k := range f.Tools {
			t.Add(f.Name, table.Fixed(k.D, 3), k.Holes, k.Slots, k.Function)
		}
	}
	return t
}

// PackCopper is what the copper of a pack tells; no row where it could not be measured.
func PackCopper(p result.Pack) table.Table {
	t := table.New("Copper", append(append([]table.Column{table.Number("nets", ""), table.Number("connections", ""), table.Number("not made", "")}, finest()...),
		table.Number("test points", ""))...).
		Read("A net is all pads that belong together; connections are the joints between two of them that copper has to make. Then the smallest of " +
			"each on the board, and the points where the netlist has the board house test it.")
	if f := p.Figures; f != nil {
		t.Add(len(p.Nets), f.Joints, f.Open, table.Fixed(f.MinClearance, 2), table.Fixed(f.MinTrack, 2), table.Fixed(f.MinRing, 2),
			table.Fixed(f.MinHole, 2), table.Fixed(f.MinEdge, 2), p.Points)
	}
	return t
}

// PackNets is the nets that a pack's attributes name.
func PackNets(p result.Pack) table.Table {
	t := table.New("Nets", table.Text("net"), table.Number("pads", ""), table.Number("vias", "")).
		Read("The groups of pads that belong together, by the names that the files give them.")
	for _, n := range p.Nets {
		t.Add(n.Name, n.Pads, n.Vias)
	}
	return t
}

// Nests is the panels' sheets on stock.
func Nests(c result.Console) table.Table {
	t := table.New("Sheets on stock", table.Text("sheet"), table.Number("stock", "mm"), table.Number("pieces", ""), table.Number("sheets of stock", ""),
		table.Number("waste", "%"), table.Number("last one used", "mm"), table.Number("left of it", "mm"), table.Text("too large")).
		Read("Pieces are the sheets of all panels and copies. Waste is what becomes no piece, of all stock but what is left of the last sheet, beyond the width used.")
	for _, n := range c.Nests {
		off := "nothing"
		if n.CutOff != nil {
			off = table.Fixed(n.CutOff[0], 1) + " × " + table.Fixed(n.CutOff[1], 1)
		}
		t.Add(strings.ReplaceAll(n.Sheet, "led_sheet", "LED sheet"), table.Fixed(n.Width, 1)+" × "+table.Fixed(n.Height, 1), len(n.Pieces), n.Sheets, percent(n.Waste, 1),
			table.Fixed(n.Used, 1), off, strings.Join(n.TooLarge, ", "))
	}
	return t
}

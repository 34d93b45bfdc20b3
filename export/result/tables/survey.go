package tables

import (
	"lampblack/export/table"
	"lampblack/panel"
	"lampblack/panel/read"
)

// Survey is what a drawing holds: entities, closed lines, round holes, texts, open ends, what was left out, and the panels.
func Survey(r read.Report) []table.Table {
	entities := table.New("What is drawn", table.Text("type"), table.Text("layer"), table.Number("count", ""), takenFor()).
		Read("Types as the DXF file names them; - is used for nothing, by shape means that different things among them are taken for different ones.")
	for _, c := range r.Counts {
		what := role(c.Role)
		if c.Role == "" && (r.Guessed || r.Ruled) {
			what = "by shape"
		}
		entities.Add(c.Type, c.Layer, c.N, what)
	}
	loops := table.New("Closed lines that are not round", table.Text("layer"), table.Number("width", "mm"), table.Number("height", "mm"), table.Number("area", "mm2"),
		table.Number("way round", "mm"), table.Number("left edge x", "mm"), table.Number("lower edge y", "mm"), takenFor())
	for _, l := range r.Loops {
		if !l.Round {
			loops.Add(l.Layer, table.Fixed(l.Box.W(), 2), table.Fixed(l.Box.H(), 2), table.Fixed(l.AreaMM2, 1), table.Fixed(l.Perimeter, 1),
				table.Fixed(l.Box.Min.X, 2), table.Fixed(l.Box.Min.Y, 2), role(l.Role))
		}
	}
	holes := table.New("Round holes", table.Number("diameter", "mm"), table.Number("count", ""), takenFor())
	for _, c := range r.Circles {
		holes.Add(table.Fixed(c.D, 3), c.N, role(c.Role))
	}
	texts := table.New("Texts", table.Text("text"), table.Text("layer"), table.Number("x", "mm"), table.Number("y", "mm"), table.Number("height", "mm"), takenFor())
	for _, x := range r.Texts {
		texts.Add(x.Text.Text, x.Layer, table.Fixed(x.Text.At.X, 2), table.Fixed(x.Text.At.Y, 2), table.Fixed(x.Text.Height, 2), role(x.Role))
	}
	open := table.New("Open ends", table.Text("layer"), table.Number("x", "mm"), table.Number("y", "mm"), table.Number("line in file", "")).
		Read("Ends of lines that meet no other: a shape is open there, and cannot be cut out.")
	for _, e := range r.Open {
		open.Add(e.Layer, table.Fixed(e.At.X, 2), table.Fixed(e.At.Y, 2), e.Line)
	}
	left := table.New("Left out", table.Text("type"), table.Text("layer"), table.Number("count", ""), table.Text("why"))
	for _, k := range r.Skipped {
		left.Add(k.Type, k.Layer, k.Count, k.Reason)
	}
	panels := table.New("Panels", append(append([]table.Column{table.Text("panel")}, drawn()...), table.Number("symbols", ""))...)
	for _, p := range r.Panels {
		b := p.Outline.Box()
		panels.Add(p.Name, table.Fixed(b.W().MM(), 2), table.Fixed(b.H().MM(), 2), len(p.LEDs), len(p.Mounts), len(p.Openings), len(p.Bodies),
			len(p.Lettering), len(p.Symbols)-len(p.Windows()))
	}
	return []table.Table{entities, loops, holes, texts, open, left, panels}
}

// drawn is the columns of what a panel's drawing holds.
func drawn() []table.Column {
	return []table.Column{table.Number("width", "mm"), table.Number("height", "mm"), table.Number("LEDs", ""), table.Number("mount holes", ""),
		table.Number("openings", ""), table.Number("bodies behind", ""), table.Number("texts", "")}
}

// takenFor is the column of roles.
func takenFor() table.Column { return table.Text("taken for") }

// role is what things are taken for.
func role(r panel.Role) string {
	if r == "" {
		return "-"
	}
	return string(r)
}

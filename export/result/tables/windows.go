package tables

import (
	"fmt"
	"strings"

	"lampblack/export/result"
	"lampblack/export/table"
)

// Windows is what is lit and no lettering; without rows where there is nothing.
func Windows(c result.Console) table.Table {
	t := table.New("Windows", table.Text("panel"), table.Text("window"), table.Text("middle"), table.Text("LEDs"), table.Text("group"),
		table.Number("mean", "cd/m²"), table.Number("to the words'", ""), table.Number("darkest, of its mean", "%"), table.Number("brightest to darkest", "")).
		Read("A window is opened in the paint and not cut. Its LEDs are those behind it, or where there are none the nearest; with a group of their own (groups: lights: windows) they are switched and dimmed apart.")
	for _, p := range c.Panels {
		for _, w := range p.Windows {
			mean, to, dark, ratio := "", "", "", ""
			if l := w.Light; l != nil && p.Light != nil {
				if !p.Light.Relative {
					mean = fmt.Sprintf("%.3g", l.Mean)
				}
				if dark = percent(l.MinToMean, 0); p.Light.Mean > 0 && len(p.Light.Words) > 0 {
					to = fmt.Sprintf("%.2g", l.Mean/p.Light.Mean)
				}
				if l.MaxToMin > 0 {
					ratio = fmt.Sprintf("%.2g", l.MaxToMin)
				}
			}
			t.Add(p.Name, w.What, fmt.Sprintf("%.4g, %.4g", w.X, w.Y), strings.Join(w.LEDs, ", "), w.Group, mean, to, dark, ratio)
		}
	}
	return t
}

package tables

import (
	"fmt"
	"strings"

	"lampblack/export/result"
	"lampblack/export/table"
)

// Fit is what to do as the sheets come out, boards that are alike together.
func Fit(c result.Console) table.Table {
	t := table.New("Thickness and LED tips", table.Text("boards"), table.Text("LED sheet, mm"), table.Text("tips to diffuser, mm"), table.Text("LED sheet thin"), table.Text("LED sheet thick")).
		Read("Sheets are seldom as thick as they are called. The screws are long enough for the thickest. How far the LEDs' tips are from the diffuser hangs on the LED sheet, " +
			"while all are soldered equally high over the board: the surest way is to put them into the LED sheet, face down on a flat table, the board with its spacers on it, and " +
			"to solder them so. Where they are soldered first, washers between the LED sheet and the rear spacers make up for a thin sheet.")
	var order []string
	boards, rows := map[string][]string{}, map[string][]any{}
	for _, p := range c.Panels {
		for _, f := range p.Fit {
			row := []any{between(f.LEDSheet), nearFar(f.Tips), washers(f), higher(f)}
			key := fmt.Sprint(row...)
			if rows[key] == nil {
				order, rows[key] = append(order, key), row
			}
			boards[key] = append(boards[key], f.Board)
		}
	}
	for _, key := range order {
		t.Add(append([]any{strings.Join(boards[key], ", ")}, rows[key]...)...)
	}
	return t
}

// between is a span without its middle.
func between(s result.Span) string {
	if s.Least == s.Most {
		return table.Plain(s.Nominal)
	}
	return table.Plain(s.Least) + " to " + table.Plain(s.Most)
}

// nearFar is a span with its middle.
func nearFar(s result.Span) string {
	if s.Least == s.Most {
		return table.Plain(s.Nominal)
	}
	return table.Plain(s.Nominal) + " (" + between(s) + ")"
}

// washers tells how many for which thickness.
func washers(f result.Fit) string {
	if len(f.Washers) == 0 {
		return "nothing to do"
	}
	var out []string
	for i, w := range f.Washers {
		one := fmt.Sprintf("below %s mm %d", table.Plain(w.Below), w.Count)
		if i == 0 {
			word := " washers"
			if w.Count == 1 {
				word = " washer"
			}
			one += word + fmt.Sprintf(" %s of %s mm", f.Thread, table.Plain(f.Washer))
		}
		out = append(out, one)
	}
	return strings.Join(out, ", ") + " on each screw"
}

func higher(f result.Fit) string {
	switch {
	case f.LEDSheet.Least == f.LEDSheet.Most || f.Tips.Most-f.Tips.Nominal < 0.25:
		return "nothing to do"
	case f.Higher:
		return "solder the LEDs as much higher"
	}
	return "shorter spacers, or the tips lie deeper"
}

// Held is how boards and sheets hold.
func Held(c result.Console) table.Table {
	t := table.New("Bow and growth", table.Text("board"), table.Number("farthest from a screw", "mm"), table.Number("bow there", "mm"), table.Number("tips clear there", "mm"),
		table.Number("sheet outgrows board", "mm"), table.Number("play of two mounts", "mm"), table.Number("outgrows at the farthest LED", "mm")).
		Read("Boards may be 0.75 % out of flat with surface-mount parts, 1.5 % without (IPC-6012), and a sheet whose faces are not equally damp bows. What is likely left between " +
			"LEDs' tips and diffuser there, in an LED sheet that came out thin. Acrylic grows more than boards do, by warmth and moisture: beyond the play of its mounts " +
			"it arches between them; then the sheets have a round hole at the mount nearest to the middle, and at the others slots that point to it (slots).")
	for _, p := range c.Panels {
		for _, f := range p.Fit {
			if s := f.Support; s != nil {
				t.Add(f.Board, table.Fixed(s.Distance, 0), table.Fixed(s.Bow, 1), table.Fixed(s.Clear, 1), table.Fixed(s.Grows, 2), table.Fixed(s.Play, 2), table.Fixed(s.Lamps, 2))
			}
		}
	}
	return t
}

// Ends is the light with sheets as they may come out; no row for panels whose sheets are known.
func Ends(c result.Console) table.Table {
	t := table.New("Light as the sheets come out", table.Text("panel"), table.Number("average, thin sheets", "cd/m²"), table.Number("average, as called", "cd/m²"), table.Number("average, thick sheets", "cd/m²"),
		table.Number("darkest, thin sheets", "%"), table.Number("darkest, as called", "%"), table.Number("darkest, thick sheets", "%")).
		Read("LED sheet and diffuser as thin and as thick as they may come out, the LEDs soldered equally high over the board: in a thin sheet their tips are nearer to the diffuser, which passes more. The darkest lettering is told as a share of the average. " +
			"All at once is the worst case; what is measured is no longer in doubt.")
	for _, p := range c.Panels {
		l := p.Light
		if l == nil || l.Thin == nil {
			continue
		}
		mean := func(x result.Lit) string {
			if l.Relative {
				return ""
			}
			return digits(x.Mean)
		}
		t.Add(p.Name, mean(*l.Thin), mean(l.Lit), mean(*l.Thick), percent(l.Thin.MinToMean, 0), percent(l.MinToMean, 0), percent(l.Thick.MinToMean, 0))
	}
	return t
}

package report

import (
	"fmt"
	"slices"
	"strings"

	"lampblack/panel/geom"
)

// holesOfRow is how many holes perforate a tab along one edge, and rowD how wide they are (export/gang).
const (
	holesOfRow = 5
	rowD       = "0.5 mm"
)

// breaks tells the board house how many tabs and rows of holes, or how many scored lines, the array has.
func (t *page) breaks(p Pack) {
	rows, shared := 0, 0
	for _, b := range p.Hung {
		rows += len(b.Tabs)
		for _, tab := range b.Tabs {
			if tab.Other > 0 {
				shared++
			}
		}
	}
	if rows > 0 {
		t.row("Tabs", fmt.Sprintf("%d, along %d rows of %d unplated holes of %s", rows-shared/2, rows, holesOfRow, rowD))
	}
	if len(p.Scored) > 0 {
		t.row("Scored", fmt.Sprintf("%d lines, each across the whole panel, from both sides", len(p.Scored)))
	}
}

// parting tells a person how to part the boards: where they hang, what to do in which order, and what to mind.
func (t *page) parting(p Pack) {
	if len(p.Hung) == 0 {
		return
	}
	t.heading("To part the boards")
	t.text("Places are in mm from the array's lower left corner, seen from the front.")
	for i, b := range p.Hung {
		at := fmt.Sprintf("%s, X %s to %s, Y %s to %s", b.Board, tenths(b.Box.Min.X), tenths(b.Box.Max.X), tenths(b.Box.Min.Y), tenths(b.Box.Max.Y))
		if b.Turn != 0 {
			at += fmt.Sprintf(", turned by %d degrees", b.Turn)
		}
		if len(b.Tabs) > 0 {
			var tabs []string
			for _, tab := range b.Tabs {
				to := "the frame"
				if tab.Other > 0 {
					to = fmt.Sprintf("board %d", tab.Other)
				}
				tabs = append(tabs, fmt.Sprintf("%s,%s to %s", tenths(tab.At.X), tenths(tab.At.Y), to))
			}
			at += fmt.Sprintf("; %s, at X,Y: %s", count(len(tabs), "tab", "tabs"), strings.Join(tabs, "; "))
		}
		t.row(fmt.Sprintf("Board %d", i+1), at)
	}
	if len(p.Scored) > 0 {
		t.row("Score lines", scored(p.Scored))
	}
	t.line("")
	t.item("Wear goggles: splinters of glass fibre fly when laminate breaks.")
	if len(p.Scored) > 0 {
		t.item("Break off the frame first, then rows of boards, then board from board. Lay the line on the straight edge of a table, hold both " +
			"sides flat along their whole length, and bend along the line until it gives way.")
	} else {
		t.item("Free one board at a time, tab by tab, along its own row of holes: snip or saw the webs between the holes, or bend the frame, not the " +
			"board, to and fro until they give way. Hold the board close beside the tab, so that only the tab bends.")
	}
	stubs, soldered := "the stubs", "saw or snip; do not break"
	if len(p.Scored) > 0 {
		stubs, soldered = "the rough edges", "clamp each board flat close beside the line"
	}
	t.item("Do not bend LEDs: never hold or press a board by its parts. Where parts are soldered already, " + soldered + ".")
	copper := ""
	if p.Bare > 0 {
		copper = fmt.Sprintf(", no farther: copper may begin %s inside the edge", short(p.Bare))
	}
	t.item("Sand " + stubs + " flush with the edge, on a flat block" + copper + ".")
	t.item("The dust is glass fibre: it harms lungs, eyes and skin. Sand wet or with extraction, wear a dust mask, and wipe the boards " +
		"with a damp cloth.")
}

// scored lists the lines, those across and those along.
func scored(lines []geom.Segment) string {
	var xs, ys []geom.Nm
	for _, s := range lines {
		if s.A.X == s.B.X {
			xs = append(xs, s.A.X)
		} else {
			ys = append(ys, s.A.Y)
		}
	}
	list := func(axis string, at []geom.Nm) string {
		slices.Sort(at)
		var out []string
		for _, v := range at {
			out = append(out, fmt.Sprintf("%.2f", v.MM()))
		}
		return "at " + axis + " " + strings.Join(out, ", ")
	}
	var all []string
	if len(xs) > 0 {
		all = append(all, list("X", xs))
	}
	if len(ys) > 0 {
		all = append(all, list("Y", ys))
	}
	return strings.Join(all, "; ")
}

// tenths returns a length in mm, to a tenth.
func tenths(v geom.Nm) string { return fmt.Sprintf("%.1f", v.MM()) }

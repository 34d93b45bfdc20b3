package netlist

import (
	"fmt"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// columns is the length of every record, without its line end.
const columns = 80

type writer struct{ buf []byte }

// record writes one line, filled up with blanks.
func (w *writer) record(s string) {
	w.buf = fmt.Appendf(w.buf, "%-*.*s\n", columns, columns, s)
}

func (w *writer) header(a export.Artwork, m Meta, names map[string]string) {
	revision := m.Revision
	if revision == "" {
		revision = "1"
	}
	w.record("C  Bare board test data. X right, Y up, seen from the top; zero is the panel's")
	w.record("C  lower left corner. Units: 0.001 mm.")
	w.record("P  JOB   " + ascii(a.Name))
	w.record("P  CODE  00")
	w.record("P  UNITS CUST 1")
	if m.Project != "" {
		w.record("P  TITLE " + ascii(m.Project))
	}
	w.record("P  NUM   " + ascii(a.Name))
	w.record("P  REV   " + ascii(revision))
	w.record("P  VER   IPC-D-356A")
	for _, full := range aliased(names) {
		w.record(fmt.Sprintf("P  %-10s %s", names[full], full))
	}
	w.record("P  IMAGE PRIMARY")
}

// ascii returns s in the 63 columns of a parameter, other characters than printable ASCII as '?'.
func ascii(s string) string {
	s = export.ASCII(s)
	return s[:min(len(s), 72-9)]
}

// point writes one test record; columns are counted from 1 in the comments.
func (w *writer) point(p point, names map[string]string) {
	code, hole := "327", "     "
	if p.through {
		code = "317"
		kind := "P"
		if !p.plated {
			code, kind = "367", "U"
		}
		hole = fmt.Sprintf("D%04d%s", micrometres(p.drill), kind) // 33–38
	} else {
		hole += " "
	}
	refPin := "           " // 21–31
	if p.ref != "" && p.ref != "VIA" {
		refPin = fmt.Sprintf("%-6s-%-4s", p.ref, p.pin)
	} else if p.ref == "VIA" {
		refPin = "VIA        "
	}
	middle := " " // 32: M, a point in the middle of a net
	if p.ref == "VIA" {
		middle = "M"
	}
	access := 0 // 39–41: both sides
	if !p.through {
		access = 1 + int(p.side)
	}
	mask := 0 // 73–74: bit 0 the top is covered, bit 1 the bottom
	if p.coveredTop && p.plated || p.coveredTop && !p.through {
		mask |= 1
	}
	if p.coveredBottom && p.plated || p.coveredBottom && !p.through {
		mask |= 2
	}
	turn := 0
	if p.slant {
		turn = geom.EighthDegrees
	}
	w.record(fmt.Sprintf("%s%-14s   %s%s%sA%02dX%sY%sX%04dY%04dR%03d S%d",
		code, names[p.net], refPin, middle, hole, access, signed(micrometres(p.at.X)), signed(micrometres(p.at.Y)),
		micrometres(p.w), micrometres(p.h), turn, mask))
}

// signed returns a sign and six digits.
func signed(v int64) string { return fmt.Sprintf("%+07d", v) }

// aliases returns what each net is called in the records: its own name, or NNAME and a number where that has more than
// 14 characters or others than the format allows.
func aliases(a export.Artwork, pts []point) (map[string]string, diag.List) {
	var l diag.List
	names := map[string]string{}
	n := 0
	for _, p := range pts {
		if _, ok := names[p.net]; ok {
			continue
		}
		if plain(p.net, netColumns) && !strings.HasPrefix(p.net, "NNAME") {
			names[p.net] = p.net
			continue
		}
		if n++; n > 99_999 || !plain(p.net, 72-14) {
			l.Add(diag.Error, "netlist-net-name", "the test netlist cannot name the net %q", p.net).Of(a.Name).OfNet(p.net).
				Fix("use at most 58 letters, digits and signs, without blanks")
		}
		names[p.net] = fmt.Sprintf("NNAME%05d", n)
	}
	return names, l
}

// aliased returns the full names that got an alias, in the order of their aliases.
func aliased(names map[string]string) []string {
	byAlias := map[string]string{}
	for full, short := range names {
		if full != short {
			byAlias[short] = full
		}
	}
	var out []string
	for i := 1; len(out) < len(byAlias); i++ {
		if full, ok := byAlias[fmt.Sprintf("NNAME%05d", i)]; ok {
			out = append(out, full)
		}
	}
	return out
}

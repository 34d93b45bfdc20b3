package readback

import (
	"bytes"
	"math"
	"strconv"
	"strings"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Netlist is an IPC-D-356A file: which points of the bare board are joined.
type Netlist struct {
	Header [][2]string // name and value of the P records, in order
	Points []Point
	Names  map[string]string // full net names by their aliases (P NNAME)
	Edges  []geom.Polyline   // of the board (389): lines, the last point equal to the first where closed
}

// Point is one test record.
type Point struct {
	Line   int
	Op     int    // 317 through hole, 327 surface, 367 unplated hole
	Net    string // "N/C" where nothing is joined
	Ref    string // "VIA" for vias
	Pin    string
	Mid    bool    // a point in the middle of a net
	Hole   geom.Nm // 0 when not drilled
	Plated bool
	Access int // 0 both sides, 1 top, 2 bottom
	At     geom.Pt
	W, H   geom.Nm // H 0 for a round feature
	Turn   int     // degrees
	Mask   int     // 0 none, 1 primary, 2 secondary, 3 both sides covered
}

// On reports whether the record can be tested from that side.
func (p Point) On(side geom.Side) bool { return p.Access == 0 || p.Access == 1+int(side) }

// IPC reads an IPC-D-356A netlist. Columns are those of the standard's 80-column records (references.md section 8).
// Continuation and conductor records are passed over with a note, anything else that is not understood is an error.
func IPC(src []byte, name string) (Netlist, diag.List) {
	r := ipcReader{name: name, out: Netlist{Names: map[string]string{}}}
	for raw := range bytes.SplitSeq(src, []byte{'\n'}) {
		r.line++
		s := strings.TrimRight(string(raw), "\r\n \t")
		if s == "" {
			continue
		}
		if r.ended {
			r.fail("readback-after-end", "there is something after the end of the file (999)").Fix("end the file with 999")
			break
		}
		if len(r.found) > 10*maxFindings || len(r.out.Points) > maxObjects {
			r.fail("readback-hopeless", "too many records or faults, the rest of the file is not read").Fix("write the file anew")
			break
		}
		r.record(s)
	}
	r.endEdge()
	if !r.ended {
		r.fail("readback-no-end", "the file ends without 999").Fix("end the file with 999; perhaps it was cut short")
	}
	if r.unit == 0 {
		r.fail("readback-no-unit", "the file does not state its unit").Fix("write P  UNITS CUST 1 in the header")
	}
	return r.out, r.found.Capped(maxFindings)
}

type ipcReader struct {
	name    string
	line    int
	found   diag.List
	out     Netlist
	unit    float64 // nm of one count
	ended   bool
	passed  map[int]bool // codes already told as passed over
	line389 edgeLine
}

func (r *ipcReader) fail(code, format string, args ...any) *diag.Finding {
	return r.found.Add(diag.Error, code, format, args...).In(r.name, r.line)
}

func (r *ipcReader) record(s string) {
	if len(s) > 80 {
		r.fail("readback-long-record", "the record is %d columns long, 80 are allowed", len(s)).Fix("shorten it")
		return
	}
	for _, c := range []byte(s) {
		if c < ' ' || c > '~' {
			r.fail("readback-not-ascii", "the record holds a character beyond plain ASCII").Fix("use plain letters in names")
			return
		}
	}
	switch {
	case s[0] == 'C':
		return
	case s[0] == 'P':
		r.parameter(s)
		return
	case s == "999":
		r.ended = true
		return
	}
	op, err := strconv.Atoi(cut(s, 1, 3))
	if err != nil {
		r.fail("readback-unknown-record", "%q is no record of the format", short(s)).Fix("records start with an operation code")
		return
	}
	switch op {
	case 317, 327, 367:
		if r.unit == 0 {
			r.fail("readback-no-unit", "a point stands before the unit is stated").Fix("write P  UNITS CUST 1 in the header")
			r.unit = 1000
		}
		r.point(op, s)
	case 389, 89:
		r.edge(op, s)
	case 17, 27, 307, 99, 88, 378, 78, 379, 79, 390, 90, 370, 70, 380, 80, 309, 9:
		if r.passed == nil {
			r.passed = map[int]bool{}
		}
		if !r.passed[op] {
			r.passed[op] = true
			r.found.Add(diag.Note, "readback-passed-over", "records %03d are not read", op).In(r.name, r.line).Fix("nothing to do: they name no test points of a two-layer board")
		}
	default:
		r.fail("readback-unknown-record", "operation code %03d is not understood", op).Fix("use 317, 327 and 367")
	}
}

// cut returns columns from..to of a record, counted from 1; missing ones are blank.
func cut(s string, from, to int) string {
	if len(s) < to {
		s += strings.Repeat(" ", to-len(s))
	}
	return s[from-1 : to]
}

func (r *ipcReader) parameter(s string) {
	if cut(s, 2, 3) != "  " {
		r.fail("readback-bad-column", "columns 2 and 3 of a P record must be blank").Fix("write the name from column 4")
		return
	}
	name := strings.TrimSpace(cut(s, 4, 9))
	value := strings.TrimSpace(cut(s, 10, 80))
	if strings.HasPrefix(cut(s, 4, 8), "NNAME") {
		alias := strings.TrimSpace(cut(s, 4, 13))
		r.out.Names[alias] = strings.TrimSpace(cut(s, 15, 72))
		return
	}
	r.out.Header = append(r.out.Header, [2]string{name, value})
	if name != "UNITS" {
		return
	}
	if r.unit != 0 {
		r.fail("readback-unit-twice", "the unit is stated twice").Fix("state it once")
	}
	switch value {
	case "SI", "CUST 1":
		r.unit = 1000 // 0.001 mm
	case "CUST", "CUST 0", "CUST 2":
		r.unit = 2540 // 0.0001 in
	default:
		r.fail("readback-no-unit", "%q is no unit", short(value)).Fix("write CUST 1 for millimetres")
	}
}

// point reads a 317, 327 or 367 record.
func (r *ipcReader) point(op int, s string) {
	p := Point{Line: r.line, Op: op, Net: strings.TrimRight(cut(s, 4, 17), " "), Ref: strings.TrimSpace(cut(s, 21, 26)),
		Pin: strings.TrimSpace(cut(s, 28, 31))}
	bad := func(cols, what string) {
		r.fail("readback-bad-column", "columns %s: %s", cols, what).Fix("see the table of IPC-D-356A records")
	}
	if full, ok := r.out.Names[p.Net]; ok {
		p.Net = full
	}
	if p.Net == "" || strings.Contains(strings.TrimSpace(cut(s, 4, 17)), " ") || cut(s, 4, 4) == " " {
		bad("4-17", "no net name, or one with blanks")
	}
	if cut(s, 18, 20) != "   " {
		bad("18-20", "must be blank")
	}
	if c := cut(s, 27, 27); c != "-" && !(c == " " && p.Pin == "") {
		bad("27", "a dash must stand between part and pin")
	}
	switch cut(s, 32, 32) {
	case "M":
		p.Mid = true
	case " ":
	default:
		bad("32", "M or blank")
	}
	if cut(s, 33, 33) == "D" {
		if op == 327 {
			bad("33", "a surface feature has no hole")
		}
		n, ok := digits(cut(s, 34, 37))
		if !ok {
			bad("34-37", "the hole's diameter is no number")
		}
		p.Hole = r.nm(n)
		switch cut(s, 38, 38) {
		case "P":
			p.Plated = true
		case "U":
		default:
			bad("38", "P for plated or U for unplated")
		}
	} else {
		if op != 327 {
			bad("33", "D and the hole's diameter are missing")
		}
		if strings.TrimSpace(cut(s, 33, 38)) != "" {
			bad("33-38", "must be blank")
		}
	}
	if n, ok := digits(cut(s, 40, 41)); !ok || cut(s, 39, 39) != "A" || n > 2 {
		bad("39-41", "access is A00, A01 or A02")
	} else {
		p.Access = n
	}
	var ok bool
	if p.At.X, ok = r.coordinate(cut(s, 42, 49), 'X'); !ok {
		bad("42-49", "X, a sign and six digits")
	}
	if p.At.Y, ok = r.coordinate(cut(s, 50, 57), 'Y'); !ok {
		bad("50-57", "Y, a sign and six digits")
	}
	w, ok1 := digits(cut(s, 59, 62))
	h, ok2 := digits(cut(s, 64, 67))
	if !ok1 || !ok2 || cut(s, 58, 58) != "X" || cut(s, 63, 63) != "Y" {
		bad("58-67", "the feature's size as X and Y with four digits each")
	}
	p.W, p.H = r.nm(w), r.nm(h)
	if cut(s, 68, 71) != "    " {
		n, ok := digits(cut(s, 69, 71))
		if !ok || cut(s, 68, 68) != "R" {
			bad("68-71", "R and three digits")
		}
		p.Turn = n
	}
	if cut(s, 72, 72) != " " {
		bad("72", "must be blank")
	}
	if cut(s, 73, 74) != "  " {
		n, ok := digits(cut(s, 74, 74))
		if !ok || cut(s, 73, 73) != "S" || n > 3 {
			bad("73-74", "S0, S1, S2 or S3")
		}
		p.Mask = n
	}
	if p.Ref == "" && op != 367 {
		bad("21-26", "no part")
	}
	r.out.Points = append(r.out.Points, p)
}

func (r *ipcReader) nm(n int) geom.Nm { return geom.Nm(math.Round(float64(n) * r.unit)) }

// coordinate reads a letter, a sign or blank, and six digits.
func (r *ipcReader) coordinate(s string, letter byte) (geom.Nm, bool) {
	n, ok := digits(s[2:])
	if !ok || s[0] != letter || strings.IndexByte("+- ", s[1]) < 0 {
		return 0, false
	}
	if s[1] == '-' {
		n = -n
	}
	return r.nm(n), true
}

// digits reads a field of digits only.
func digits(s string) (int, bool) {
	if s == "" || strings.Trim(s, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil
}

package readback

import (
	"math"
	"strconv"
	"strings"

	"lampblack/export"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Drill reads a drill file: XNC, and of the wider Excellon family what has one clear meaning.
//
// Source: XNC Format Specification, revision 2021.11, as cited by public parsers (references.md section 7): METRIC or
// INCH, TnnCd, G05, G00, M15, M16, G01, G02, G03 with radius A, M30, numbers with an explicit decimal point, attributes in
// comments. From the wider family: zero suppression (METRIC,LZ or TZ; whole numbers of 3.3 digits in millimetres, 2.4 in
// inches), G85 slots, R repeats, M71 and M72, G90, FMAT,2, M95, feeds and speeds. These are told as warnings; offsets,
// patterns, incremental coordinates and cutter compensation are refused, because a hole might come out in another place.
func Drill(src []byte, name string) (export.Drill, diag.List) {
	r := &driller{name: name, tools: map[int]int{}, tool: -1, attrs: &reader{name: name, fileAttr: map[string]int{}}}
	line := 0
	for raw := range strings.SplitSeq(string(src), "\n") {
		line++
		r.line, r.attrs.line = line, line
		s := strings.TrimSpace(raw)
		if s == "" {
			continue
		}
		if r.ended {
			r.fail("readback-after-end", "there is something after the end of the file (M30)").Fix("end the file with M30")
			break
		}
		if len(r.found) > 10*maxFindings {
			r.fail("readback-hopeless", "too many faults, the rest of the file is not read").Fix("write the file anew")
			break
		}
		r.read(s)
	}
	r.finish()
	return r.out, append(r.found, r.attrs.found...).Capped(maxFindings)
}

type driller struct {
	name  string
	line  int
	found diag.List
	out   export.Drill
	attrs *reader // keeps attributes, which are written as in Gerber files

	begun, header bool
	unit          float64 // nm
	zeros         byte    // 0: decimal numbers; 'L', 'T': which zeros are kept
	tools         map[int]int
	tool          int
	rout, down    bool
	ended         bool
	at            geom.Pt
	placed        bool
	slot          geom.Polyline
	points        int
	warned        map[string]bool
}

func (r *driller) fail(code, format string, args ...any) *diag.Finding {
	return r.found.Add(diag.Error, code, format, args...).In(r.name, r.line)
}

// wide tells, once for each, what belongs to the wider family.
func (r *driller) wide(what string) {
	if r.warned == nil {
		r.warned = map[string]bool{}
	}
	if !r.warned[what] {
		r.warned[what] = true
		r.found.Add(diag.Warning, "readback-drill-not-xnc", "%s is not part of the XNC format", what).In(r.name, r.line).
			Fix("write the file as XNC, so that every machine reads it alike")
	}
}

func (r *driller) finish() {
	switch {
	case !r.begun:
		r.fail("readback-no-header", "the file has no header (M48)").Fix("start the file with M48")
	case !r.ended:
		r.fail("readback-no-end", "the file ends without M30").Fix("end the file with M30; perhaps it was cut short")
	}
	if r.unit == 0 {
		r.fail("readback-no-unit", "the file does not state its unit").Fix("write METRIC in the header")
	}
	if r.down {
		r.fail("readback-open-slot", "a slot is not ended").Fix("end it with M16")
	}
	r.out.FileAttributes = r.attrs.layer.FileAttributes
	for _, a := range r.out.FileAttributes {
		if a[0] == ".FileFunction" && len(a) > 1 {
			r.out.Plated = a[1] == "Plated"
			if a[1] != "Plated" && a[1] != "NonPlated" {
				r.fail("readback-bad-attribute", "%s is no function of a drill file", short(a[1])).Fix("write Plated,1,2,PTH or NonPlated,1,2,NPTH")
			}
		}
	}
	if _, ok := r.attrs.fileAttr[".FileFunction"]; !ok {
		r.found.Add(diag.Warning, "readback-no-function", "the file does not say which holes it is for (.FileFunction)").In(r.name, 0).
			Fix("write the attribute, else a board house must guess by the file's name")
	}
}

func (r *driller) read(s string) {
	if s[0] == ';' {
		if rest, ok := strings.CutPrefix(strings.TrimSpace(s[1:]), "#@! "); ok && len(rest) > 2 && rest[0] == 'T' {
			r.attrs.attribute(strings.TrimSuffix(rest, "*"), command{line: r.line})
		}
		return
	}
	if s == "M48" {
		r.begun, r.header = true, true
		return
	}
	if r.header {
		r.headerLine(s)
		return
	}
	r.bodyLine(s)
}

func (r *driller) headerLine(s string) {
	word, rest, _ := strings.Cut(s, ",")
	switch {
	case s == "%":
		r.header = false
	case s == "M95":
		r.wide("M95")
		r.header = false
	case word == "METRIC" || word == "INCH":
		r.setUnit(map[string]float64{"METRIC": 1e6, "INCH": inch}[word])
		for _, z := range strings.Split(rest, ",") {
			switch {
			case z == "LZ" || z == "TZ":
				r.wide("a number format without decimal point")
				r.zeros = z[0]
			case z != "" && strings.Trim(z, "0.") != "":
				r.fail("readback-unknown-command", "%q is no number format", short(z)).Fix("write METRIC alone and numbers with a decimal point")
			}
		}
	case s[0] == 'T' && len(s) > 1 && s[1] >= '0' && s[1] <= '9':
		r.defineTool(s)
	case word == "FMAT" && rest == "2", word == "VER", word == "DETECT", word == "ATC", s == "ICI,OFF", s == "G90":
		r.wide(word)
	case word == "M71" || word == "M72":
		r.wide(word)
		r.setUnit(map[string]float64{"M71": 1e6, "M72": inch}[word])
	case s == "M30":
		r.header = false
		r.bodyLine(s)
	default:
		r.fail("readback-unknown-command", "%q in the header is not understood", short(s)).Fix("write the file as XNC")
	}
}

func (r *driller) setUnit(nm float64) {
	if r.unit != 0 && r.unit != nm {
		r.fail("readback-unit-twice", "the unit changes within the file").Fix("state one unit")
	}
	r.unit = nm
}

// defineTool reads TnnCd; feeds, speeds and the like may stand beside the diameter.
func (r *driller) defineTool(s string) {
	number, fields := lettered(s[1:])
	n, err := strconv.Atoi(number)
	if err != nil || n < 1 {
		r.fail("readback-bad-tool", "%q names no tool", short(s)).Fix("tools run from T01 to T99")
		return
	}
	if n > 99 {
		r.wide("a tool number above 99")
	}
	d := math.NaN()
	for _, f := range fields {
		if f.letter == 'C' {
			d, _ = strconv.ParseFloat(f.text, 64)
		} else {
			r.wide("a tool's feed, speed or life")
		}
	}
	if r.unit == 0 {
		r.fail("readback-no-unit", "a tool is defined before the unit is stated").Fix("write METRIC before the tools")
		r.unit = 1e6
	}
	nm := math.Round(d * r.unit)
	if !(nm > 0 && nm < 100e6) {
		r.fail("readback-bad-tool", "tool T%02d has no sensible diameter", n).Fix("write it as T01C0.9")
		return
	}
	if _, twice := r.tools[n]; twice {
		r.fail("readback-tool-twice", "tool T%02d is defined twice", n).Fix("give each tool a number of its own")
		return
	}
	r.tools[n] = len(r.out.Tools)
	r.out.Tools = append(r.out.Tools, export.Tool{D: geom.Nm(nm), Function: joined(r.attrs.apertureAttr[".AperFunction"])})
}

type field struct {
	letter byte
	text   string
}

// lettered splits "01C0.9F100" into the number in front and the lettered numbers after it.
func lettered(s string) (front string, out []field) {
	for i := 0; i < len(s); {
		j := i
		if s[i] >= 'A' && s[i] <= 'Z' {
			j++
		}
		for j < len(s) && (s[j] < 'A' || s[j] > 'Z') {
			j++
		}
		if s[i] >= 'A' && s[i] <= 'Z' {
			out = append(out, field{s[i], s[i+1 : j]})
		} else {
			front = s[i:j]
		}
		i = j
	}
	return front, out
}

func (r *driller) bodyLine(s string) {
	if !r.begun {
		r.fail("readback-no-header", "the file has no header (M48)").Fix("start the file with M48")
		r.begun = true
	}
	switch s {
	case "G05":
		r.endSlot()
		r.rout = false
		return
	case "G81":
		r.wide(s)
		r.rout = false
		return
	case "M15":
		if !r.rout || !r.placed {
			r.fail("readback-bad-slot", "the tool goes down (M15) before a slot's start is named").Fix("write G00 and the start first")
		}
		r.down, r.slot = true, geom.Polyline{r.at}
		return
	case "M16", "M17":
		if s == "M17" {
			r.wide(s)
		}
		r.endSlot()
		return
	case "M30":
		r.ended = true
		return
	case "M00":
		r.wide(s)
		r.ended = true
		return
	case "M71", "M72":
		r.wide(s)
		r.setUnit(map[string]float64{"M71": 1e6, "M72": inch}[s])
		return
	case "G90", "G40", "%", "M06":
		r.wide(s)
		return
	}
	front, fields := lettered(s)
	if front != "" || len(fields) == 0 {
		r.unknown(s)
		return
	}
	switch f := fields[0]; {
	case f.letter == 'T':
		r.chooseTool(f.text, fields[1:], s)
	case f.letter == 'R':
		r.repeatHoles(f.text, fields[1:], s)
	case f.letter == 'X' || f.letter == 'Y':
		r.hit(fields, s)
	case f.letter == 'G' && (f.text == "00" || f.text == "01" || f.text == "02" || f.text == "03"):
		r.routMove(f.text, fields[1:], s)
	case f.letter == 'F' || f.letter == 'S':
		r.wide("a feed or speed")
	default:
		r.unknown(s)
	}
}

func (r *driller) unknown(s string) {
	r.fail("readback-unknown-command", "%q is not understood", short(s)).Fix("write the file as XNC")
}

func (r *driller) chooseTool(text string, rest []field, s string) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		r.unknown(s)
		return
	}
	r.endSlot()
	r.tool = -1
	if n == 0 {
		r.wide("T0")
		return
	}
	if len(rest) > 0 {
		r.wide("a tool defined in the body")
		r.defineTool(s)
	}
	k, ok := r.tools[n]
	if !ok {
		r.fail("readback-no-tool", "tool T%02d was not defined", n).Fix("define it in the header")
		return
	}
	r.tool = k
}

// number reads one coordinate.
func (r *driller) number(text string) (geom.Nm, bool) {
	unit := r.unit
	if unit == 0 {
		unit = 1e6
	}
	if len(text) > 24 || strings.Trim(text, "+-.0123456789") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, false
	}
	if r.zeros != 0 && !strings.Contains(text, ".") {
		whole, decimals := 3, 3
		if unit == inch {
			whole, decimals = 2, 4
		}
		if r.zeros == 'L' { // leading zeros kept: the digits given are the first ones
			decimals = len(strings.TrimLeft(text, "+-")) - whole
		}
		v /= math.Pow10(decimals)
	}
	n := v * unit
	return geom.Nm(math.Round(n)), math.Abs(n) <= float64(geom.MaxCoord)
}

// point reads X and Y, either of which keeps its value when it is missing, and gives back the other fields.
func (r *driller) point(fields []field, s string) (p geom.Pt, rest []field, ok bool) {
	p = r.at
	seen := [2]bool{}
	for i, f := range fields {
		k := strings.IndexByte("XY", f.letter)
		if k < 0 {
			rest = fields[i:]
			break
		}
		n, good := r.number(f.text)
		if !good || seen[k] {
			r.fail("readback-bad-number", "%q holds no coordinates within a metre", short(s)).Fix("write numbers with a decimal point")
			return p, nil, false
		}
		seen[k] = true
		*[]*geom.Nm{&p.X, &p.Y}[k] = n
	}
	if !r.placed && !(seen[0] && seen[1]) {
		r.fail("readback-bad-number", "%q leaves out a coordinate that was never given", short(s)).Fix("write X and Y")
		return p, nil, false
	}
	return p, rest, true
}

func (r *driller) hasTool() bool {
	if r.tool < 0 {
		r.fail("readback-no-tool", "a hole is drilled before a tool is chosen").Fix("choose a tool, as T01")
	}
	return r.tool >= 0
}

func (r *driller) room() bool {
	if r.points++; r.points == maxObjects+1 {
		r.fail("readback-too-large", "the file has more than %d holes; what follows is left out", maxObjects).Fix("a file of this size is no lighting board")
	}
	return r.points <= maxObjects
}

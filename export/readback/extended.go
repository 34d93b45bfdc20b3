package readback

import (
	"math"
	"strconv"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

// extendedCommand carries out a command between % signs (3.3).
func (r *reader) extendedCommand(c command) {
	w := c.words[0]
	if len(w) < 2 {
		r.fail("readback-unknown-command", "%q is no command of the format", short(w)).Fix("write the file anew")
		return
	}
	if r.region != nil && w[0] != 'T' {
		r.fail("readback-in-region", "%%%s is set inside a region", w[:2]).Fix("only D01, D02, G01, G02, G03 and G75 may stand inside a region")
	}
	if len(c.words) > 1 && w[:2] != "AM" {
		r.old("an extended command of several words")
		for _, more := range c.words {
			r.extendedCommand(command{line: c.line, at: c.at, extended: true, words: []string{more}})
		}
		return
	}
	body := w[2:]
	switch w[:2] {
	case "FS":
		r.format(body)
	case "MO":
		switch body {
		case "MM":
			r.setUnit(1e6)
		case "IN":
			r.setUnit(inch)
		default:
			r.fail("readback-no-unit", "%q is no unit", short(body)).Fix("write %%MOMM*%%")
		}
	case "AD":
		r.defineAperture(body)
	case "AM":
		r.defineMacro(body, c.words[1:])
	case "AB":
		r.block(body)
	case "SR":
		r.stepRepeat(body)
	case "LP":
		if body != "D" && body != "C" {
			r.fail("readback-bad-value", "%q is no polarity", short(body)).Fix("write LPD or LPC")
		}
		r.pol = body == "C"
	case "LM", "LR", "LS":
		r.transform(w[1], body)
	case "TF", "TA", "TO", "TD":
		r.attribute(w, c)
	case "IP", "AS", "IR", "MI", "OF", "SF", "IN", "LN":
		r.deprecated(w[:2], body)
	default:
		r.fail("readback-unknown-command", "%%%s is no command of the format", short(w)).Fix("write the file anew")
	}
}

func (r *reader) setUnit(nm float64) {
	if r.unit != 0 {
		r.fail("readback-unit-twice", "the unit is stated twice").Fix("state it once, before the first coordinate")
		return
	}
	if r.used {
		r.fail("readback-early-operation", "the unit is stated after the first coordinate").Fix("state it first")
	}
	r.unit = nm
	if nm == inch {
		r.warn("readback-inch", "the file is in inches").Fix("millimetres are recommended, inches are to be given up")
	}
}

// format reads FSLAXnmYnm (4.2.2).
func (r *reader) format(body string) {
	if r.decimals != 0 {
		r.fail("readback-format-twice", "the coordinate format is stated twice").Fix("state it once, before the first coordinate")
		return
	}
	bad := func() {
		r.fail("readback-bad-format", "%q is no coordinate format", short(body)).Fix("write %%FSLAX46Y46*%%")
	}
	if len(body) != 8 || strings.IndexByte("LTD", body[0]) < 0 || strings.IndexByte("AI", body[1]) < 0 || body[2] != 'X' || body[5] != 'Y' || body[3:5] != body[6:8] {
		bad()
		return
	}
	whole, decimals := int(body[3]-'0'), int(body[4]-'0')
	if body[3] < '0' || body[3] > '6' || body[4] < '1' || body[4] > '6' {
		bad()
		return
	}
	if body[0] != 'L' {
		r.old("leaving out trailing zeros")
		r.trailing = body[0] == 'T'
	}
	if body[1] == 'I' {
		r.fail("readback-incremental", "incremental coordinates are not read").Fix("write absolute coordinates")
	}
	if decimals < 5 {
		r.old("a coordinate format of fewer than 5 decimals")
	}
	r.decimals, r.digits = decimals, whole+decimals
}

func (r *reader) transform(what byte, body string) {
	p := r.pose
	switch what {
	case 'M':
		turn, ok := map[string]float64{"N": 0, "X": 0, "Y": 180, "XY": 180}[body]
		if !ok {
			r.fail("readback-bad-value", "%q is no mirroring", short(body)).Fix("write LMN, LMX, LMY or LMXY")
			return
		}
		r.mirrorTurn, p.mirror = turn, body == "X" || body == "Y"
	case 'R':
		v, ok := decimal(body)
		if !ok {
			r.fail("readback-bad-value", "%q is no angle", short(body)).Fix("write degrees")
			return
		}
		r.turn = v
	case 'S':
		v, ok := decimal(body)
		if !ok || v <= 0 || v > 1000 {
			r.fail("readback-bad-value", "%q is no scale", short(body)).Fix("write a factor above 0")
			return
		}
		p.scale = v
	}
	p.turn = degrees(r.turn + r.mirrorTurn)
	r.pose = p
}

// deprecated handles the commands of 8.1 that set something for the whole image. Where they change nothing they are
// only told; otherwise the image would be another one than the reader sees.
func (r *reader) deprecated(code, body string) {
	r.old("%" + code)
	neutral := map[string]string{"IP": "POS", "AS": "AXBY", "IR": "0", "MI": "A0B0", "OF": "A0B0", "SF": "A1B1"}
	v, has := neutral[code]
	if !has {
		return // IN and LN are only names
	}
	trimmed := strings.NewReplacer(".0", "", ".", "").Replace(strings.TrimRight(body, "0"))
	if body != v && trimmed != strings.TrimRight(v, "0") && body != "" {
		r.fail("readback-not-read", "%%%s%s changes the whole image and is not read", code, short(body)).Fix("write the file without it")
	}
}

// decimal reads a decimal number (3.4.2).
func decimal(s string) (float64, bool) {
	if s == "" || len(s) > 40 || strings.Trim(s, "+-.0123456789") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// repeat is an open step and repeat, or an open block.
type repeat struct {
	line   int
	code   int // D code of a block, 0 for a step and repeat
	nx, ny int
	dx, dy geom.Nm
	outer  *[]export.Object
}

// stepRepeat opens or closes a step and repeat (4.11).
func (r *reader) stepRepeat(body string) {
	if n := len(r.repeats); n > 0 && r.repeats[n-1].code == 0 {
		if body != "" && body != "X1Y1I0J0" {
			r.fail("readback-nested-repeat", "a step and repeat is opened inside another").Fix("close the first one with %%SR*%%")
		}
		r.closeRepeat()
		if body == "" {
			return
		}
		if strings.HasPrefix(body, "X1Y1") {
			r.old("closing a step and repeat by X1Y1")
			return
		}
	} else if body == "" {
		r.fail("readback-repeat-not-open", "%%SR*%% closes a step and repeat that is not open").Fix("leave it out")
		return
	}
	var v [4]float64
	rest := body
	for i, letter := range []byte("XYIJ") {
		if rest == "" || rest[0] != letter {
			r.fail("readback-bad-value", "%q is no step and repeat", short(body)).Fix("write %%SRX2Y3I10J10*%%")
			return
		}
		end := strings.IndexAny(rest[1:], "XYIJ") + 1
		if end == 0 {
			end = len(rest)
		}
		n, ok := decimal(rest[1:end])
		if !ok || n < 0 || i < 2 && (n < 1 || n != math.Trunc(n) || n > 1e6) {
			r.fail("readback-bad-value", "%q is no step and repeat", short(body)).Fix("write %%SRX2Y3I10J10*%%")
			return
		}
		v[i], rest = n, rest[end:]
	}
	dx, dy := v[2]*r.unit, v[3]*r.unit
	if dx*v[0] > 2*float64(geom.MaxCoord) || dy*v[1] > 2*float64(geom.MaxCoord) {
		r.fail("readback-out-of-range", "a step and repeat goes beyond a metre").Fix("keep the board within a metre of the origin")
		return
	}
	r.openRepeat(repeat{line: r.line, nx: int(v[0]), ny: int(v[1]), dx: geom.Nm(math.Round(dx)), dy: geom.Nm(math.Round(dy))})
}

func (r *reader) openRepeat(p repeat) {
	if len(r.repeats) >= maxDepth {
		r.fail("readback-too-deep", "blocks lie more than %d deep in each other", maxDepth).Fix("write the file with fewer")
		return
	}
	p.outer = r.objects
	r.repeats = append(r.repeats, p)
	r.objects = new([]export.Object)
	r.placed = false
}

// closeRepeat ends the innermost step and repeat or block.
func (r *reader) closeRepeat() {
	n := len(r.repeats) - 1
	p := r.repeats[n]
	r.repeats = r.repeats[:n]
	inside := *r.objects
	r.objects = p.outer
	r.placed = false
	if p.code > 0 {
		r.defs = append(r.defs, definition{block: &inside})
		r.byCode[p.code] = len(r.defs) - 1
		return
	}
	r.held -= len(inside)
	if len(inside) == 0 {
		return
	}
	if !r.fits(p.nx, p.ny, len(inside)) {
		return
	}
	// First along Y, then along X (4.11).
	for i := range p.nx {
		for j := range p.ny {
			v := geom.Vec{X: geom.Nm(i) * p.dx, Y: geom.Nm(j) * p.dy}
			for _, o := range inside {
				if !r.count(1, len(o.Contour)) {
					return
				}
				o.From, o.To = o.From.Add(v), o.To.Add(v)
				if len(o.Contour) > 0 {
					o.Contour = o.Contour.Moved(v)
				}
				*r.objects = append(*r.objects, o)
			}
		}
	}
}

// block opens or closes a block aperture (4.6).
func (r *reader) block(body string) {
	n := len(r.repeats)
	if body == "" {
		if n == 0 || r.repeats[n-1].code == 0 {
			r.fail("readback-block-not-open", "%%AB*%% closes a block that is not open").Fix("leave it out")
			return
		}
		r.closeRepeat()
		return
	}
	code, ok := dNumber(body)
	if !ok {
		r.fail("readback-bad-value", "%q is no aperture number", short(body)).Fix("write %%ABD12*%%")
		return
	}
	if _, twice := r.byCode[code]; twice {
		r.fail("readback-aperture-twice", "aperture D%d is defined twice", code).Fix("give each aperture a number of its own")
	}
	r.openRepeat(repeat{line: r.line, code: code})
}

// dNumber reads "D12"; numbers are 10 to 2 147 483 647 (4.3.1).
func dNumber(s string) (int, bool) {
	if s == "" || s[0] != 'D' || len(s) > 12 || strings.Trim(s[1:], "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.ParseInt(s[1:], 10, 64)
	return int(n), err == nil && n >= 10 && n <= math.MaxInt32
}

func (r *reader) flashBlock(inside []export.Object, at geom.Pt) {
	v := at.Sub(geom.Pt{})
	if !r.fits(1, 1, len(inside)) {
		return
	}
	for _, o := range inside {
		if !r.count(1, len(o.Contour)) {
			return
		}
		*r.objects = append(*r.objects, r.pose.object(o, v, r.pol, func(a int) int { return r.reposed(a, r.pose) }))
	}
}

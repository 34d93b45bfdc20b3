package readback

import (
	"math"
	"strconv"
	"strings"

	"lampblack/export"
	"lampblack/panel/geom"
)

// dCode is a command that starts with D: an aperture's number, or an operation without coordinates.
func (r *reader) dCode(w string) {
	n, err := strconv.ParseInt(w[1:], 10, 64)
	if err != nil || n < 0 || n > math.MaxInt32 {
		r.fail("readback-unknown-command", "%q is no command of the format", short(w)).Fix("D codes are D01 D02 D03 and apertures from D10 on")
		return
	}
	if n <= 9 {
		r.operation(w)
		return
	}
	if r.region != nil {
		r.fail("readback-in-region", "an aperture is chosen inside a region").Fix("only D01, D02, G01, G02, G03 and G75 may stand inside a region")
	}
	def, ok := r.byCode[int(n)]
	if !ok {
		r.fail("readback-no-aperture", "aperture D%d was not defined", n).Fix("define it with %%ADD%d...*%% before it is used", n)
		r.aperture = -1
		return
	}
	r.aperture = def
}

// operands are the parts of an operation as written; missing ones are false in has.
type operands struct {
	has        [5]bool // X Y I J D
	x, y, i, j geom.Nm
	d          int
}

const axes = "XYIJD"

// operation carries out X..Y..I..J..D0n (4.8).
func (r *reader) operation(w string) {
	if r.unit == 0 || r.decimals == 0 {
		r.fail("readback-early-operation", "a coordinate stands before unit and format are stated").Fix("write %%MOMM*%% and %%FSLAX46Y46*%% first")
		if r.unit == 0 {
			r.unit = 1e6
		}
		if r.decimals == 0 {
			r.decimals, r.digits = 6, 10
		}
	}
	r.used = true
	v, ok := r.operands(w)
	if !ok {
		return
	}
	if !v.has[4] {
		r.old("an operation without D01, D02 or D03")
		v.d = r.lastOp
	}
	r.lastOp = v.d
	to := r.point
	if v.has[0] {
		to.X = v.x
	}
	if v.has[1] {
		to.Y = v.y
	}
	switch v.d {
	case 1:
		r.draw(to, v)
	case 2:
		if r.region != nil {
			r.endContour()
			r.region.started = true
		}
	case 3:
		if r.region != nil {
			r.fail("readback-in-region", "a flash (D03) stands inside a region").Fix("end the region first")
			break
		}
		r.flash(to)
	default:
		r.fail("readback-unknown-command", "%q is no operation", short(w)).Fix("operations are D01, D02 and D03")
		return
	}
	r.point, r.placed = to, true
	if r.region != nil && v.d == 2 {
		r.region.contour = geom.Contour{}
		r.region.from = to
	}
}

func (r *reader) operands(w string) (v operands, ok bool) {
	for s := w; s != ""; {
		axis := strings.IndexByte(axes, s[0])
		end := 1
		for end < len(s) && (s[end] >= '0' && s[end] <= '9' || s[end] == '-' || s[end] == '+') {
			end++
		}
		if axis < 0 || v.has[axis] || end == 1 {
			r.fail("readback-unknown-command", "%q is no operation", short(w)).Fix("write X and Y as whole numbers, then D01, D02 or D03")
			return v, false
		}
		text := s[1:end]
		s = s[end:]
		n, err := strconv.ParseInt(text, 10, 64)
		if err != nil || axis == 4 && (n < 0 || n > 9) {
			r.fail("readback-bad-number", "%q is no number", short(text)).Fix("coordinates are whole numbers with a sign")
			return v, false
		}
		v.has[axis] = true
		if axis == 4 {
			v.d = int(n)
			if len(text) != 2 {
				r.old("an operation code not written with two digits")
			}
			continue
		}
		if n > math.MaxInt32 || n < math.MinInt32 {
			r.fail("readback-out-of-range", "coordinate %s does not fit 32 bits", short(text)).Fix("keep the board within 2 m of the origin")
			return v, false
		}
		nm, fits := r.coordinate(n, text)
		if !fits {
			r.fail("readback-out-of-range", "coordinate %s lies more than a metre from the origin", short(text)).Fix("keep the board within a metre of the origin")
			return v, false
		}
		*[]*geom.Nm{&v.x, &v.y, &v.i, &v.j}[axis] = nm
	}
	return v, true
}

// coordinate converts a whole number of the file to nanometres.
func (r *reader) coordinate(n int64, text string) (geom.Nm, bool) {
	if r.trailing { // trailing zeros left out: 5 digits given of 7 mean two more
		for k := len(strings.TrimLeft(text, "+-")); k < r.digits; k++ {
			n *= 10
		}
	}
	v := float64(n) * r.unit / math.Pow10(r.decimals)
	if math.Abs(v) > float64(geom.MaxCoord) {
		return 0, false
	}
	return geom.Nm(math.Round(v)), true
}

// draw carries out D01: a line or an arc, or an edge of a region.
func (r *reader) draw(to geom.Pt, v operands) {
	if !r.placed {
		r.fail("readback-no-start", "a line starts nowhere: no move (D02) came before it").Fix("move to its start first")
	}
	if r.mode == noMode {
		r.fail("readback-no-mode", "a line is drawn before G01, G02 or G03").Fix("write G01* first")
		r.mode = linear
	}
	from := r.point
	if r.mode == linear {
		if v.has[2] || v.has[3] {
			r.fail("readback-offset-in-line", "a straight line has an I or J").Fix("use I and J with arcs only")
		}
		r.edge(from, to, 0)
		return
	}
	if !r.multi && !r.single {
		r.fail("readback-no-g75", "an arc is drawn before G75").Fix("write G75* first")
		r.multi = true
	}
	if r.multi && (!v.has[2] || !v.has[3]) {
		r.fail("readback-no-offset", "an arc must have both I and J").Fix("write both")
	}
	i, j := v.i, v.j
	if r.single {
		i, j = quadrantCentre(from, to, i, j, r.mode == counterclockwise)
	}
	if i == 0 && j == 0 {
		if from != to {
			r.fail("readback-bad-arc", "an arc has its centre at its start").Fix("write the way from the start to the centre")
		}
		r.edge(from, to, 0)
		return
	}
	centre := from.Add(geom.Vec{X: i, Y: j})
	if from == to && r.single {
		r.edge(from, to, 0) // in single quadrant mode an arc of no length
		return
	}
	r.arc(from, to, centre, r.mode == counterclockwise)
}

// arc adds an arc; a full or nearly full circle in two halves, so that each has a sensible bulge.
func (r *reader) arc(from, to, centre geom.Pt, ccw bool) {
	r1, r2 := from.Dist(centre), to.Dist(centre)
	if off := math.Abs(r1 - r2); off > 10*float64(geom.Micrometre) && off > r1/1000 {
		r.fail("readback-bad-arc", "an arc's ends are %.4f mm and %.4f mm from its centre", r1/1e6, r2/1e6).
			Fix("start and end must lie on one circle")
	}
	sweep := sweepOf(from.Sub(centre), to.Sub(centre), ccw)
	if math.Abs(sweep) <= 350*math.Pi/180 {
		r.edge(from, to, math.Tan(sweep/4))
		return
	}
	mid := centre.Add(from.Sub(centre).Rotated(sweep / 2))
	b := math.Tan(sweep / 8)
	r.edge(from, mid, b)
	r.edge(mid, to, b)
}

// sweepOf returns the signed angle from u to v; a full turn when they point the same way.
func sweepOf(u, v geom.Vec, ccw bool) float64 {
	a := math.Atan2(float64(u.Cross(v)), float64(u.Dot(v)))
	if ccw && a <= 0 {
		a += 2 * math.Pi
	}
	if !ccw && a >= 0 {
		a -= 2 * math.Pi
	}
	return a
}

// quadrantCentre finds the signs of I and J in single quadrant mode (8.1): those for which the arc turns at most 90°
// and its radii differ least.
func quadrantCentre(from, to geom.Pt, i, j geom.Nm, ccw bool) (geom.Nm, geom.Nm) {
	best, bi, bj := math.Inf(1), i, j
	for _, s := range [4][2]geom.Nm{{1, 1}, {-1, 1}, {1, -1}, {-1, -1}} {
		v := geom.Vec{X: i * s[0], Y: j * s[1]}
		c := from.Add(v)
		if math.Abs(sweepOf(from.Sub(c), to.Sub(c), ccw)) > math.Pi/2+1e-3 {
			continue
		}
		if d := math.Abs(from.Dist(c) - to.Dist(c)); d < best {
			best, bi, bj = d, v.X, v.Y
		}
	}
	return bi, bj
}

// edge adds a straight or curved line to the open region, or draws it with the current aperture.
func (r *reader) edge(from, to geom.Pt, bulge float64) {
	if r.region != nil {
		if !r.region.started {
			r.fail("readback-no-start", "a region's contour starts without a move (D02)").Fix("move to its first point inside the region")
			r.region.started = true
			r.region.from = from
		}
		if from != to || bulge != 0 {
			r.region.contour = append(r.region.contour, geom.Vertex{Pt: from, Bulge: bulge})
		}
		r.count(0, 1)
		return
	}
	a, ok := r.tool()
	if !ok {
		return
	}
	switch shape := r.layer.Apertures[a].Shape; {
	case shape == export.Circle:
	case shape == export.Rectangle:
		r.old("a line drawn with a rectangle")
	default:
		r.fail("readback-bad-draw", "a line is drawn with an aperture that is no solid circle").Fix("draw with a circle")
	}
	o := export.Object{Op: export.Draw, Clear: r.pol, Aperture: a, From: from, To: to, Bulge: bulge}
	r.attach(&o)
	r.emit(o)
}

// tool returns the layer's aperture for the current D code and pose.
func (r *reader) tool() (int, bool) {
	if r.aperture < 0 {
		r.fail("readback-no-aperture", "something is drawn before an aperture is chosen").Fix("choose one, as D10*")
		return 0, false
	}
	if r.defs[r.aperture].block != nil {
		r.fail("readback-bad-draw", "a line is drawn with a block aperture").Fix("draw with a circle")
		return 0, false
	}
	return r.posed(r.aperture, r.pose), true
}

// flash carries out D03.
func (r *reader) flash(at geom.Pt) {
	if r.aperture >= 0 && r.defs[r.aperture].block != nil {
		r.flashBlock(*r.defs[r.aperture].block, at)
		return
	}
	a, ok := r.tool()
	if !ok {
		return
	}
	o := export.Object{Op: export.Flash, Clear: r.pol, Aperture: a, To: at}
	r.attach(&o)
	r.emit(o)
}

// emit adds an object to the layer, or to the block or repeat that is open.
func (r *reader) emit(o export.Object) {
	if r.count(1, len(o.Contour)) {
		*r.objects = append(*r.objects, o)
	}
}

// count keeps books of what the file makes the reader hold; false when it is too much.
func (r *reader) count(objects, points int) bool {
	before := r.held <= maxObjects && r.points <= maxPoints
	r.held += objects
	r.points += points
	if r.held <= maxObjects && r.points <= maxPoints {
		return true
	}
	if before {
		r.fail("readback-too-large", "the layer has more than %d objects or %d points; what follows is left out", maxObjects, maxPoints).
			Fix("a file of this size is no lighting board: look at its step and repeat")
	}
	return false
}

// fits reports whether nx by ny copies of n objects are still within the limit; all or nothing is made of them.
func (r *reader) fits(nx, ny, n int) bool {
	if n == 0 || nx <= maxObjects && ny <= maxObjects && nx*ny <= (maxObjects-min(r.held, maxObjects))/n {
		return true
	}
	r.count(maxObjects+1, 0)
	return false
}

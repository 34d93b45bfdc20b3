package exporttest

import (
	"crypto/md5"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// This is a second reading of The Gerber Layer Format Specification, revision 2021.02, for files as we write them (its
// section in brackets). It knows nothing of the writer and nothing of export/readback. Rules by number:
//
//	 1 one file, one image (2.1): the caller's, who has one file a layer   16 a region holds moves, draws and G codes only (4.10)
//	 2 everything is defined before its use (2.1)                          17 contours are closed exactly (4.10.1)
//	 3 words end in *, extended commands stand in %% (3.1, 3.3)             18 contours do not touch or cross themselves (4.10.3)
//	 4 command codes have two digits (8.3)                                 19 cut-ins coincide: we write none (4.10.3)
//	 5 MO once, first (4.2.1)                                              20 contours of a region may touch (4.10.4)
//	 6 FS once, first (4.2.2)                                              21 holes by clear polarity (4.10.5)
//	 7 coordinates fit 32 bits (3.4.1)                                     22 points are 1 um apart (4.14.2)
//	 8 both come before the first operation (2.13)                         23 no attributes in a region (5.1)
//	 9 aperture numbers from 10, each once (4.3.1)                         24 pads are flashed, all flashes are pads (6.4, 7.2)
//	10 apertures stand in the header, with their sizes (4.3, 4.4)          25 M02 ends the file (4.13)
//	11 only circles draw; no zero sizes but a circle's (2.4, 4.3.2)        26 files end in .gbr (3.6): the caller's
//	12 aperture and mode are set before use (2.6)                          27 % * \ are escaped (3.4.3)
//	13 D01 D02 D03 on each; I and J on arcs (4.8)                          28 names are names (3.4.5)
//	14 G75 before an arc (4.7.2)                                           29 no standard comments (4.1)
//	15 arcs neither tiny nor nearly full, radii agree (4.7.2)
type checker struct {
	header     bool
	counts     map[string]int
	apertures  map[int]string // template
	functions  map[int]string
	names      map[string]bool // of defined macros
	taFunction string
	mode       int
	modeSet    bool
	selected   int
	multi      bool // G75 seen
	x, y       int64
	placed     bool
	clear      bool
	dark       int // objects painted dark so far
	region     bool
	contour    [][2]int64
	arcs       bool
	found      []string
	copper     bool
	pin        bool
	flashes    int
	draws      int
	regions    int
}

func (c *checker) fault(rule int, format string, args ...any) {
	c.found = append(c.found, fmt.Sprintf("rule %d: ", rule)+fmt.Sprintf(format, args...))
}

var (
	operation = regexp.MustCompile(`^X(-?\d+)Y(-?\d+)(?:I(-?\d+)J(-?\d+))?D0([123])$`)
	short     = regexp.MustCompile(`D[123]$|[GD]\d\d\d$`)
	define    = regexp.MustCompile(`^ADD(\d+)([A-Za-z_.$][A-Za-z0-9_.$]*)(?:,([0-9.X-]+))?$`)
	attribute = regexp.MustCompile(`^(TF|TA|TO)(\.?[A-Za-z_$][A-Za-z0-9_.$]{0,126})(?:,(.*))?$`)
	oddEscape = regexp.MustCompile(`\\(?:[^u]|u[^0-9A-F]|u.[^0-9A-F]|u..[^0-9A-F]|u...[^0-9A-F])`)
)

// Breaks returns the rules that a Gerber file of ours breaks, each as "rule N: what", empty when it keeps them all. Rule 0
// is the set of attributes that every file of ours carries, and its .MD5.
func Breaks(src []byte) []string {
	c := &checker{header: true, counts: map[string]int{}, apertures: map[int]string{}, functions: map[int]string{}, names: map[string]bool{}}
	text := strings.ReplaceAll(string(src), "\n", "")
	for text != "" {
		if c.counts["M02"] > 0 {
			c.fault(25, "something after M02")
		}
		var word string
		var ok bool
		if extended := text[0] == '%'; extended {
			word, text, ok = strings.Cut(text[1:], "%")
			if !ok || !strings.HasSuffix(word, "*") {
				c.fault(3, "extended command %q has no end", word)
				continue
			}
			c.extended(strings.TrimSuffix(word, "*"))
		} else {
			word, text, ok = strings.Cut(text, "*")
			if !ok || strings.Contains(word, "%") || strings.Contains(word, " ") && !strings.HasPrefix(word, "G04") {
				c.fault(3, "word %q", word)
			}
			c.word(word)
		}
	}
	for _, name := range []string{"MO", "FS", "M02"} {
		if c.counts[name] != 1 {
			c.fault(map[string]int{"MO": 5, "FS": 6, "M02": 25}[name], "%s is there %d times", name, c.counts[name])
		}
	}
	for _, name := range []string{".FileFunction", ".FilePolarity", ".Part", ".SameCoordinates", ".GenerationSoftware", ".ProjectId", ".MD5"} {
		if c.counts[name] != 1 {
			c.fault(0, "%s is there %d times", name, c.counts[name])
		}
	}
	if sum, body := splitMD5(string(src)); fmt.Sprintf("%x", md5.Sum([]byte(body))) != sum {
		c.fault(0, ".MD5 is wrong")
	}
	return c.found
}

// splitMD5 returns the digest a file states, and the bytes it is of.
func splitMD5(src string) (sum, body string) {
	body, tail, _ := strings.Cut(strings.NewReplacer("\n", "", "\r", "").Replace(src), "%TF.MD5,")
	sum, _, _ = strings.Cut(tail, "*")
	return sum, body
}

func (c *checker) extended(word string) {
	if c.region {
		c.fault(16, "%q in a region", word)
		if word[0] == 'T' {
			c.fault(23, "%q in a region", word)
		}
	}
	body, _, _ := strings.Cut(word, "*")
	switch code := word[:2]; code {
	case "MO":
		c.counts["MO"]++
		if word != "MOMM" || !c.header {
			c.fault(5, "%q", word)
		}
	case "FS":
		c.counts["FS"]++
		if word != "FSLAX46Y46" || !c.header {
			c.fault(6, "%q", word)
		}
	case "LP":
		if word != "LPD" && word != "LPC" {
			c.fault(12, "%q", word)
		}
		c.clear = word == "LPC"
	case "AM":
		c.names[body[2:]] = true
	case "AD":
		c.define(word)
	case "TD":
		if word == "TD" || word == "TD.AperFunction" {
			c.taFunction = ""
		}
		if word == "TD" || word == "TD.P" {
			c.pin = false
		}
	case "TF", "TA", "TO":
		c.attribute(word)
	default:
		c.fault(2, "unknown command %q", word)
	}
}

func (c *checker) define(word string) {
	m := define.FindStringSubmatch(word)
	if m == nil {
		c.fault(10, "%q", word)
		return
	}
	n, err := strconv.Atoi(m[1])
	if err != nil || n < 10 || n > math.MaxInt32 || c.apertures[n] != "" {
		c.fault(9, "%q", word)
	}
	if !c.header {
		c.fault(10, "aperture %d is defined late", n)
	}
	sizes := strings.Split(m[3], "X")
	want := map[string]int{"C": 1, "R": 2, "O": 2, "P": 3}[m[2]]
	if want == 0 && !c.names[m[2]] || want > 0 && len(sizes) != want {
		c.fault(10, "%q", word)
	}
	for i, s := range sizes {
		v, err := strconv.ParseFloat(s, 64)
		if want > 0 && (err != nil || v < 0 || v == 0 && m[2] != "C" && i < 2) {
			c.fault(11, "size in %q", word)
		}
	}
	c.apertures[n], c.functions[n] = m[2], c.taFunction
	if c.copper && c.taFunction == "" {
		c.fault(0, "aperture %d has no function", n)
	}
}

func (c *checker) attribute(word string) {
	m := attribute.FindStringSubmatch(word)
	if m == nil {
		c.fault(28, "%q", word)
		return
	}
	if oddEscape.MatchString(m[3]) {
		c.fault(27, "%q", word)
	}
	switch {
	case m[1] == "TF":
		c.counts[m[2]]++
		if !c.header && m[2] != ".MD5" {
			c.fault(2, "%q is not in the header", word)
		}
		if m[2] == ".FileFunction" {
			c.copper = strings.HasPrefix(m[3], "Copper,")
		}
	case m[2] == ".AperFunction":
		c.taFunction = m[3]
	case m[2] == ".P":
		c.pin = true
	}
}

func (c *checker) word(w string) {
	switch w {
	case "G01", "G02", "G03":
		c.mode, c.modeSet = int(w[2]-'0'), true
		return
	case "G75":
		c.multi = true
		return
	case "G36":
		if c.region {
			c.fault(16, "a region in a region")
		}
		c.region, c.placed, c.contour, c.arcs = true, false, nil, false
		c.regions++
		return
	case "G37":
		c.close()
		c.region, c.placed = false, false
		c.paint(true)
		return
	case "M02":
		c.counts["M02"]++
		if c.region {
			c.fault(25, "M02 in a region")
		}
		return
	}
	if strings.HasPrefix(w, "G04") {
		if strings.HasPrefix(w, "G04 #@! ") {
			c.fault(29, "%q", w)
		}
		return
	}
	if w != "" && w[0] == 'D' {
		n, err := strconv.Atoi(w[1:])
		if err != nil || n < 10 {
			c.fault(9, "%q", w)
		} else if c.apertures[n] == "" {
			c.fault(2, "aperture %d is not defined", n)
		}
		if c.region {
			c.fault(16, "%q in a region", w)
		}
		c.selected = n
		return
	}
	c.operation(w)
}

func (c *checker) operation(w string) {
	m := operation.FindStringSubmatch(w)
	if m == nil {
		switch {
		case short.MatchString(w):
			c.fault(4, "%q", w)
		default:
			c.fault(13, "%q", w)
		}
		return
	}
	c.header = false
	if c.counts["MO"]+c.counts["FS"] != 2 {
		c.fault(8, "%q comes before MO and FS", w)
	}
	var n [4]int64
	for i := range n {
		if m[i+1] == "" {
			continue
		}
		v, err := strconv.ParseInt(m[i+1], 10, 64)
		if err != nil || v < math.MinInt32 || v > math.MaxInt32 {
			c.fault(7, "%q", w)
		}
		n[i] = v
	}
	kind := m[5]
	if (m[3] != "") != (kind == "1" && c.mode > 1) {
		c.fault(13, "%q in G0%d", w, c.mode)
	}
	switch kind {
	case "1":
		c.draw(w, n[0], n[1], n[2], n[3])
	case "2":
		if c.region {
			c.close()
			c.contour = [][2]int64{{n[0], n[1]}}
		}
	case "3":
		if c.region {
			c.fault(16, "a flash in a region")
		}
		if c.apertures[c.selected] == "" {
			c.fault(12, "a flash without an aperture")
		}
		if f := c.functions[c.selected]; c.copper && !strings.Contains(f, "Pad") {
			c.fault(24, "a flash of %q", f)
		}
		if f := c.functions[c.selected]; c.copper && !strings.HasPrefix(f, "FiducialPad") && (f == "ViaPad") == c.pin {
			c.fault(24, "a flash of %q, pin given: %v", f, c.pin)
		}
		c.flashes++
		c.paint(false)
	}
	c.x, c.y, c.placed = n[0], n[1], true
}

func (c *checker) paint(region bool) {
	if c.clear && (!region || c.dark == 0) {
		c.fault(21, "clear polarity is for the holes of regions")
	}
	if !c.clear {
		c.dark++
	}
}

func (c *checker) draw(w string, x, y, i, j int64) {
	if !c.modeSet {
		c.fault(12, "%q before any of G01 G02 G03", w)
	}
	if !c.placed {
		c.fault(2, "%q has no current point", w)
	}
	if !c.region {
		if c.apertures[c.selected] != "C" {
			c.fault(11, "%q drags %q", w, c.apertures[c.selected])
		}
		if f := c.functions[c.selected]; c.copper && f != "Conductor" {
			c.fault(24, "a draw of %q", f)
		}
		c.draws++
		c.paint(!c.clear)
	} else {
		if len(c.contour) == 0 {
			c.fault(16, "a region begins without a move")
		}
		c.contour = append(c.contour, [2]int64{x, y})
		if math.Hypot(float64(x-c.x), float64(y-c.y)) < 1000 {
			c.fault(22, "%q is %d,%d nm from the point before", w, x-c.x, y-c.y)
		}
	}
	if c.mode > 1 {
		c.arc(w, float64(x-c.x), float64(y-c.y), float64(i), float64(j))
	}
}

// arc checks an arc to (x, y) round (i, j), both from its start.
func (c *checker) arc(w string, x, y, i, j float64) {
	c.arcs = true
	if !c.multi {
		c.fault(14, "an arc before G75")
	}
	if x == 0 && y == 0 {
		c.fault(15, "%q is a full circle", w)
		return
	}
	r1, r2 := math.Hypot(i, j), math.Hypot(x-i, y-j)
	if math.Abs(r1-r2) > 1000 {
		c.fault(15, "%q: radii %.0f and %.0f nm", w, r1, r2)
	}
	sweep := math.Atan2(y-j, x-i) - math.Atan2(-j, -i)
	if c.mode == 3 && sweep < 0 {
		sweep += 2 * math.Pi
	}
	if c.mode == 2 {
		if sweep > 0 {
			sweep -= 2 * math.Pi
		}
		sweep = -sweep
	}
	if sweep*r1 < 2000 {
		c.fault(15, "%q is %.0f nm long", w, sweep*r1)
	}
	if sweep > math.Pi+1e-3 {
		c.fault(15, "%q turns by %.3f rad", w, sweep)
	}
	// A centre within 1 nm of the line through both ends must lie between them.
	chord := math.Hypot(x, y)
	if math.Abs(x*j-y*i)/chord < 1 && (x*i+y*j <= 0 || x*i+y*j >= chord*chord) {
		c.fault(15, "%q: the centre lies beside an end", w)
	}
}

// close checks the contour that ends here: rules 17 to 19.
func (c *checker) close() {
	p := c.contour
	c.contour = nil
	if len(p) == 0 {
		return
	}
	if p[0] != p[len(p)-1] {
		c.fault(17, "a contour ends at %v, not at its start %v", p[len(p)-1], p[0])
		return
	}
	if p = p[:len(p)-1]; len(p) < 3 && !c.arcs {
		c.fault(18, "a contour of %d points", len(p))
	}
	if c.arcs {
		return // the writer's regions have none
	}
	touching(p, func(a, b int) { c.fault(18, "edges at %v and %v of a contour touch", p[a], p[b]) })
}

// touching calls f for pairs of edges that share more than the corner between them. Edges are swept by x.
func touching(p [][2]int64, f func(a, b int)) {
	n := len(p)
	order := make([]int, n)
	lo := func(i int) int64 { return min(p[i][0], p[(i+1)%n][0]) }
	hi := func(i int) int64 { return max(p[i][0], p[(i+1)%n][0]) }
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return int(lo(a) - lo(b)) })
	orient := func(a, b, c [2]int64) int64 {
		v := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
		return min(1, max(-1, v))
	}
	for k, a := range order {
		a0, a1 := p[a], p[(a+1)%n]
		for _, b := range order[k+1:] {
			if lo(b) > hi(a) {
				break
			}
			b0, b1 := p[b], p[(b+1)%n]
			if max(a0[1], a1[1]) < min(b0[1], b1[1]) || max(b0[1], b1[1]) < min(a0[1], a1[1]) {
				continue
			}
			switch {
			case (a+1)%n == b || (b+1)%n == a:
				// Neighbours share a corner; they may not run back over each other.
				u, v, w := a0, a1, b1
				if (b+1)%n == a {
					u, v, w = b0, b1, a1
				}
				if orient(u, v, w) == 0 && (v[0]-u[0])*(w[0]-v[0])+(v[1]-u[1])*(w[1]-v[1]) < 0 {
					f(a, b)
				}
			case orient(a0, a1, b0)*orient(a0, a1, b1) <= 0 && orient(b0, b1, a0)*orient(b0, b1, a1) <= 0:
				f(a, b)
			}
		}
	}
}

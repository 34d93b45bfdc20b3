package pdf

import (
	"fmt"
	"math"
	"strconv"
)

// path writes path data: M L H V A Z and their relative forms.
func (p *page) path(data string) {
	s := scanner{s: data}
	var x, y, startX, startY float64
	command := byte(0)
	for {
		c, ok := s.command()
		if ok {
			command = c
		} else if s.done() {
			return
		}
		relX, relY := 0.0, 0.0
		if command >= 'a' {
			relX, relY = x, y
		}
		switch command {
		case 'M', 'm':
			x, y = relX+s.number(), relY+s.number()
			startX, startY = x, y
			p.op("m", x, y)
			command-- // further pairs are lines: L follows M, l follows m
		case 'L', 'l':
			x, y = relX+s.number(), relY+s.number()
			p.op("l", x, y)
		case 'H', 'h':
			x = relX + s.number()
			p.op("l", x, y)
		case 'V', 'v':
			y = relY + s.number()
			p.op("l", x, y)
		case 'A', 'a':
			r, _ := s.number(), s.number()
			s.number() // of a circle, the turn of the axes says nothing
			large, sweep := s.number() != 0, s.number() != 0
			toX, toY := relX+s.number(), relY+s.number()
			p.arc(x, y, toX, toY, r, large, sweep)
			x, y = toX, toY
		case 'Z', 'z':
			p.out.WriteString("h ")
			x, y = startX, startY
			command = 0
		default:
			panic("export/internal/pdf: cannot draw the path " + data)
		}
	}
}

func (p *page) op(name string, v ...float64) {
	for _, f := range v {
		p.out.WriteString(num(f))
		p.out.WriteByte(' ')
	}
	p.out.WriteString(name + " ")
}

// arc writes a circular arc as cubic curves of at most a quarter each.
//
// Source of the centre: SVG 1.1 (Second Edition), W3C 2011, appendix F.6.5, for equal radii. Source of the curves: M.
// Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8(3), 1991, doi:10.1016/0167-8396(91)90007-X: control
// points 4/3 tan(a/4) radii along the tangents.
func (p *page) arc(x0, y0, x1, y1, r float64, large, sweep bool) {
	dx, dy := (x1-x0)/2, (y1-y0)/2
	half := math.Hypot(dx, dy)
	if half == 0 {
		return
	}
	r = math.Max(r, half)
	h := math.Sqrt(math.Max(0, float64(r*r)-float64(half*half))) / half
	if large == sweep {
		h = -h
	}
	cx, cy := (x0+x1)/2-float64(h*dy), (y0+y1)/2+float64(h*dx)
	from := math.Atan2(y0-cy, x0-cx)
	turn := math.Atan2(y1-cy, x1-cx) - from
	if sweep && turn <= 0 {
		turn += 2 * math.Pi
	}
	if !sweep && turn >= 0 {
		turn -= 2 * math.Pi
	}
	n := int(math.Ceil(math.Abs(turn)/(math.Pi/2) - 1e-9))
	step := turn / float64(max(1, n))
	k := 4.0 / 3 * math.Tan(step/4)
	for i := range max(1, n) {
		a := from + float64(step*float64(i))
		b := a + step
		ca, sa, cb, sb := math.Cos(a), math.Sin(a), math.Cos(b), math.Sin(b)
		endX, endY := cx+float64(r*cb), cy+float64(r*sb)
		if i == n-1 {
			endX, endY = x1, y1
		}
		p.op("c", cx+float64(r*(ca-float64(k*sa))), cy+float64(r*(sa+float64(k*ca))),
			cx+float64(r*(cb+float64(k*sb))), cy+float64(r*(sb-float64(k*cb))), endX, endY)
	}
}

// scanner takes path data apart.
type scanner struct {
	s  string
	at int
}

func (s *scanner) skip() {
	for s.at < len(s.s) && (s.s[s.at] == ' ' || s.s[s.at] == ',' || s.s[s.at] == '\n') {
		s.at++
	}
}

func (s *scanner) done() bool { s.skip(); return s.at == len(s.s) }

func (s *scanner) command() (byte, bool) {
	s.skip()
	if s.at < len(s.s) && (s.s[s.at]|0x20 >= 'a' && s.s[s.at]|0x20 <= 'z') {
		s.at++
		return s.s[s.at-1], true
	}
	return 0, false
}

func (s *scanner) number() float64 {
	s.skip()
	end := s.at
	for end < len(s.s) {
		c := s.s[end]
		if c >= '0' && c <= '9' || c == '.' || c == 'e' || (c == '-' || c == '+') && (end == s.at || s.s[end-1] == 'e') {
			end++
			continue
		}
		break
	}
	v, err := strconv.ParseFloat(s.s[s.at:end], 64)
	if err != nil {
		panic(fmt.Sprintf("export/internal/pdf: no number at %d of %q", s.at, s.s))
	}
	s.at = end
	return v
}

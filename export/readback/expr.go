package readback

import (
	"math"
	"strconv"
)

// expression evaluates an arithmetic expression of a macro (4.5.4.2): + - x / ( ), numbers, and $n, which is 0 where it
// was not given. Division by zero and nesting beyond maxDepth brackets are refused.
func expression(s string, vars map[int]float64) (float64, bool) {
	p := exprParser{s: s, vars: vars}
	v := p.sum()
	return v, !p.bad && p.i == len(s) && !math.IsNaN(v) && !math.IsInf(v, 0) && math.Abs(v) < 1e9
}

type exprParser struct {
	s     string
	i     int
	depth int
	vars  map[int]float64
	bad   bool
}

func (p *exprParser) peek() byte {
	if p.i < len(p.s) {
		return p.s[p.i]
	}
	return 0
}

func (p *exprParser) sum() float64 {
	v := p.product()
	for !p.bad {
		switch p.peek() {
		case '+':
			p.i++
			v += p.product()
		case '-':
			p.i++
			v -= p.product()
		default:
			return v
		}
	}
	return v
}

func (p *exprParser) product() float64 {
	v := p.factor()
	for !p.bad {
		switch p.peek() {
		case 'x', 'X':
			p.i++
			v = float64(v * p.factor())
		case '/':
			p.i++
			d := p.factor()
			if d == 0 {
				p.bad = true
				return 0
			}
			v /= d
		default:
			return v
		}
	}
	return v
}

func (p *exprParser) factor() float64 {
	sign := 1.0
	for p.peek() == '+' || p.peek() == '-' {
		if p.peek() == '-' {
			sign = -sign
		}
		p.i++
	}
	switch c := p.peek(); {
	case c == '(':
		p.i++
		if p.depth++; p.depth > maxDepth {
			p.bad = true
			return 0
		}
		v := p.sum()
		p.depth--
		if p.peek() != ')' {
			p.bad = true
		}
		p.i++
		return sign * v
	case c == '$':
		p.i++
		n, err := strconv.Atoi(p.digits("0123456789"))
		p.bad = p.bad || err != nil || n < 1
		return sign * p.vars[n]
	}
	v, err := strconv.ParseFloat(p.digits("0123456789."), 64)
	p.bad = p.bad || err != nil
	return sign * v
}

func (p *exprParser) digits(of string) string {
	from := p.i
	for p.i < len(p.s) && containsByte(of, p.s[p.i]) {
		p.i++
	}
	return p.s[from:p.i]
}

func containsByte(s string, c byte) bool {
	for i := range len(s) {
		if s[i] == c {
			return true
		}
	}
	return false
}

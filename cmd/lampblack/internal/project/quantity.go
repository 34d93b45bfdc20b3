package project

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// quantity is a number and a unit, within bounds that catch slips of the pen (12 kV, 300 m), not bad taste.
type quantity[V ~int | ~int64 | ~float64] struct {
	leaf
	as          part.Quantity
	per         float64 // V in one of what as counts in: 1e6 where V is nanometres and as millimetres
	least, most V
	above       bool // least itself is too little
	signed      bool // a minus may stand before it
	unit        string
	why         string         // what is told beside most
	say         func(V) string // how a bound is written
}

// lengths from least to most; a number without a unit is in millimetres.
func lengths(least, most geom.Nm) quantity[geom.Nm] {
	return quantity[geom.Nm]{as: part.Lengths(), per: float64(geom.Millimetre), least: least, most: most, unit: "mm", say: geom.Nm.String}
}

// currents above nothing; a number without a unit is in that unit, part.MilliAmp or part.Ampere.
func currents(most, unit part.Amp) quantity[part.Amp] {
	q := quantity[part.Amp]{as: part.Amps(unit), per: 1, most: most, above: true, unit: "A", say: part.Amp.String}
	if unit == part.MilliAmp {
		q.unit = "mA"
	}
	return q
}

// shares above nothing, in percent.
func shares(most float64) quantity[float64] {
	return quantity[float64]{as: part.Percents(), per: 1, most: most, above: true, unit: "%", say: func(v float64) string { return fmt.Sprintf("%g %%", v*100) }}
}

// counts of things.
func counts(least, most int) quantity[int] {
	return quantity[int]{as: part.Numbers(), per: 1, least: least, most: most, say: strconv.Itoa}
}

func ohms(least, most part.Ohm) quantity[part.Ohm] {
	return quantity[part.Ohm]{as: part.Ohms(), per: 1, least: least, most: most, unit: "ohm", say: func(v part.Ohm) string { return fmt.Sprintf("%g ohm", v) }}
}

func (q quantity[V]) bare() string { return q.unit }

// mostCounted is the largest number that is told by its bounds; what is beyond is no number of things.
const mostCounted = 1e15

// parse reads a text; bounds are not its matter.
func (q quantity[V]) parse(s string) (V, error) {
	t, minus := strings.TrimSpace(s), false
	if _, whole := any(V(0)).(int); whole {
		// Of a number below zero, or 1e9, the bounds tell better what is wrong.
		x, err := strconv.ParseFloat(strings.ReplaceAll(t, "\u2212", "-"), 64)
		if err == nil && x == math.Trunc(x) && math.Abs(x) <= mostCounted {
			return V(x), nil
		}
		if t == "" || !strings.ContainsAny(t[:1], "0123456789") || math.Abs(x) > mostCounted {
			return 0, fmt.Errorf("%q is no whole number", s)
		}
	}
	if q.signed {
		t, minus = strings.CutPrefix(strings.ReplaceAll(t, "\u2212", "-"), "-")
		if minus && strings.HasPrefix(strings.TrimSpace(t), "-") {
			return 0, fmt.Errorf("%q has two minus signs", s)
		}
	}
	x, err := q.as.Read(t)
	if err != nil {
		return 0, err
	}
	if x *= q.per; minus {
		x = -x
	}
	switch any(V(0)).(type) {
	case int:
		if x != math.Trunc(x) {
			return 0, fmt.Errorf("%q is no whole number", s)
		}
	case geom.Nm:
		x = math.Round(x)
	}
	return V(x), nil
}

// refuse says why a value cannot be; "" where it can.
func (q quantity[V]) refuse(v V) string {
	switch {
	case q.above && !(v > q.least) && q.least == 0:
		return "not above zero"
	case q.above && !(v > q.least):
		return "not above " + q.say(q.least)
	case v < q.least:
		return "less than " + q.say(q.least)
	case v > q.most:
		return "more than " + q.say(q.most) + q.why
	}
	return ""
}

func (q quantity[V]) read(r *reader, n ast.Node, at spot, to *V) bool {
	return scan(r, n, at, q.parse, q.refuse, to)
}

// parsed is a value that is written in a way of its own, all in one text.
type parsed[V any] struct {
	leaf
	name    string // in the schema
	parse   func(string) (V, error)
	refuse  func(V) string // why a value cannot be; nil: all can
	advice  string         // how one is written; empty: the key's examples tell
	pattern string         // what a text must match, by ECMA-262; the reader may want more
	numbers [2]float64     // least and most of a number without a unit; none if equal
	unit    string
}

func (p parsed[V]) bare() string { return p.unit }

func (p parsed[V]) read(r *reader, n ast.Node, at spot, to *V) bool {
	if p.advice != "" {
		at.words = p.advice
	}
	return scan(r, n, at, p.parse, p.refuse, to)
}

// scan reads a text by a parser and stores the value if nothing speaks against it.
func scan[V any](r *reader, n ast.Node, at spot, parse func(string) (V, error), refuse func(V) string, to *V) bool {
	s, ok := r.text(n, at)
	if !ok {
		return false
	}
	v, err := parse(s)
	if err != nil {
		// The parsers say what is right too; that is the advice's part here.
		what, _, _ := strings.Cut(err.Error(), "; write")
		f := r.add(n, "project-wrong-value", "%s: %s", r.say(at.path), what).Fix("%s", at.advice())
		if _, whole := any(v).(int); whole {
			plain := ungrouped(s)
			if v, err := parse(plain); plain != s && err == nil && (refuse == nil || refuse(v) == "") {
				f.Fix("write no comma between the digits: %s", plain).By("write "+plain, diag.Set, at.path, plain)
			}
		} else if point := pointed(s); point != s {
			if _, err := parse(point); err == nil {
				f.Fix("write a decimal point, not a comma: %s", point).By("write "+point, diag.Set, at.path, point)
			}
		}
		return false
	}
	if refuse != nil {
		if why := refuse(v); why != "" {
			r.add(n, "project-impossible-value", "%s: %s is %s", r.say(at.path), s, why).Fix("%s", at.advice())
			return false
		}
	}
	*to = v
	return true
}

// pointed returns a text with points for commas between digits: "11.1 V .. 12.6 V" for "11,1 V .. 12,6 V".
func pointed(s string) string {
	b := []byte(s)
	digit := func(i int) bool { return i >= 0 && i < len(s) && s[i] >= '0' && s[i] <= '9' }
	for i := range b {
		if b[i] == ',' && digit(i-1) && digit(i+1) {
			b[i] = '.'
		}
	}
	return string(b)
}

// ungrouped returns a number without the commas between its groups of three digits: "1000" for "1,000"; any other text as it is.
func ungrouped(s string) string {
	first, groups, _ := strings.Cut(strings.TrimSpace(s), ",")
	if len(first) == 0 || len(first) > 3 {
		return s
	}
	for _, g := range strings.Split(groups, ",") {
		if len(g) != 3 {
			return s
		}
		first += g
	}
	if strings.Trim(first, "0123456789") != "" {
		return s
	}
	return first
}

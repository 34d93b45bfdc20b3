package project

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"lampblack/led/part"
)

// The patterns here are regular expressions in the common part of ECMA-262, which JSON Schema wants, and of Go. A decimal is
// digits with at most one point; a bound in a pattern is what lets a schema refuse 230 V.

// decimal matches every decimal.
const decimal = `(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)`

// digitsOf returns the digits of v before and behind the point, without zeros that say nothing: at most twelve digits count,
// so that 0.1 / 1e-3 is 100.
func digitsOf(v float64) (whole, behind string) {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	whole, behind, _ = strings.Cut(strconv.FormatFloat(short, 'f', -1, 64), ".")
	return strings.TrimLeft(whole, "0"), behind
}

// span matches one digit from a to b.
func span(a, b byte) string {
	if a == b {
		return string(a)
	}
	return "[" + string(a) + "-" + string(b) + "]"
}

func repeated(n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return "[0-9]"
	}
	return "[0-9]{" + strconv.Itoa(n) + "}"
}

// upTo matches the decimals from 0 to v.
func upTo(v float64) string {
	whole, behind := digitsOf(v)
	var atMost func(string) string
	atMost = func(f string) string {
		if f == "" {
			return "0*"
		}
		smaller := ""
		if f[0] > '0' {
			smaller = span('0', f[0]-1) + "[0-9]*|"
		}
		return "(?:" + smaller + f[:1] + atMost(f[1:]) + ")?"
	}
	if whole == "" {
		return `0*(?:0(?:\.` + atMost(behind) + `)?|\.` + atMost(behind) + `)`
	}
	var less []string
	if n := len(whole); n > 1 {
		less = append(less, "[0-9]{1,"+strconv.Itoa(n-1)+"}")
	}
	for i := range len(whole) {
		if low := byte('0') + b2i(i == 0 && len(whole) > 1); whole[i] > low {
			less = append(less, whole[:i]+span(low, whole[i]-1)+repeated(len(whole)-i-1))
		} else if len(whole) == 1 && whole[i] > '0' {
			less = append(less, "0")
		}
	}
	all := []string{whole + `(?:\.` + atMost(behind) + `)?`, `\.[0-9]+`}
	if len(less) > 0 {
		all = append(all, `(?:`+strings.Join(less, "|")+`)(?:\.[0-9]*)?`)
	}
	return "0*(?:" + strings.Join(all, "|") + ")"
}

func b2i(b bool) byte {
	if b {
		return 1
	}
	return 0
}

// from matches the decimals of v and more; with above only those above v.
func from(v float64, above bool) string {
	whole, behind := digitsOf(v)
	const any, more = `(?:\.[0-9]*)?`, `[0-9]*[1-9][0-9]*`
	var atLeast func(string) string
	atLeast = func(f string) string {
		if f == "" {
			if above {
				return more
			}
			return "[0-9]*"
		}
		greater := ""
		if f[0] < '9' {
			greater = span(f[0]+1, '9') + "[0-9]*|"
		}
		return "(?:" + greater + f[:1] + atLeast(f[1:]) + ")"
	}
	greater := []string{"[1-9]" + "[0-9]{" + strconv.Itoa(len(whole)) + ",}" + any}
	for i := range len(whole) {
		if whole[i] < '9' {
			greater = append(greater, whole[:i]+span(whole[i]+1, '9')+repeated(len(whole)-i-1)+any)
		}
	}
	switch {
	case behind != "" || above:
		greater = append(greater, whole+`\.`+atLeast(behind))
	case whole == "":
		return decimal
	default:
		greater = append(greater, whole+any)
	}
	return "0*(?:" + strings.Join(greater, "|") + ")"
}

// unitPattern matches a unit's name, with the letters that keyboards have for the same.
func unitPattern(name string) string {
	p := regexp.QuoteMeta(name)
	if len(name) <= 2 {
		p = strings.Replace(p, "u", "[uµμ]", 1)
	}
	return strings.NewReplacer("Ω", "[Ω\u2126]", "mm2", `mm(?:2|²|\^2)`, "cd/m2", `cd/m(?:2|²|\^2)`, `"`, `["″]`).Replace(p)
}

// withUnits matches a decimal with a unit behind it; number gives the decimals for a unit that is scale times the quantity's
// own. Fractions as 1/4 pass whatever they are worth.
func withUnits(q part.Quantity, number func(scale float64) string) string {
	var scales []float64
	names := map[float64][]string{}
	for _, u := range q.Units() {
		if len(names[u.Scale]) == 0 {
			scales = append(scales, u.Scale)
		}
		names[u.Scale] = append(names[u.Scale], unitPattern(u.Name))
	}
	var all, units []string
	for _, s := range scales {
		all = append(all, number(s)+`\s*(?:`+strings.Join(names[s], "|")+`)`)
		units = append(units, names[s]...)
	}
	all = append(all, decimal+"/"+decimal+`\s*(?:`+strings.Join(units, "|")+`)`)
	if q.Coded() {
		all = append(all, `[0-9]*[RrkKM][0-9]+`)
	}
	return `(?:` + strings.Join(all, "|") + `)`
}

// in returns a bound in one of the quantity's units.
func (q quantity[V]) in(v V, scale float64) float64 { return float64(v) / q.per / scale }

// number matches the quantity up to its most.
func (q quantity[V]) number() string {
	p := withUnits(q.as, func(scale float64) string { return upTo(q.in(q.most, scale)) })
	if q.signed {
		return `(?:[-−]\s*)?` + p
	}
	return `\+?` + p
}

// floor matches the quantity from its least on; "" where nothing written is less.
func (q quantity[V]) floor() string {
	if q.signed || q.least <= 0 && !q.above {
		return ""
	}
	return `\+?` + withUnits(q.as, func(scale float64) string { return from(q.in(q.least, scale), q.above) })
}

// whole is a pattern for all of a text, blanks round it aside.
func whole(p string) string { return `^\s*(?:` + p + `)\s*$` }

// anyCase matches a word in letters of any case.
func anyCase(word string) string {
	var b strings.Builder
	for _, r := range word {
		lo, up := strings.ToLower(string(r)), strings.ToUpper(string(r))
		if lo == up {
			b.WriteString(regexp.QuoteMeta(string(r)))
		} else {
			b.WriteString("[" + lo + up + "]")
		}
	}
	return b.String()
}

// rounded takes off what binary fractions leave behind.
func rounded(v float64) float64 {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	return math.Round(short*1e12) / 1e12
}

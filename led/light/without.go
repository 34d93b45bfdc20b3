package light

import (
	"slices"

	"lampblack/led"
	"lampblack/panel/geom"
)

// Lasting is what a word keeps of its light when one string is dark: the one that it would miss most.
type Lasting struct {
	Text   string
	Drawn  bool // no word: Text says what it is
	At     geom.Pt
	Keeps  float64 // of its light: 0 where nobody else lights it
	String led.StringID
	LEDs   []string // of that string
}

// Without returns what each word and each window of the shares of a wiring's LEDs, or without any word each symbol, keeps of its light
// when the string that it would miss most is dark. What has no light is left out: that is told of dark words; and so is what is drawn and
// has more than half of its light from one LED, as an indicator, which is as dark as its LED. Of several sets each is held by itself, as if
// the others were off, and the one told by which a word keeps least.
func Without(shares []Share, w led.Wiring, sets []Set) (out []Lasting) {
	words := slices.ContainsFunc(shares, func(s Share) bool { return !s.Drawn && !s.Whole })
	for _, s := range shares {
		if s.Whole || s.Drawn && (words && !s.Window || s.single()) {
			continue
		}
		var least Lasting
		lit := false
		for k := range max(len(sets), 1) {
			one, ok := s.without(w, func(t led.String) bool { return len(sets) == 0 || w.LEDs[t.LEDs[0]].Kind.RGB == sets[k].RGB })
			if ok && (!lit || one.Keeps < least.Keeps) {
				least, lit = one, true
			}
		}
		if lit {
			out = append(out, least)
		}
	}
	return out
}

// single reports whether one LED gives more than half of the light.
func (s Share) single() bool {
	sum, most := 0.0, 0.0
	for _, v := range s.By {
		sum, most = sum+v, max(most, v)
	}
	return most > sum/2
}

// without is what is kept of the light of those strings that are on; ok is false where they give none.
func (s Share) without(w led.Wiring, on func(led.String) bool) (one Lasting, ok bool) {
	all, most, which := 0.0, 0.0, led.StringID(0)
	for id, str := range w.Strings {
		if !on(str) {
			continue
		}
		sum := 0.0
		for _, i := range str.LEDs {
			sum += s.By[i]
		}
		if all += sum; sum > most {
			most, which = sum, led.StringID(id)
		}
	}
	if all <= 0 {
		return one, false
	}
	one = Lasting{Text: s.Text, Drawn: s.Drawn, At: s.At, Keeps: settled(max(0, 1-most/all)), String: which}
	for _, i := range w.Strings[which].LEDs {
		one.LEDs = append(one.LEDs, w.LEDs[i].Ref)
	}
	return one, true
}

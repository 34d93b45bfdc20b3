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

// Without returns what each word of the shares of a wiring's LEDs, or without any each symbol, keeps of its light when the string that
// it would miss most is dark. What has no light is left out: that is told of dark words.
func Without(shares []Share, w led.Wiring) (out []Lasting) {
	words := slices.ContainsFunc(shares, func(s Share) bool { return !s.Drawn && !s.Whole })
	for _, s := range shares {
		if s.Whole || s.Drawn && words {
			continue
		}
		all, most, which := 0.0, 0.0, led.StringID(0)
		for id, str := range w.Strings {
			sum := 0.0
			for _, i := range str.LEDs {
				sum += s.By[i]
			}
			if all += sum; sum > most {
				most, which = sum, led.StringID(id)
			}
		}
		if all <= 0 {
			continue
		}
		one := Lasting{Text: s.Text, Drawn: s.Drawn, At: s.At, Keeps: settled(max(0, 1-most/all)), String: which}
		for _, i := range w.Strings[which].LEDs {
			one.LEDs = append(one.LEDs, w.LEDs[i].Ref)
		}
		out = append(out, one)
	}
	return out
}

package light

import (
	"fmt"
	"math"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Spill is the light of other groups of LEDs on a word that is not theirs, all full on: what it still shows when its own group is off.
type Spill struct {
	Text  string
	Drawn bool // no word: Text says what it is
	At    geom.Pt
	Group int     // its own: of several that which gives it most
	From  int     // the other group that gives it most
	Share float64 // light of all other groups over that of its own
}

// behind is from which measure on, of that of the group which has the greatest, LEDs of another group stand behind a word too: two sets
// behind the same words come to about 1, a line of lettering a few millimetres beside another's to a third.
const behind = 0.5

// Spills returns what each word and symbol gets from groups that are not its own. of is the group of each LED, by its index from 0. The
// groups of a word are those whose LEDs stand behind it, and its own is that of them which gives it most: so two sets of LEDs behind the
// same words share them, and are no stray light to each other.
func Spills(shares []Share, of []int, groups int) (out []Spill) {
	if groups == 0 {
		return nil
	}
	given := make([]giving, len(shares))
	best := giving{make([]float64, groups), make([]float64, groups)}
	for k, s := range shares {
		if s.Whole {
			return nil
		}
		given[k] = givenTo(s, of, groups)
		for g := range groups {
			best.light[g], best.most[g] = max(best.light[g], given[k].light[g]), max(best.most[g], given[k].most[g])
		}
	}
	for k, s := range shares {
		light, stand := given[k].light, given[k].behind(best)
		lead := -1
		for g, v := range light {
			if stand[g] && (lead < 0 || v > light[lead]) {
				lead = g
			}
		}
		if lead < 0 {
			continue // dark, which is told of dark words
		}
		one, others, most := Spill{Text: s.Text, Drawn: s.Drawn, At: s.At, Group: lead, From: -1}, 0.0, 0.0
		for g, v := range light {
			if stand[g] {
				continue
			}
			if others += v; v > most {
				most, one.From = v, g
			}
		}
		if one.From >= 0 {
			one.Share = settled(others / light[lead])
			out = append(out, one)
		}
	}
	return out
}

// giving is what each group gives a word: the light of all its LEDs, and of that one which gives most.
type giving struct{ light, most []float64 }

func givenTo(s Share, of []int, groups int) giving {
	g := giving{make([]float64, groups), make([]float64, groups)}
	for i, v := range s.By {
		g.light[of[i]] += v
		g.most[of[i]] = max(g.most[of[i]], v)
	}
	return g
}

// behind tells the groups whose LEDs stand behind the word; best is the most that each gives any. They are measured by that, since groups
// differ in brightness: by all of their LEDs, which long words want, or by one, where a group has few.
func (v giving) behind(best giving) []bool {
	measure, all := make([]float64, len(v.light)), slices.Max(v.light)
	greatest := 0.0
	for g, w := range v.light {
		if w > 0 && w >= trace*all {
			measure[g] = max(w/best.light[g], v.most[g]/best.most[g])
			greatest = max(greatest, measure[g])
		}
	}
	out := make([]bool, len(v.light))
	for g, m := range measure {
		out[g] = m > 0 && m >= behind*greatest
	}
	return out
}

// What of its own light a word may show while its group is off. Read in the dark, a twentieth is a glow beside words that are lit, and
// a tenth is taken for a word that is lit dimly (common practice; displays are made for more than 10 : 1).
const (
	spillShows  = 0.05
	spillMisled = 0.10
)

// Spilt counts what shows, and finds the worst; nil where nothing does.
func Spilt(spills []Spill) (worst *Spill, n int) {
	for k := range spills {
		if s := &spills[k]; s.Share >= spillShows {
			if n++; worst == nil || s.Share > worst.Share {
				worst = s
			}
		}
	}
	return worst, n
}

// JudgeSpills tells, once a panel, where words show although their group is off. names are those of the groups.
func JudgeSpills(panel string, spills []Spill, names []string) diag.List {
	var l diag.List
	worst, n := Spilt(spills)
	if worst == nil {
		return l
	}
	name := func(g int) string {
		if names[g] == "" {
			return "the LEDs of no group"
		}
		return "group " + names[g]
	}
	word, level := fmt.Sprintf("%q", worst.Text), diag.Note
	if worst.Drawn {
		word = worst.Text
	}
	if worst.Share >= spillMisled {
		level = diag.Warning
	}
	more := ""
	if n > 1 {
		more = fmt.Sprintf("; so do %d words or symbols in all, more faintly", n)
	}
	f := l.Add(level, "light-spill", "%s still shows when its LEDs are off: from %s it gets %.0f %% of the light that it has of its own, %s%s", word, name(worst.From),
		math.Round(100*worst.Share), name(worst.Group), more)
	f.About(diag.PanelKey(panel, "frame"), "defaults.frame").At(worst.At.X.MM(), worst.At.Y.MM()).
		Fix("put a wall between the two groups from LED sheet to diffuser, as frame: yes makes it, or move the nearest LEDs apart; nothing, where the two are never on alone")
	return l.WithPanel(panel)
}

package role

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"lampblack/panel"
	"lampblack/panel/geom"
	"lampblack/panel/work"
)

// judge is a drawing with what is found out of it once.
type judge struct {
	Drawing
	Looked
	watch *work.Watch
	cuts  index // what is large enough for a part
	keys  int   // squares for key switches

	situation       []Places // those of its places that count
	size            []int    // classes of sizes, of round things by diameter
	cornerSizes     map[int]bool
	layers, colours int            // of the things within outlines: where all have one, it tells nothing
	lettersLayer    map[string]int // letters on each layer
	lettersColour   map[uint32]int
	givenLEDs       bool
}

const (
	aHole uint8 = 1 << iota
	aMiddleHole
	aMark // not in it: it is one, in the middle of a hole
	aThing
	aLetter
)

// step is by what sizes are told apart, mm: a twentieth.
const step = 0.05

// prepare finds out what is asked of single things.
func (j *judge) prepare() {
	j.lettersLayer, j.lettersColour = map[string]int{}, map[uint32]int{}
	layers, colours := map[string]bool{}, map[uint32]bool{}
	for i := range j.Things {
		j.watch.Step()
		t := &j.Things[i]
		layer := strings.ToLower(t.Layer)
		if t.Given == "" {
			layers[layer], colours[t.Colour] = true, true
		}
		if j.Letters[i] {
			j.lettersLayer[layer]++
			j.lettersColour[t.Colour]++
		}
		if !t.Round && !j.Letters[i] && keySquare(t) {
			j.keys++
		}
		j.givenLEDs = j.givenLEDs || t.Given == led
		if t.Given == opening || t.Given == "" && !j.Letters[i] && big(t.Box) >= 5.9 {
			j.cuts.add(t.Box, i)
		}
	}
	j.layers, j.colours = len(layers), len(colours)
}

// keySquare reports whether a thing is a square for a key switch, some with notches at its sides: 13.8 to 14.2 mm one way.
func keySquare(t *Thing) bool {
	w, h := t.Box.W(), t.Box.H()
	a := min(w, h)
	return a >= 13.7 && a <= 14.3 && max(w, h) <= 16.2
}

// groupKey is what the things of a group have in common.
type groupKey struct {
	class        uint8 // 0 letters, 1 round, 2 other
	short, long  int   // steps of size; of letters none
	layer, block string
	style        string
	colour       uint32
	place        Places
	holds        uint8
}

// groups puts things of one size and one situation together.
func (j *judge) groups() []Group {
	short, long := j.sizeClasses()
	j.size = short
	j.settle(short)
	index := map[groupKey]int{}
	var out []Group
	for i := range j.Things {
		j.watch.Step()
		t := &j.Things[i]
		if t.Given != "" {
			continue
		}
		k := groupKey{layer: strings.ToLower(t.Layer), block: t.Block, style: t.Style, colour: t.Colour}
		if !j.Letters[i] {
			k.class, k.short, k.long, k.place, k.holds = 2, short[i], long[i], j.situation[i], j.holds[i]
			if t.Round {
				k.class = 1
			} else {
				k.place &^= InCorners | NearEdge // shapes are told apart by their sizes
			}
			if k.place&InCorners != 0 {
				k.place &^= NearEdge
			}
		} else {
			k.block = ""
		}
		at, ok := index[k]
		if !ok {
			at = len(out)
			index[k] = at
			out = append(out, Group{Round: k.class == 1, Letters: k.class == 0, Places: k.place, Layer: t.Layer, Min: math.Inf(1), Long: [2]float64{math.Inf(1), 0}})
		}
		g := &out[at]
		g.Things = append(g.Things, i)
		a, b := min(t.Box.W(), t.Box.H()), big(t.Box)
		if t.Round {
			a, b = t.D, t.D
		}
		g.Min, g.Max = min(g.Min, a), max(g.Max, a)
		g.Long = [2]float64{min(g.Long[0], b), max(g.Long[1], b)}
	}
	slices.SortFunc(out, byFirst)
	return out
}

// settle finds in which of its places each thing counts: one alone in a corner or near the edge is no screw for that, since
// screws come in twos at least, and lamps of a row may come there.
func (j *judge) settle(size []int) {
	type spot struct{ sheet, size, corner int }
	corners, edge := map[spot]bool{}, map[spot]int{}
	cornerOf := func(i int) spot {
		t, b := &j.Things[i], j.box(i)
		c := 0
		if t.At.X*2 > b.Min.X+b.Max.X {
			c = 1
		}
		if t.At.Y*2 > b.Min.Y+b.Max.Y {
			c += 2
		}
		return spot{t.Sheet, size[i], c}
	}
	for i := range j.Things {
		if t := &j.Things[i]; t.Round && !j.Letters[i] {
			if j.Places[i]&InCorners != 0 {
				corners[cornerOf(i)] = true
			}
			if j.Places[i]&NearEdge != 0 {
				edge[spot{t.Sheet, size[i], 0}]++
			}
		}
	}
	j.situation, j.cornerSizes = slices.Clone(j.Places), map[int]bool{}
	for i := range j.Things {
		n := 0
		for c := range 4 {
			if corners[spot{j.Things[i].Sheet, size[i], c}] {
				n++
			}
		}
		if n < 2 {
			j.situation[i] &^= InCorners
		}
		if t := &j.Things[i]; j.situation[i]&InCorners != 0 && t.Round && t.D >= 2 && t.D < 6 {
			j.cornerSizes[size[i]] = true
		}
		if edge[spot{j.Things[i].Sheet, size[i], 0}] < 2 {
			j.situation[i] &^= NearEdge
		}
	}
}

// sizeClasses numbers sizes: those that follow each other by no more than a step have one number, up to four steps in all.
func (j *judge) sizeClasses() (short, long []int) {
	class := func(size func(t *Thing) float64) []int {
		order := make([]int, len(j.Things))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int {
			j.watch.Step()
			return cmp.Compare(math.Round(size(&j.Things[a])*1e6), math.Round(size(&j.Things[b])*1e6))
		})
		out := make([]int, len(j.Things))
		no, first, last := 0, math.Inf(-1), math.Inf(-1)
		for _, i := range order {
			v := size(&j.Things[i])
			if v-last > step || v-first > 4*step {
				no++
				first = v
			}
			last = v
			out[i] = no
		}
		return out
	}
	return class(func(t *Thing) float64 {
			if t.Round {
				return t.D
			}
			return min(t.Box.W(), t.Box.H())
		}), class(func(t *Thing) float64 {
			if t.Round {
				return t.D
			}
			return big(t.Box)
		})
}

// decide gives a group its role.
func (j *judge) decide(g *Group) {
	has := j.featuresOf(g)
	var score [len(roles)]int
	for _, e := range evidence {
		if has[e.of] {
			score[slices.Index(roles[:], e.role)] += e.db
		}
	}
	best, second := -1, -1
	for i := range roles {
		switch {
		case best < 0 || score[i] > score[best]:
			best, second = i, best
		case second < 0 || score[i] > score[second]:
			second = i
		}
	}
	g.Role = roles[best]
	// What it may be else, if that matters, is worth more words than what hurts nobody.
	for i := range roles {
		if i != best && Matters(roles[i], g.Role) && (!Matters(roles[second], g.Role) || score[i] > score[second]) && score[best]-score[i] < Sure {
			second = i
		}
	}
	g.Second, g.Margin = roles[second], score[best]-score[second]
	g.Why, g.But = reasons(has, g.Role), reasons(has, g.Second)
}

// one says of one thing what is said of several.
var one = strings.NewReplacer("they are slots", "it is a slot", "they are closed lines that are no circles", "it is a closed line that is no circle",
	"they are ISO 273's fine holes", "it is ISO 273's fine hole", "they are screws' holes", "it is a screw's hole", "they are", "it is", "they lie in mirror pairs", "it lies in a mirror pair",
	"they lie", "it lies", "they stand", "it stands", "they have", "it has", "they form", "it is part of", "their", "its")

// Reasons says reasons of n things.
func Reasons(n int, why []string) []string {
	if n != 1 {
		return why
	}
	out := slices.Clone(why)
	for i := range out {
		out[i] = one.Replace(out[i])
	}
	return out
}

// reasons returns the words for a role, the weightiest first, at most two.
func reasons(has [features]bool, r panel.Role) []string {
	var of []weight
	for _, e := range evidence {
		if has[e.of] && e.role == r && e.db > 0 && e.why != "" {
			of = append(of, e)
		}
	}
	slices.SortStableFunc(of, func(a, b weight) int { return cmp.Compare(b.db, a.db) })
	var out []string
	for _, e := range of[:min(2, len(of))] {
		out = append(out, e.why)
	}
	return out
}

// box is the box of a sheet.
func (j *judge) box(i int) geom.XYBox { return j.Sheets[j.Things[i].Sheet].Box }

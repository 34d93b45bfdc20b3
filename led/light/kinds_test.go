package light

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// twoKinds is a panel with red LEDs badly placed behind its first word, white ones behind the two others, and room for both kinds.
func twoKinds() (panel.Panel, Options, []Lamp) {
	p, w := mixed(0.2, 2)
	var lamps []Lamp
	for i, l := range w.LEDs {
		p.LEDs[i].Kind, p.LEDs[i].At = l.Kind.Name, p.LEDs[i].At.Add(geom.Vec{X: geom.MM(4), Y: geom.MM(3)})
		if i < 2 {
			lamps = append(lamps, Lamp{Name: l.Kind.Name, Kind: l.Kind, Hole: geom.MM(3), Room: roomOf(p), Spacing: geom.MM(5 + float64(2*i))})
		}
	}
	return p, Options{Stack: UsualStack(), Current: 0.020, Count: 9, Seed: 1}, lamps
}

func kindsOf(leds []panel.Hole) map[string]int {
	n := map[string]int{}
	for _, h := range leds {
		n[h.Kind]++
	}
	return n
}

// Each LED keeps its kind and lights what it is for: both colours come out more evenly than drawn on their own words, and the kinds
// stay as far apart as the mean of what each wants.
func TestKindsAreRelit(t *testing.T) {
	p, o, lamps := twoKinds()
	plan, l := PlaceKinds(t.Context(), p, o, lamps)
	require.Empty(t, l)
	require.Equal(t, map[string]int{"red-3mm": 3, "white-3mm": 6}, kindsOf(plan.LEDs))
	require.Len(t, plan.Colours, 2)
	for _, c := range plan.Colours {
		require.Equal(t, c.Drawn, c.LEDs)
		require.Greater(t, c.After.MinToMean, c.Before.MinToMean, c.Name)
		require.Zero(t, c.Before.beats(c.After), "no worse in any way: %s", c.Name)
		require.GreaterOrEqual(t, c.After.Mean, 0.9*c.Before.Mean, c.Name)
	}
	for i, a := range plan.LEDs {
		if a.Kind == "red-3mm" {
			require.Less(t, a.At.X, geom.MM(60), "the red word is on the left")
		} else {
			require.Greater(t, a.At.X, geom.MM(100))
		}
		for _, b := range plan.LEDs[:i] {
			apart := geom.MM(5)
			if a.Kind == "white-3mm" {
				apart = geom.MM(7)
			}
			require.GreaterOrEqual(t, a.At.Dist(b.At), float64(apart-2))
		}
	}
	again, _ := PlaceKinds(t.Context(), p, o, lamps)
	require.Equal(t, plan, again)

	// The oracle: the red word's figures are those of a panel that has nothing but it and its LEDs, placed alone.
	alone := p
	alone.Lettering, alone.LEDs = p.Lettering[:1], nil
	for _, h := range plan.LEDs {
		if h.Kind == "red-3mm" {
			alone.LEDs = append(alone.LEDs, h)
		}
	}
	one := lamps[0].in(o)
	one.Count = 3
	want, l := Place(t.Context(), alone, one)
	require.Empty(t, l)
	require.InEpsilon(t, want.Before.MinToMean, plan.Colours[0].After.MinToMean, 1e-9)
}

// Both colours on the same words, in a room so narrow that they have to share it: they keep apart.
func TestKindsShareTheirRoom(t *testing.T) {
	p, o, lamps := twoKinds()
	p.Lettering = p.Lettering[:1]
	for i := range p.LEDs {
		p.LEDs[i].At = geom.PtMM(10+5*float64(i), 20)
	}
	strip := geom.NewRegion(geom.Rect(geom.Box{Min: geom.PtMM(5, 18), Max: geom.PtMM(90, 22)}).Ring(1))
	for i := range lamps {
		lamps[i].Room = strip
	}
	plan, l := PlaceKinds(t.Context(), p, o, lamps)
	require.Empty(t, l)
	require.Equal(t, map[string]int{"red-3mm": 3, "white-3mm": 6}, kindsOf(plan.LEDs))
	for i, a := range plan.LEDs {
		for _, b := range plan.LEDs[:i] {
			apart := map[string]float64{"red-3mmred-3mm": 5, "white-3mmwhite-3mm": 7}[a.Kind+b.Kind]
			if apart == 0 {
				apart = 6
			}
			require.GreaterOrEqual(t, a.At.Dist(b.At), float64(geom.MM(apart)-2), "%s and %s", a.Kind, b.Kind)
		}
	}
}

// Two kinds of one colour light the same words together.
func TestKindsOfOneColour(t *testing.T) {
	p, o, lamps := twoKinds()
	lamps[0].Kind.RGB, lamps[0].Kind.Colour = lamps[1].Kind.RGB, "white"
	plan, l := PlaceKinds(t.Context(), p, o, lamps)
	require.Empty(t, l)
	require.Equal(t, map[string]int{"red-3mm": 3, "white-3mm": 6}, kindsOf(plan.LEDs))
	require.Len(t, plan.Colours, 1)
	require.Greater(t, plan.After.MinToMean, plan.Before.MinToMean)
	require.InEpsilon(t, plan.After.MinToMean, plan.Colours[0].After.MinToMean, 1e-12)
}

// As few of each colour as make its words even, and no fewer than the sum of the bounds.
func TestFewestOfEachKind(t *testing.T) {
	p, o, lamps := twoKinds()
	o.Count, o.Even = 0, 0.7
	plan, l := PlaceKinds(t.Context(), p, o, lamps)
	require.Empty(t, l)
	for _, c := range plan.Colours {
		require.GreaterOrEqual(t, c.After.MinToMean, 0.7, c.Name)
		require.Positive(t, c.LEDs)
	}
	require.GreaterOrEqual(t, plan.Least, 2)
	require.LessOrEqual(t, plan.Least, len(plan.LEDs))
}

// A number is shared out as the LEDs are drawn, one at least of each kind; those that stay count.
func TestCountsOfKinds(t *testing.T) {
	_, o, _ := twoKinds()
	for _, c := range []struct {
		drawn []int
		n     int
		keep  bool
		want  []int // nil: refused
	}{
		{[]int{3, 4, 3}, 12, false, []int{4, 5, 3}}, // of 3.6, 4.8 and 3.6
		{[]int{3, 4, 3}, 10, false, []int{3, 4, 3}},
		{[]int{1, 20}, 5, false, []int{1, 4}}, // of 0.2 and 4.8
		{[]int{1, 1, 30}, 3, false, []int{1, 1, 1}},
		{[]int{3, 4, 3}, 2, false, nil},
		{[]int{3, 4, 3}, 13, true, []int{4, 5, 4}},
		{[]int{3, 4, 3}, 9, true, nil},
	} {
		m := &assortment{o: o, lamps: make([]Lamp, len(c.drawn))}
		m.o.Count, m.o.Keep = c.n, c.keep
		for k, n := range c.drawn {
			m.drawn = append(m.drawn, make([]panel.Hole, n))
			m.tints = append(m.tints, tint{lamps: []int{k}})
		}
		got, l := m.counts()
		require.Equal(t, c.want, got, "%d of %v", c.n, c.drawn)
		require.Equal(t, c.want == nil, l.HasErrors())
	}
}

// An LED that lights no lettering, an indicator far from all words, stays where it is.
func TestIndicatorsStay(t *testing.T) {
	p, o, lamps := twoKinds()
	far := panel.Hole{At: geom.PtMM(90, 8), D: geom.MM(3), Kind: "green-3mm"}
	p.LEDs = append(p.LEDs, far)
	green := part.LED{Name: "green-3mm", Colour: "green", RGB: [3]uint8{0, 255, 0}, Curve: []part.VfPoint{{I: 0.020, V: 2}}, HalfAngle: 15, Candela: 0.05}
	lamps = append(lamps, Lamp{Name: "green-3mm", Kind: green, Hole: geom.MM(3), Room: roomOf(p), Spacing: geom.MM(5)})
	o.Count = 10
	plan, l := PlaceKinds(t.Context(), p, o, lamps)
	require.Equal(t, 1, codes(l)["light-colour-stays"], "%v", l)
	require.Len(t, plan.LEDs, 10)
	require.Contains(t, plan.LEDs, far)
}

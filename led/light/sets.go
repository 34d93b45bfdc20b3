package light

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/diag"
	"lampblack/panel/lettering"
	"lampblack/panel/work"
)

// Set is LEDs of one colour that light all of the lettering by themselves while those of other sets are off, as those for the day and
// those for the night.
type Set struct {
	Name string
	RGB  [3]uint8 // of their kinds
}

// Lone is the light of one set while all others are off.
type Lone struct {
	Set string
	Field
}

// Alone returns the light that a panel is judged by: where its LEDs are in sets, that of the set whose light is the least even, by
// itself, with its name; else f.
func (f Field) Alone() (set string, of Field) {
	of = f
	for i, one := range f.Sets {
		if i == 0 || one.MinToMean < of.MinToMean {
			set, of = one.Set, one.Field
		}
	}
	return set, of
}

// BySet returns f with the light of each set by itself, on all that a set lights: what LEDs of no set light most, as an indicator's
// window, is left out. The figures of a set's colour are then those.
func BySet(ctx context.Context, p panel.Panel, e *lettering.Engraving, f Field, s Stack, sets []Set) Field {
	work.Until(ctx, func(watch *work.Watch) { f.bySet(watch, spotsOf(watch, p, e), unit(s.Paint), sets) })
	return f
}

// bySet fills the light of each set; paint is the share of a colour's light that the face's lets through.
func (f *Field) bySet(watch *work.Watch, all []spot, paint float64, sets []Set) {
	is := make([]bool, len(f.Layers))
	for k, l := range f.Layers {
		for _, t := range sets {
			is[k] = is[k] || t.RGB == l.RGB
		}
	}
	var spots []spot
	for _, t := range all {
		of := make([]sums, len(f.Layers))
		for _, c := range t.chars {
			for _, q := range c.points {
				watch.Step()
				for k := range f.Layers {
					of[k].add(q, f.Layers[k].At(q), c.area)
				}
			}
		}
		if len(of) > 0 && is[brightest(of)] {
			spots = append(spots, t)
		}
	}
	f.Sets = nil
	f.Colours = slices.Clone(f.Colours) // which a field that is kept may share
	for _, t := range sets {
		for k, l := range f.Layers {
			if l.RGB != t.RGB {
				continue
			}
			one := Lone{t.Name, Field{Layers: f.Layers[k : k+1 : k+1], Spot: f.Spot, Finish: f.Finish}}
			one.Ground = float64(paint * l.Max())
			one.measure(watch, spots)
			if f.Sets = append(f.Sets, one); k < len(f.Colours) {
				c := &f.Colours[k]
				c.Set, c.Figures, c.Lettering = t.Name, one.Figures, len(one.Words)+len(symbols(one.Field))
			}
		}
	}
}

// JudgeSets is Judge of a panel whose LEDs are in sets: words are held against the light of each set by itself.
func JudgeSets(watch *work.Watch, p panel.Panel, e *lettering.Engraving, f Field, s Stack, lim Limits) diag.List {
	if len(f.Sets) == 0 {
		return Judge(watch, p, e, f, s, lim)
	}
	rest := lim
	rest.Dark, rest.Uneven, rest.Hot = 0, 0, 0
	l := Judge(watch, p, e, f, s, rest)
	lim.Arc, lim.Stroke, lim.Ground = 0, 0, 0
	for _, one := range f.Sets {
		for _, d := range Judge(watch, p, e, one.Field, s, lim) {
			d.Text = fmt.Sprintf("by the LEDs of %s alone: %s", one.Set, d.Text)
			l = append(l, d)
		}
	}
	return l
}

// PlaceSets is Place for several sets of LEDs, each as if the others were dark and clear of those before it. Kind, Hole, Room and
// Spacing are those of the lamps, whose names the panel's LEDs have; LEDs of no set stay where they are, and the plans have them not. With
// Count each set has so many, with Keep its present ones stay.
func PlaceSets(ctx context.Context, p panel.Panel, o Options, lamps []Lamp, current []part.Amp) (plans []Plan, l diag.List) {
	work.Until(ctx, func(w *work.Watch) {
		own := make([][]panel.Hole, len(lamps))
		var stand []other
		for _, h := range p.LEDs {
			i := slices.IndexFunc(lamps, func(k Lamp) bool { return strings.EqualFold(k.Name, h.Kind) })
			if i < 0 {
				stand = append(stand, other{hole: h})
				continue
			}
			own[i] = append(own[i], h)
		}
		for i, k := range lamps {
			one := k.in(o)
			one.others, one.Current, p.LEDs = nil, current[i], own[i]
			if step := o.Step; step != nil {
				one.Step = func(done, total int) { step(i*total+done, len(lamps)*total) }
			}
			for _, q := range stand {
				if q.apart == 0 {
					q.apart = k.Spacing
				}
				q.apart = (q.apart + k.Spacing + 1) / 2
				one.others = append(one.others, q)
			}
			for j := i + 1; o.Keep && j < len(lamps); j++ {
				for _, h := range own[j] {
					one.others = append(one.others, other{hole: h, apart: (lamps[j].Spacing + k.Spacing + 1) / 2})
				}
			}
			plan, found := placed(w, p, one)
			l = append(l, found...)
			plans = append(plans, plan)
			for _, h := range plan.LEDs {
				stand = append(stand, other{hole: h, Kind: k.Kind, Current: current[i], apart: k.Spacing})
			}
		}
	})
	return plans, l.WithPanel(p.Name)
}

// Together is the plans of sets as one: its figures are those of the set that comes out least even, and Colours has each.
func Together(plans []Plan, names []string) (all Plan) {
	for i, q := range plans {
		all.Colours = append(all.Colours, Recoloured{Name: names[i], Drawn: q.drawn, LEDs: len(q.LEDs), GridLEDs: len(q.Grid), Before: q.Before, After: q.After, Plain: q.Plain})
		if i == 0 || q.After.MinToMean < all.After.MinToMean {
			all.Before, all.After, all.Plain, all.Seed = q.Before, q.After, q.Plain, q.Seed
		}
		all.LEDs, all.Grid, all.Least = append(all.LEDs, q.LEDs...), append(all.Grid, q.Grid...), all.Least+q.Least
	}
	return all
}

package role

import (
	"math"
	"slices"
	"strings"

	"lampblack/panel/geom"
)

// within reports whether a size lies in one of the ranges.
func within(v float64, ranges ...[2]float64) bool {
	return slices.ContainsFunc(ranges, func(r [2]float64) bool { return v >= r[0] && v < r[1] })
}

// featuresOf returns what is true of a group.
func (j *judge) featuresOf(g *Group) (has [features]bool) {
	first := &j.Things[g.Things[0]]
	n := len(g.Things)
	has[isRound], has[isShape] = g.Round, !g.Round
	has[isTiny] = g.Long[1] < 0.5
	has[lineOfLetters] = g.Letters
	if !g.Letters {
		j.sizes(g, &has)
		j.inside(g, &has)
		j.places(g, &has)
	}
	layer := strings.ToLower(first.Layer)
	sheet := &j.Sheets[first.Sheet]
	own := layer == strings.ToLower(sheet.Layer)
	if j.layers > 1 {
		has[onOutlinesLayer], has[onAnotherLayer] = own, !own
		has[onLettersLayer] = !own && !g.Letters && g.Places&(InCorners|NearEdge) == 0 && j.lettersLayer[layer]*3 >= n && j.lettersLayer[layer] >= 4
	}
	if j.colours > 1 {
		same := first.Colour == sheet.Colour
		has[inOutlinesColour], has[inAnotherColour] = same, !same && j.layers == 1
		has[inLettersColour] = !same && !g.Letters && j.layers == 1 && j.lettersColour[first.Colour]*3 >= n && j.lettersColour[first.Colour] >= 4
	}
	if sense := j.Sense(first.Layer); sense != NoSense && !(own && sense == NoteSense) {
		has[senses[sense]] = true
	}
	switch j.Sense(first.Block) {
	case LEDSense:
		has[blockOfLED] = true
	case ScrewSense:
		has[blockOfScrew] = true
	case OpeningSense:
		has[blockOfPart] = true
	case PrintSense:
		has[blockOfPrint] = true
	}
	style := strings.ToLower(first.Style)
	has[drawnHidden] = strings.Contains(style, "hidden") || strings.Contains(style, "dash") && !strings.Contains(style, "dashdot") || strings.Contains(style, "verdeckt") || strings.Contains(style, "strichl")
	has[drawnAsCentre] = strings.Contains(style, "center") || strings.Contains(style, "centre") || strings.Contains(style, "phantom") || strings.Contains(style, "dashdot") || strings.Contains(style, "mitte")
	return has
}

// sizes compares a group's size with those of screws, LEDs and parts.
func (j *judge) sizes(g *Group, has *[features]bool) {
	d := (g.Min + g.Max) / 2
	if !g.Round {
		t := &j.Things[g.Things[0]]
		// Of two half circles and two sides, nearly full in its box.
		slotted := t.Area >= 0.75*t.Box.W()*t.Box.H() && t.Perimeter < 2*(t.Box.W()+t.Box.H())-0.5*g.Min
		has[isSlot] = slotted && g.Min >= 2 && g.Max <= 7.2 && g.Long[1] <= 3*g.Max && g.Long[1] <= 16
		has[fitsKeySwitch] = keySquare(t) && len(g.Things) >= 4
		return
	}
	has[isSmall] = d < 1.7
	has[isLarge] = d > 11.5
	has[fits2mmLED] = within(d, [2]float64{1.75, 2.09})
	has[fits3mmLED] = within(d, [2]float64{2.85, 3.15})
	has[fits3mmLEDLoosely] = within(d, [2]float64{3.15, 3.33})
	has[fits5mmLED] = within(d, [2]float64{4.85, 5.23})
	has[fits5mmLEDLoosely] = within(d, [2]float64{5.23, 5.36})
	has[fitsScrew] = within(d, [2]float64{2.12, 2.46}, [2]float64{2.55, 2.85}, [2]float64{3.33, 3.46}, [2]float64{3.55, 3.85}, [2]float64{4.2, 4.85}, [2]float64{5.36, 5.86})
	has[fitsScrewBare] = within(d, [2]float64{2.46, 2.55}, [2]float64{3.46, 3.55}, [2]float64{3.85, 4.2})
	has[fitsControl] = d >= 5.9
}

// inside tells what lies within a group's things.
func (j *judge) inside(g *Group, has *[features]bool) {
	h := j.holds[g.Things[0]]
	has[holdsHole] = h&aMiddleHole != 0
	has[holdsOthers] = h&(aHole|aThing) != 0 && h&aMiddleHole == 0
	has[holdsLetters] = h&aLetter != 0
	has[isMark] = h&aMark != 0
	// What is wider than an LED's hole and has a shape round it that is larger, but no panel, is a part's.
	has[inBody] = g.Round && g.Min > 5.35 && !slices.ContainsFunc(g.Things, func(i int) bool {
		in := j.Things[i].In
		return in < 0 || j.Things[in].Round || j.holds[in]&aMiddleHole == 0 || big(j.Things[in].Box) > besideLargest
	})
}

// places tells how a group's things lie to the outline, to each other and to openings.
func (j *judge) places(g *Group, has *[features]bool) {
	if !g.Round {
		return
	}
	n := len(g.Things)
	d := (g.Min + g.Max) / 2
	small := d < 8
	has[inCorners] = small && g.Places&InCorners != 0 && n <= 8*len(j.Sheets)
	has[nearEdge] = d < 5.9 && g.Places&NearEdge != 0
	has[alone] = n == 1 && !has[inCorners] && !has[nearEdge]
	if !small {
		return
	}
	has[amongKeys] = j.keys >= 8 && n <= 24 && !has[inCorners]
	has[ledsElsewhere] = j.givenLEDs
	if inner := g.Places&(InCorners|NearEdge) == 0; inner && len(j.cornerSizes) > 0 {
		has[sizeOfScrews] = j.cornerSizes[j.size[g.Things[0]]]
		has[screwsOfAnotherSize] = !has[sizeOfScrews]
	}
	if n < 2 {
		return
	}
	at := make([]geom.XY, n)
	for k, i := range g.Things {
		at[k] = j.Things[i].At
	}
	has[isCrowded] = crowded(d, at)
	if n > 4000 {
		has[inRows] = true
		return
	}
	has[mirrored] = g.Places&(InCorners|NearEdge) != 0 && j.mirrored(g, at)
	if has[inCorners] {
		return
	}
	if has[nearEdge] {
		sides := j.sides(g)
		has[alongEdge] = n >= 4 && sides >= 2
		has[inRows] = sides == 1 && rowed(at)
		return
	}
	beside, round := j.openings(g, at)
	has[roundOpening] = round
	has[besideOpenings] = beside && !round && !has[amongKeys]
	rows := rowed(at)
	has[inRows] = rows && !round
	has[scattered] = !rows && !beside && !round && n >= 3 && spacing(at) >= 12*d
}

// The flanges of lamps, mm, as the footprints' catalogue has them: of 3 mm lamps, the smallest with one there, and of 5 mm lamps.
const flangeOf3mm, flangeOf5mm = 3.8, 5.8

// Flange returns the diameter of the flange, mm, of a lamp that goes into holes of the diameter d, mm.
func Flange(d float64) float64 {
	if d >= 4.85 {
		return flangeOf5mm
	}
	return flangeOf3mm
}

// crowded reports whether most of the holes have one of their own so near that the flanges of two lamps in them would meet. Holes
// that meet themselves are one that was drawn twice.
func crowded(d float64, at []geom.XY) bool {
	flange := Flange(d)
	type cell struct{ x, y int64 }
	of := func(p geom.XY) cell { return cell{int64(math.Floor(p.X / flange)), int64(math.Floor(p.Y / flange))} }
	cells := map[cell][]geom.XY{}
	for _, p := range at {
		cells[of(p)] = append(cells[of(p)], p)
	}
	n := 0
	for _, p := range at {
		c := of(p)
		near := false
		for k := range int64(9) {
			near = near || slices.ContainsFunc(cells[cell{c.x + k%3 - 1, c.y + k/3 - 1}], func(q geom.XY) bool {
				v := p.Dist(q)
				return v >= d && v < flange-0.01
			})
		}
		if near {
			n++
		}
	}
	return n >= 2 && n*3 >= 2*len(at)
}

// mirrored reports whether most things have a mirror image about the middle of their sheet.
func (j *judge) mirrored(g *Group, at []geom.XY) bool {
	const play = 0.3
	type cell struct{ x, y int64 }
	set := map[cell]bool{}
	for _, p := range at {
		set[cell{int64(math.Round(p.X / play)), int64(math.Round(p.Y / play))}] = true
	}
	there := func(p geom.XY) bool {
		x, y := int64(math.Round(p.X/play)), int64(math.Round(p.Y/play))
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				if set[cell{x + dx, y + dy}] {
					return true
				}
			}
		}
		return false
	}
	n := [3]int{}
	for k, p := range at {
		b := j.box(g.Things[k])
		x, y := b.Min.X+b.Max.X-p.X, b.Min.Y+b.Max.Y-p.Y
		for m, q := range [3]geom.XY{{X: x, Y: p.Y}, {X: p.X, Y: y}, {X: x, Y: y}} {
			if there(q) {
				n[m]++
			}
		}
	}
	return max(n[0], n[1], n[2])*10 >= 9*len(at)
}

// sides counts the sides of the outline's box that things of the group are near to.
func (j *judge) sides(g *Group) int {
	var near [4]bool
	for _, i := range g.Things {
		t, b := &j.Things[i], j.box(i)
		far := [4]float64{t.At.X - b.Min.X, b.Max.X - t.At.X, t.At.Y - b.Min.Y, b.Max.Y - t.At.Y}
		least := 0
		for s := range far {
			if far[s] < far[least] {
				least = s
			}
		}
		near[least] = true
	}
	n := 0
	for _, x := range near {
		if x {
			n++
		}
	}
	return n
}

// besideReach is how far from an opening what belongs to it stands, mm, and besideLargest the largest opening that a lamp
// belongs to.
const besideReach, besideLargest = 14.0, 40.0

// openings reports whether most things of a group stand in one and the same way beside an opening, or in pairs and fours
// round one.
func (j *judge) openings(g *Group, at []geom.XY) (beside, round bool) {
	type way struct{ x, y int64 }
	ways := map[way]int{}
	around := map[int][]geom.XY{} // by the opening, from its middle
	var order []int
	for _, p := range at {
		j.watch.Step()
		seen := map[way]bool{}
		looked := 0
		j.cuts.near(geom.XYBox{Min: p, Max: p}, besideReach, func(k int) bool {
			v := p.Sub(j.Things[k].At)
			if !belongs(g, k) {
				if around[k] == nil {
					order = append(order, k)
				}
				around[k] = append(around[k], v)
				if big(j.Things[k].Box) <= besideLargest {
					seen[way{int64(math.Round(v.X / 0.5)), int64(math.Round(v.Y / 0.5))}] = true
				}
			}
			looked++
			return looked < 40
		})
		for w := range seen {
			ways[w]++
		}
	}
	most := 0
	for _, n := range ways {
		most = max(most, n)
	}
	beside = most >= 2 && most*3 >= 2*len(at)
	held := 0
	for _, k := range order {
		vs := around[k]
		pairs := 0
		for _, v := range vs {
			if slices.ContainsFunc(vs, func(u geom.XY) bool { return u.Add(v).Len() <= 0.4 }) {
				pairs++
			}
		}
		if len(vs) <= 8 && pairs == len(vs) && pairs >= 2 {
			held += pairs
		}
	}
	return beside, held*4 >= 3*len(at)
}

// rowed reports whether most of the things stand in rows or columns of three or more at one pitch, none farther from the
// next than 40 mm.
func rowed(at []geom.XY) bool {
	n := 0
	member := make([]bool, len(at))
	for _, turn := range [2]bool{false, true} {
		order := make([]int, len(at))
		for i := range order {
			order[i] = i
		}
		along := func(i int) (x, y float64) {
			if turn {
				return at[i].Y, at[i].X
			}
			return at[i].X, at[i].Y
		}
		row := func(v float64) int64 { return int64(math.Round(v / 0.25)) }
		slices.SortFunc(order, func(a, b int) int {
			ax, ay := along(a)
			bx, by := along(b)
			if c := row(ay) - row(by); c != 0 {
				return int(c)
			}
			return int(row(ax) - row(bx))
		})
		for i := 0; i+2 < len(order); i++ {
			ax, ay := along(order[i])
			bx, by := along(order[i+1])
			cx, cy := along(order[i+2])
			if row(ay) == row(by) && row(by) == row(cy) && math.Abs((bx-ax)-(cx-bx)) <= 0.3 && bx-ax <= 40 {
				for _, k := range order[i : i+3] {
					if !member[k] {
						member[k] = true
						n++
					}
				}
			}
		}
	}
	return n*3 >= 2*len(at) && n >= 3
}

// spacing returns the least distance of two of the points; beyond the first 200 each is compared with those alone.
func spacing(at []geom.XY) float64 {
	best := math.Inf(1)
	for i := range at {
		for k := range at[:min(i, 200)] {
			best = min(best, at[i].Dist(at[k]))
		}
	}
	return best
}

// belongs reports whether a thing is one of the group's.
func belongs(g *Group, i int) bool {
	_, ok := slices.BinarySearch(g.Things, i)
	return ok
}

package place

import (
	"cmp"
	"math"
	"slices"

	"lampblack/board"
	"lampblack/panel/geom"
)

// Rows aslant: LEDs in a straight line that runs nearer to a diagonal than to X or Y are all turned along it, at the nearest
// multiple of 45 degrees, as whoever solders them would have it.
const (
	shortestRow = 3    // LEDs
	rowReach    = 1.4  // a neighbour is as far as this times the nearest one, at most
	rowBend     = 10   // degrees between the ways to the neighbours of an LED, at most
	rowStray    = 0.15 // of the way from LED to LED: how far one may stand beside the line
)

// alongRows finds the rows aslant and gives their LEDs a turn in common, the way round that makes the shorter hops; none where
// it leaves one of them without room.
func (s *site) alongRows(lamps []lamp) {
	for _, row := range rowsOf(lamps) {
		a, b := lamps[row[0]].at, lamps[row[len(row)-1]].at
		all := board.Turns()
		t := slices.Index(all[:], nearestEighth(b.Sub(a)))
		if t < upright {
			continue
		}
		best, at := math.Inf(1), -1
		for _, way := range [2]int{t, opposite(t)} {
			price := 0.0
			for _, i := range row {
				l := &lamps[i]
				if !l.pose[way].legal {
					price = math.Inf(1)
				}
				if l.next >= 0 && slices.Contains(row, l.next) {
					price += octile(l.pose[way].cathodeAt(), lamps[l.next].pose[way].anodeAt())
				}
				for _, j := range row {
					if j > i && slices.Contains(l.near, j) && s.pairPrice(l.pose[way], lamps[j].pose[way]) >= crowd {
						price = math.Inf(1)
					}
				}
			}
			if price < best {
				best, at = price, way
			}
		}
		if at < 0 {
			continue
		}
		for _, i := range row {
			lamps[i].row, lamps[i].ways = at, turns
		}
	}
}

// opposite returns the turn that is half a turn from that one.
func opposite(t int) int {
	all := board.Turns()
	return slices.Index(all[:], (all[t]+180)%360)
}

// nearestEighth returns the multiple of 45 degrees, from 0 to 315, that is nearest to the way of v.
func nearestEighth(v geom.Vec) int {
	// Within an eighth of a turn round a diagonal: tan 22.5° = √2-1 < |y/x| < √2+1, in whole numbers by 985/2378 = √2-1 to 1e-7.
	x, y := max(v.X, -v.X), max(v.Y, -v.Y)
	turn := 45
	switch {
	case 2378*int64(y) <= 985*int64(x):
		turn = 0
	case 2378*int64(x) <= 985*int64(y):
		turn = 90
	}
	if v.X < 0 {
		turn = 180 - turn
	}
	if v.Y < 0 {
		turn = 360 - turn
	}
	return turn % 360
}

// rowsOf returns the rows of LEDs, each in its order: but for its ends all that is near an LED lies along the line, so that those
// of a field, which have neighbours on all sides, are in none. An LED is in one row at most.
func rowsOf(lamps []lamp) [][]int {
	beside := make([][]int, len(lamps)) // before and behind an LED that is between two
	for i := range lamps {
		beside[i] = inLine(lamps, i)
	}
	taken := make([]bool, len(lamps))
	// walk follows the line from an LED that is between two, by one of them.
	walk := func(from, to int) []int {
		out := []int{}
		for !taken[to] && to != from {
			out = append(out, to)
			k := slices.Index(beside[to], from)
			if len(beside[to]) != 2 || k < 0 || slices.Contains(out, beside[to][1-k]) {
				break
			}
			from, to = to, beside[to][1-k]
		}
		return out
	}
	var rows [][]int
	for i := range lamps {
		if taken[i] || len(beside[i]) != 2 {
			continue
		}
		back, on := walk(i, beside[i][0]), walk(i, beside[i][1])
		slices.Reverse(back)
		row := append(append(back, i), on...)
		if len(row) < shortestRow || !straight(lamps, row) {
			continue
		}
		for _, j := range row {
			taken[j] = true
		}
		rows = append(rows, row)
	}
	return rows
}

// inLine returns the two LEDs next to LED i, nil where another number of them is near or where they do not lie on either side of it.
func inLine(lamps []lamp, i int) []int {
	const widest = 30 * geom.Millimetre // beyond, LEDs are strangers
	type one struct {
		j int
		d float64
	}
	var all []one
	for j := range lamps {
		if d := lamps[j].at.Dist(lamps[i].at); j != i && d <= float64(widest) {
			all = append(all, one{j, d})
		}
	}
	slices.SortFunc(all, func(a, b one) int { return cmp.Or(cmp.Compare(a.d, b.d), cmp.Compare(a.j, b.j)) })
	n := 0
	for n < len(all) && all[n].d <= rowReach*all[0].d {
		n++
	}
	if n != 2 {
		return nil
	}
	u, v := lamps[all[0].j].at.Sub(lamps[i].at), lamps[all[1].j].at.Sub(lamps[i].at)
	if cos := float64(u.Dot(v)) / (u.Len() * v.Len()); cos >= -math.Cos(rowBend*math.Pi/180) {
		return nil
	}
	return []int{all[0].j, all[1].j}
}

// straight reports whether all LEDs of the row stand on the line from its first to its last.
func straight(lamps []lamp, row []int) bool {
	line := geom.Segment{A: lamps[row[0]].at, B: lamps[row[len(row)-1]].at}
	pitch := line.Len() / float64(len(row)-1)
	return !slices.ContainsFunc(row, func(i int) bool { return line.DistTo(lamps[i].at) > rowStray*pitch })
}

package export

import "lampblack/panel/geom"

// Standing is a panel in its console, as it is told.
type Standing struct {
	Box geom.Box // of its outline; empty: it has none
	At  geom.Pt  // of its lower left corner, in the console
	Set bool     // At is told; else it stands beside the others
}

// beside is the room between panels that have no place of their own.
const beside = 6 * geom.Millimetre

// Desk returns the lower left corner of each panel: those with a place stand at it, the others one after another in rows below them.
func Desk(all []Standing) []geom.Pt {
	out := make([]geom.Pt, len(all))
	left, low := geom.Nm(0), geom.Nm(0)
	any := false
	total := 0.0
	for i, q := range all {
		if q.Set {
			out[i] = q.At
			if !any || q.At.X < left {
				left = q.At.X
			}
			if !any || q.At.Y < low {
				low = q.At.Y
			}
			any = true
		} else if !q.Box.Empty() {
			total += q.Box.W().MM() + beside.MM()
		}
	}
	// Rows about as wide as the panels would be in two rows, but never narrower than the widest.
	most := geom.Nm(0)
	for _, q := range all {
		if !q.Box.Empty() {
			most = max(most, q.Box.W())
		}
	}
	limit := max(most, geom.MM(total*0.55))
	x, top, tall := left, low, geom.Nm(0)
	if any {
		top -= beside
	}
	var row []int
	flush := func() {
		for _, i := range row {
			out[i].Y = top - tall + (tall-all[i].Box.H())/2
		}
		top -= tall + beside
		row, x, tall = nil, left, 0
	}
	for i, q := range all {
		if q.Set || q.Box.Empty() {
			continue
		}
		if len(row) > 0 && x+q.Box.W()-left > limit {
			flush()
		}
		out[i].X = x
		x += q.Box.W() + beside
		tall = max(tall, q.Box.H())
		row = append(row, i)
	}
	flush()
	return out
}

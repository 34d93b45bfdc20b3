package readback

import (
	"lampblack/export"
	"lampblack/panel/geom"
)

// chained returns the draws of a profile in the order of its curves: some programs write them in the order they were drawn in,
// each for itself, and either way round. Ends meet within Same. What is in order stays as it is; what meets nothing stays last.
func chained(objects []export.Object) []export.Object {
	if inOrder(objects) {
		return objects
	}
	ends := Grid{}
	var out, rest []export.Object
	for i, o := range objects {
		if o.Op == export.Draw {
			ends.Put(o.From, i)
			ends.Put(o.To, i)
		} else {
			rest = append(rest, o)
		}
	}
	taken := make([]bool, len(objects))
	for i, o := range objects {
		if o.Op != export.Draw || taken[i] {
			continue
		}
		taken[i] = true
		start := len(out)
		out = append(out, o)
		for end := o.To; ; {
			next := -1
			ends.At(end, func(k int) bool {
				if !taken[k] {
					next = k
				}
				return next >= 0
			})
			if next < 0 {
				break
			}
			taken[next] = true
			n := objects[next]
			if n.To.Dist(end) < n.From.Dist(end) {
				n.From, n.To, n.Bulge = n.To, n.From, -n.Bulge
			}
			n.From = end
			out = append(out, n)
			end = n.To
		}
		if last := len(out) - 1; out[last].To.Dist(out[start].From) <= float64(Same) {
			out[last].To = out[start].From
		}
	}
	return append(out, rest...)
}

// inOrder reports whether every draw goes on where the one before it ended, or begins after a closed curve.
func inOrder(objects []export.Object) bool {
	start, end, open := geom.Pt{}, geom.Pt{}, false
	for _, o := range objects {
		if o.Op != export.Draw {
			continue
		}
		if open && o.From != end {
			return false
		}
		if !open {
			start, open = o.From, true
		}
		end = o.To
		open = end != start
	}
	return !open
}

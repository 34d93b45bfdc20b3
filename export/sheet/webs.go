package sheet

import (
	"fmt"
	"math"
	"slices"

	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// leastWeb is how much of a sheet two cuts leave between them, at least: acrylic that is thinner melts or breaks when it is cut (common
// practice; makers' own rules disagree, and ask for as much as the sheet is thick).
const leastWeb = geom.Millimetre

// web is what is left of sheets between two cuts.
type web struct {
	at   geom.Pt
	wide geom.Nm
	edge bool // the panel's: one of the two
	of   []string
}

// Webs tells what is left too thin of a panel's sheets between two holes, or between a hole and the edge. Cuts that overlap are one.
// Positions are in the panel frame.
func Webs(panel string, sheets ...Sheet) diag.List {
	var all []web
	for _, s := range sheets {
		for _, w := range s.webs() {
			same := slices.IndexFunc(all, func(o web) bool { return o.edge == w.edge && o.wide == w.wide && o.at == w.at })
			if same < 0 {
				same, all = len(all), append(all, w)
			}
			all[same].of = append(all[same].of, s.what)
		}
	}
	var l diag.List
	for _, w := range all {
		between := "two holes"
		if w.edge {
			between = "a hole and the edge"
		}
		left := fmt.Sprintf("%.2f mm", w.wide.MM())
		if w.wide < 5*geom.Micrometre {
			left = "next to nothing"
		}
		l.Add(diag.Warning, "sheet-thin-web", "%s of the %s is left between %s, and what is under %v breaks or melts when it is cut", left, diag.Listed(w.of), between, leastWeb).
			Together("at %d places less is left of the sheets than a laser leaves whole").Of(panel).At(w.at.X.MM(), w.at.Y.MM()).
			Fix("move them apart by %.1f mm, or draw them as one", math.Ceil((leastWeb-w.wide).MM()*10)/10)
	}
	return l
}

func (s Sheet) webs() (out []web) {
	rings := make([]geom.Ring, len(s.holes))
	boxes := make([]geom.Box, len(s.holes))
	for i, h := range s.holes {
		rings[i] = h.Ring(geom.FlattenTolerance)
		boxes[i] = rings[i].Box()
	}
	edge := s.edge.Ring(geom.FlattenTolerance)
	for i, r := range rings {
		if len(r) == 0 || len(edge) == 0 || edge.Locate(r[0]) == geom.Outside {
			continue
		}
		if w, ok := thinWeb(r, edge, boxes[i]); ok {
			w.edge = true
			out = append(out, w)
		}
		for k, q := range rings[:i] {
			if !boxes[k].Grown(leastWeb).Touches(boxes[i]) || len(q) == 0 || r.Locate(q[0]) != geom.Outside || q.Locate(r[0]) != geom.Outside {
				continue
			}
			if w, ok := thinWeb(r, q, boxes[i]); ok {
				out = append(out, w)
			}
		}
	}
	return out
}

// thinWeb returns the web between two rings, if they do not touch and it is too thin; box is a's.
func thinWeb(a, b geom.Ring, box geom.Box) (web, bool) {
	w := web{wide: leastWeb}
	near := box.Grown(leastWeb)
	segs := a.Segments()
	for _, t := range b.Segments() {
		if !t.Box().Touches(near) {
			continue
		}
		for _, s := range segs {
			if s.Crosses(t) {
				return web{}, false
			}
			for _, pair := range [][2]geom.Pt{{s.A, t.Nearest(s.A)}, {t.A, s.Nearest(t.A)}} {
				if d := geom.Nm(math.Round(pair[0].Dist(pair[1]))); d < w.wide {
					w.wide = d
					w.at = geom.Pt{X: (pair[0].X + pair[1].X) / 2, Y: (pair[0].Y + pair[1].Y) / 2}
				}
			}
		}
	}
	return w, w.wide < leastWeb && w.wide > 0
}

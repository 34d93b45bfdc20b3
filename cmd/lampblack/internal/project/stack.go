package project

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"lampblack/led/light"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/geom"
)

// Stand is where a panel stands in the console: its lower left corner.
type Stand struct {
	Set bool
	geom.Pt
}

// mostSheet bounds thicknesses and gaps, mostPlace the place of a panel: slips of the pen.
const (
	mostSheet = 100 * geom.Millimetre
	mostPlace = 10_000 * geom.Millimetre
)

// stack reads the sheets in front of the LEDs.
func (r *reader) stack(n ast.Node, path string, s *light.Stack) {
	grade, transmission := s.Grade, 0.0
	thick := func(to *geom.Nm, least geom.Nm) func(ast.Node, string) {
		return func(n ast.Node, path string) { set(to)(r.length(n, path, least, mostSheet)) }
	}
	r.mapping(n, path,
		field{"face", thick(&s.Face, 0)},
		field{"diffuser", thick(&s.Diffuser, geom.Millimetre/10)},
		field{"grade", func(n ast.Node, path string) { set(&grade)(r.oneOf(n, path, light.Grades())) }},
		field{"transmission", func(n ast.Node, path string) {
			set(&transmission)(quantity(r, n, path, part.ParsePercent, positive(0.92, "92 %, what clear sheet passes")))
		}},
		field{"gap", thick(&s.Gap, 0)},
		field{"led_sheet", thick(&s.Sheet, 0)},
		field{"led_sheet_kind", func(n ast.Node, path string) {
			if k, ok := r.oneOf(n, path, light.Sheets()); ok {
				*s = s.WithSheet(k)
			}
		}},
		field{"tip", func(n ast.Node, path string) {
			set(&s.Sunk)(quantity(r, n, path, parseSigned, within(20*geom.Millimetre)))
		}},
		field{"board", func(n ast.Node, path string) {
			if k, ok := r.oneOf(n, path, light.Boards()); ok {
				*s = s.WithBoard(k)
			}
		}},
		field{"viewed_from", func(n ast.Node, path string) {
			set(&s.Viewed)(r.length(n, path, 100*geom.Millimetre, mostPlace))
		}},
	)
	*s = s.WithDiffuser(grade)
	if transmission > 0 {
		s.Grade, s.Transmission = "", transmission
		s.Absorption = min(s.Absorption, 1-transmission)
	}
	if s.Gap+s.Sunk < geom.Millimetre/2 {
		f := r.diags.Add(diag.Error, "project-impossible-value", "the LEDs' tips are %v from the diffuser: they would touch it", s.Gap+s.Sunk)
		f.Place = r.at(n)
		f.Fix("leave at least 0.5 mm; 5 mm or more light evenly")
	}
}

// lightLimits reads when light is worth a finding.
func (r *reader) lightLimits(n ast.Node, path string, l *light.Limits) {
	ratio := func(to *float64) func(ast.Node, string) {
		return func(n ast.Node, path string) {
			set(to)(quantity(r, n, path, parsePlain, func(v float64) string {
				if !(v > 1 && v <= 100) {
					return "not between 1 and 100"
				}
				return ""
			}))
		}
	}
	r.mapping(n, path,
		field{"darkest_word", func(n ast.Node, path string) {
			set(&l.Dark)(quantity(r, n, path, part.ParsePercent, positive(1.0, "100 %")))
		}},
		field{"uneven", ratio(&l.Uneven)},
		field{"hot_spot", ratio(&l.Hot)},
	)
}

// stands reads where a panel stands: [x, y].
func (r *reader) stands(n ast.Node, path string, to *Stand) {
	var v []geom.Nm
	bad := false
	r.sequence(n, path, func(n ast.Node, path string) {
		x, ok := quantity(r, n, path, parseSigned, within(mostPlace))
		bad = bad || !ok
		v = append(v, x)
	})
	switch {
	case bad:
	case len(v) == 2:
		*to = Stand{true, geom.Pt{X: v[0], Y: v[1]}}
	default:
		if _, list := n.(*ast.SequenceNode); list {
			r.add(n, "project-wrong-value", "%s wants two lengths, to the right and up", r.say(path)).Fix("%s", example(path))
		}
	}
}

// beam reads a data sheet's radiation diagram: pairs of degrees off the axis and the share of the intensity there.
func (r *reader) beam(n ast.Node, path string, to *[]part.BeamPoint) {
	var out []part.BeamPoint
	ok := true
	r.sequence(n, path, func(n ast.Node, path string) {
		var v []float64
		r.sequence(n, path, func(n ast.Node, path string) {
			x, good := quantity(r, n, path, parsePlain, func(x float64) string {
				if x < 0 || x > 90 {
					return "not within 0 and 90"
				}
				return ""
			})
			ok = ok && good
			v = append(v, x)
		})
		if len(v) != 2 || v[1] > 10 || len(out) > 0 && v[0] <= out[len(out)-1].Degrees {
			if ok {
				r.add(n, "project-wrong-value", "%s: pairs of degrees, rising, and the share of the light on the axis", r.say(path)).Fix("%s", example("beam"))
			}
			ok = false
			return
		}
		out = append(out, part.BeamPoint{Degrees: v[0], Relative: v[1]})
	})
	if ok && len(out) < 2 {
		r.add(n, "project-wrong-value", "%s wants two points or more", r.say(path)).Fix("%s", example("beam"))
		return
	}
	if ok && len(out) <= 200 {
		*to = out
	}
}

// parsePlain reads a number without a unit.
func parsePlain(s string) (float64, error) {
	v, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSuffix(strings.TrimSpace(s), "°"), "deg"), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is no number", s)
	}
	return v, nil
}

// parseSigned reads a length that may be negative.
func parseSigned(s string) (geom.Nm, error) {
	t, neg := strings.CutPrefix(strings.TrimSpace(s), "-")
	if neg && strings.HasPrefix(strings.TrimSpace(t), "-") {
		return 0, errors.New("two minus signs")
	}
	v, err := part.ParseLength(t)
	if neg {
		v = -v
	}
	return v, err
}

// within refuses lengths beyond most either way.
func within(most geom.Nm) func(geom.Nm) string {
	return func(v geom.Nm) string {
		if v > most || v < -most {
			return "more than " + most.String()
		}
		return ""
	}
}

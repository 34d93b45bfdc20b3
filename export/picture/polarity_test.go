package picture

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/footprint"
	"lampblack/led/part"
	"lampblack/panel/geom"
)

// shape is something drawn, as an eye sees it on the page: points in mm, Y down, and its colours. Curves count by their ends.
type shape struct {
	label        string // of the innermost group that has one
	side         string // "top", "bottom": the view it is in
	runs         [][][2]float64
	curved       bool
	fill, stroke string
}

func (s shape) box() (lo, hi [2]float64) {
	lo, hi = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, r := range s.runs {
		for _, p := range r {
			for i := range 2 {
				lo[i], hi[i] = min(lo[i], p[i]), max(hi[i], p[i])
			}
		}
	}
	return lo, hi
}

func (s shape) mid() [2]float64 {
	lo, hi := s.box()
	return [2]float64{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2}
}

// drawn reads the shapes of an SVG document, moved and scaled as its groups say, from the grammar of SVG 1.1, chapter 8.3.
func drawn(t *testing.T, doc []byte) []shape {
	type state struct {
		label, side, fill, stroke string
		x, y, k                   float64
	}
	stack := []state{{k: 1, fill: "black"}}
	var out []shape
	d := xml.NewDecoder(strings.NewReader(string(doc)))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.StartElement:
			s := stack[len(stack)-1]
			a := map[string]string{}
			for _, v := range e.Attr {
				a[v.Name.Local] = v.Value
			}
			num := func(k string) float64 { f, _ := strconv.ParseFloat(a[k], 64); return f }
			for _, m := range regexp.MustCompile(`(\w+)\(([^)]*)\)`).FindAllStringSubmatch(a["transform"], -1) {
				v := numbers(m[2])
				switch m[1] {
				case "translate":
					s.x, s.y = s.x+s.k*v[0], s.y+s.k*v[1]
				case "scale":
					require.True(t, len(v) == 1 && v[0] > 0, "mirrored by a transform: %s", a["transform"])
					s.k *= v[0]
				default:
					require.Fail(t, "transform", a["transform"])
				}
			}
			set := func(to *string, k string) {
				if v, ok := a[k]; ok {
					*to = v
				}
			}
			set(&s.label, "aria-label")
			set(&s.fill, "fill")
			set(&s.stroke, "stroke")
			if id := a["id"]; id == "top" || id == "bottom" {
				s.side = id
			}
			stack = append(stack, s)
			h := shape{label: s.label, side: s.side, fill: s.fill, stroke: s.stroke}
			switch e.Name.Local {
			case "path":
				h.runs, h.curved = runs(t, a["d"])
			case "rect":
				x, y, w, ht := num("x"), num("y"), num("width"), num("height")
				h.runs, h.curved = [][][2]float64{{{x, y}, {x + w, y}, {x + w, y + ht}, {x, y + ht}}}, a["rx"] != ""
			case "circle":
				x, y, r := num("cx"), num("cy"), num("r")
				h.runs, h.curved = [][][2]float64{{{x - r, y}, {x, y - r}, {x + r, y}, {x, y + r}}}, true
			default:
				continue
			}
			for _, r := range h.runs {
				for i := range r {
					const fine = 1000 // a micrometre
					r[i] = [2]float64{math.Round((s.x+s.k*r[i][0])*fine) / fine, math.Round((s.y+s.k*r[i][1])*fine) / fine}
				}
			}
			out = append(out, h)
		}
	}
}

func numbers(s string) []float64 {
	var out []float64
	for _, w := range regexp.MustCompile(`-?(\d+\.?\d*|\.\d+)(e-?\d+)?`).FindAllString(s, -1) {
		f, _ := strconv.ParseFloat(w, 64)
		out = append(out, f)
	}
	return out
}

// runs reads path data: lines, and of curves where they end.
func runs(t *testing.T, d string) (out [][][2]float64, curved bool) {
	var at, start [2]float64
	for _, m := range regexp.MustCompile(`([MmLlHhVvAaCcQqZz])([^MmLlHhVvAaCcQqZz]*)`).FindAllStringSubmatch(d, -1) {
		v := numbers(m[2])
		op := strings.ToUpper(m[1])
		rel := op != m[1]
		n := map[string]int{"M": 2, "L": 2, "H": 1, "V": 1, "A": 7, "C": 6, "Q": 4}[op]
		if op == "Z" {
			at = start
			continue
		}
		require.Zero(t, len(v)%n, "%s of %q", m[0], d)
		curved = curved || strings.Contains("ACQ", op)
		for first := true; len(v) > 0; first = false {
			p := at
			switch op {
			case "H":
				p[0] = v[0] + map[bool]float64{true: at[0]}[rel]
			case "V":
				p[1] = v[0] + map[bool]float64{true: at[1]}[rel]
			default:
				p = [2]float64{v[n-2], v[n-1]}
				if rel {
					p = [2]float64{p[0] + at[0], p[1] + at[1]}
				}
			}
			if at = p; op == "M" && first {
				start = p
				out = append(out, nil)
			}
			out[len(out)-1] = append(out[len(out)-1], p)
			v = v[n:]
		}
	}
	return out, curved
}

// polarity is the signs of one part on the assembly sheet, told by their look.
type polarity struct{ plus, minus, square, round, black [][2]float64 }

func look(shapes []shape, label, side string) (polarity, shape) {
	var out polarity
	var body shape
	dark := ink.String()
	for _, s := range shapes {
		if s.label != label || s.side != side {
			continue
		}
		lo, hi := s.box()
		w, h := hi[0]-lo[0], hi[1]-lo[1]
		straight := 0
		for _, r := range s.runs {
			if len(r) == 2 && (r[0][0] == r[1][0] || r[0][1] == r[1][1]) {
				straight++
			}
		}
		switch {
		case s.fill == "none" && straight == 2 && math.Abs(w-h) < 0.02 && s.stroke == dark:
			out.plus = append(out.plus, s.mid())
		case s.fill == "none" && straight == 1 && h == 0 && s.stroke == "#ffffff":
			out.minus = append(out.minus, s.mid())
		case s.fill != "none" && (s.fill == dark || s.fill == "#ffffff"):
			if s.fill == dark {
				out.black = append(out.black, s.mid())
			}
			if s.curved {
				out.round = append(out.round, s.mid())
			} else {
				out.square = append(out.square, s.mid())
			}
		case s.fill != "none":
			body = s
		}
	}
	return out, body
}

// samePlaces compares places on paper, to a hundredth of a millimetre.
func samePlaces(t *testing.T, want, got [][2]float64, what string, of ...any) {
	t.Helper()
	require.Len(t, got, len(want), append([]any{what}, of...)...)
	for i := range want {
		for k := range 2 {
			require.InDelta(t, want[i][k], got[i][k], 0.01, append([]any{what}, of...)...)
		}
	}
}

// The assembly sheet shows of every kind of LED, however turned: a plus in the anode's pad and a minus, white on black, in
// the cathode's, each on its own side of the lamp as one looks at the LED side; a pad with a hole is square at the cathode
// and round at the anode, and the body's outline has its flat at the cathode.
func TestAssemblyShowsPolarityOfEveryLED(t *testing.T) {
	for _, kind := range part.Kinds() {
		for turn := range 8 {
			what := fmt.Sprintf("%s, turned by %d degrees", kind.Name, 45*turn)
			f, ok := footprint.Lookup(kind.Package)
			require.True(t, ok)
			b := board.Board{Name: "desk", Outline: geom.Rect(geom.Box{Max: geom.PtMM(60, 40)})}
			b.Parts = []board.Part{f.Place("D1", board.LED, geom.PtMM(20, 10), 45*turn, geom.Top, geom.MM(0.05))}
			got, body := look(drawn(t, Assembly(t.Context(), b)), "D1", "top")
			require.Len(t, got.plus, 1, what)
			require.Len(t, got.minus, 1, what)
			samePlaces(t, got.minus, got.black, "%s: minus on black", what)
			// The way from the anode to the cathode on the page, Y down: to the left at turn 0, then counter-clockwise.
			h := math.Sqrt2 / 2
			toK := [][2]float64{{-1, 0}, {-h, h}, {0, 1}, {h, h}, {1, 0}, {h, -h}, {0, -1}, {-h, -h}}[turn]
			along := func(p [2]float64) float64 { return p[0]*toK[0] + p[1]*toK[1] }
			require.Greater(t, along(got.minus[0])-along(got.plus[0]), 1.5, what)
			if !b.Parts[0].Pads[0].Through {
				continue
			}
			samePlaces(t, got.minus, got.square, what)
			samePlaces(t, got.plus, got.round, what)
			mid := (along(got.minus[0]) + along(got.plus[0])) / 2
			toward, away := 0.0, 0.0
			for _, r := range body.runs {
				for _, p := range r {
					toward, away = max(toward, along(p)-mid), max(away, mid-along(p))
				}
			}
			require.Greater(t, away-toward, 0.25, "%s: the flat", what)
		}
	}
}

// The same of connectors, on the wiring side as seen from behind: what is at the left of the board is at the right there. A
// connector's pads are never square, and pin 1 is the oblong one and plus.
func TestAssemblyShowsSignsOfConnectors(t *testing.T) {
	for _, name := range []string{"terminal-3.5", "terminal-5.08-3", "header-2.54", "wire-pads"} {
		for turn := range 4 {
			what := fmt.Sprintf("%s, turn %d", name, turn)
			f, ok := footprint.Lookup(name)
			require.True(t, ok)
			b := board.Board{Name: "desk", Outline: geom.Rect(geom.Box{Max: geom.PtMM(60, 40)})}
			b.Parts = []board.Part{f.Place("J1", board.Connector, geom.PtMM(20, 10), 90*turn, geom.Bottom, geom.MM(0.05))}
			got, _ := look(drawn(t, Assembly(t.Context(), b)), "J1", "bottom")
			require.Len(t, got.plus, len(b.Parts[0].Pads)-1, what)
			require.Len(t, got.minus, 1, what)
			samePlaces(t, got.minus, got.black, what)
			require.Empty(t, got.square, what)
			toLast := [][2]float64{{-1, 0}, {0, -1}, {1, 0}, {0, 1}}[turn] // pin 1 is on the left of the front at turn 0
			along := func(p [2]float64) float64 { return p[0]*toLast[0] + p[1]*toLast[1] }
			for _, p := range got.plus {
				require.Greater(t, along(got.minus[0]), along(p)+1, what)
			}
		}
	}
}

// The key below says what a square and what an oblong pad is, in the colours of the drawing.
func TestKeyShowsThePads(t *testing.T) {
	doc := string(Assembly(t.Context(), fed(t, "terminal-3.5")))
	for _, want := range []string{"LED plus: anode, the long lead", "LED minus: cathode, pin 1, the flat side", "connector plus, pin 1", "connector minus"} {
		require.Equal(t, 1, strings.Count(doc, `"`+want+`"`), want)
	}
}

package picture

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/scene"
	"lampblack/led"
	"lampblack/led/design"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/disjoint"
	"lampblack/panel/geom"
)

// console returns a circuit of five boards: a chain fed at both ends, a branch, a chain of its own.
func console(t *testing.T) led.Circuit {
	t.Helper()
	var panels []panel.Panel
	for i, name := range []string{"mount", "dome", "focus", "weather", "flat-lamp"} {
		p := panel.Panel{Name: name}
		for j := range 8 + 4*i {
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(float64(j)*10, 10), D: geom.MM(3)})
		}
		panels = append(panels, p)
	}
	panels[1].LEDs[3].Kind = "amber-3mm"
	req := led.Usual()
	req.Wire = part.MetricWire(0.75)
	req.Others = []led.Load{{Name: "dew heater", Amps: 0.6}, {Name: "camera", Watts: 6}}
	req.Groups = []led.Dimmed{{Name: "alarm", Kinds: []string{"amber-3mm"}, Duty: 0.4}}
	req.Chains = []led.Run{
		{Panels: []string{"mount", "dome", "focus"}, BothEnds: true, BackLength: geom.MM(900)},
		{Panels: []string{"weather"}, From: "mount"},
		{Panels: []string{"flat-lamp"}},
	}
	c, l := design.Circuit(t.Context(), panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	return c
}

// house returns the console of a greenhouse by chance: one to sixty boards with names short and long, in chains from the supply and from boards,
// some fed at both ends, with other loads and groups. Only what the diagram tells is set.
func house(seed uint64) led.Circuit {
	r := rand.New(rand.NewPCG(seed, 3))
	n := []int{1, 2, 6, 14, 40, 60}[r.IntN(6)]
	c := led.Circuit{Source: led.Source{Min: 11, Nominal: 12, Max: 13, Rated: 3, Typical: 1, Worst: 1.2, Demand: 1.21, Volts: 12}}
	for range r.IntN(4) {
		c.Source.Others = append(c.Source.Others, led.Load{Name: []string{"dew heater", strings.Repeat("fan of the north wall ", 4)}[r.IntN(2)], Amps: 0.6})
	}
	chains := 1 + r.IntN(min(n, 6))
	for i := range n {
		name := fmt.Sprintf("bed-%d", i+1)
		switch r.IntN(6) {
		case 0:
			name = fmt.Sprintf("Irrigation of the southern beds %d", i+1)
		case 1:
			name = fmt.Sprintf("%s%d", strings.Repeat("W", 40), i+1)
		}
		w := led.Wiring{Panel: name}
		if r.IntN(4) == 0 {
			w.Groups = []led.Group{{Net: 1, Duty: 1}, {Name: "alarm", Net: 3, Duty: 0.4}}
		}
		c.Boards = append(c.Boards, w)
		k := led.Link{Panel: name, Feed: led.Feed{Wire: []string{"0.5 mm2", "24 AWG"}[r.IntN(2)], Length: geom.MM(float64(10 * (1 + r.IntN(300)))), Rated: 5},
			Segment: part.Amp(r.Float64()*2.4 - 0.4), SegmentWorst: part.Amp(0.1 + 2.4*r.Float64()), Volts: part.Volt(9 + 3*r.Float64()), OfAsked: r.Float64()}
		if i < chains {
			chain := led.Chain{}
			if i > 0 && r.IntN(2) == 0 {
				chain.From = c.Boards[r.IntN(i)].Panel
			}
			if r.IntN(3) == 0 {
				chain.BothEnds, chain.BackWorst, chain.BackAmps = true, 1, 0.3
				chain.Back = led.Feed{Wire: "0.75 mm2", Length: geom.MM(900)}
			}
			c.Chains = append(c.Chains, chain)
			c.Chains[i].Links = append(c.Chains[i].Links, k)
			continue
		}
		at := r.IntN(chains)
		c.Chains[at].Links = append(c.Chains[at].Links, k)
	}
	return c
}

// row returns a console of one chain.
func row(n int) led.Circuit {
	c := led.Circuit{Source: led.Source{Min: 12, Nominal: 12, Max: 12, Rated: 5, Typical: 2, Worst: 2.4, Demand: 3, Other: 0.6, Volts: 12,
		Others: []led.Load{{Name: "dew heater", Amps: 0.6}}}, Chains: []led.Chain{{}}}
	for i := range n {
		name := fmt.Sprintf("bed-%d", i+1)
		c.Boards = append(c.Boards, led.Wiring{Panel: name})
		c.Chains[0].Links = append(c.Chains[0].Links, led.Link{Panel: name, Feed: led.Feed{Wire: "0.5 mm2", Length: geom.MM(300), Rated: 5},
			Segment: 0.0731 * part.Amp(n-i), SegmentWorst: 0.0917 * part.Amp(n-i), Volts: 12 - 0.0131*part.Volt(i), OfAsked: 0.953})
	}
	return c
}

// On A4 every letter can be read: 2.5 mm high. Nothing is cut off, no text lies on another, on a wire or on the edge of a box,
// and a row of up to forty boards fits one sheet.
func TestWiringCanBeRead(t *testing.T) {
	all := []led.Circuit{{}, console(t)}
	for _, n := range []int{1, 6, 14, 40} {
		page := wiringPage(row(n), "Ridge desk")
		require.LessOrEqual(t, page.H, wiringHigh, "%d boards", n)
		all = append(all, row(n))
	}
	for seed := range uint64(80) {
		all = append(all, house(seed))
	}
	for i, c := range all {
		page := wiringPage(c, strings.Repeat("Ridge observatory desk ", 1+i%5))
		require.Equal(t, wiringWide, page.W)
		tidy(t, page)
		var texts []mark
		for _, q := range inks(page) {
			if q.text == "" {
				continue
			}
			require.NotContains(t, q.text, "…", "a name is cut short")
			texts = append(texts, q)
		}
		for _, g := range glyphs(page.Body.Items) {
			require.GreaterOrEqual(t, g.Height, geom.MM(2.5), g.Text)
		}
		for _, q := range texts { // printed on several sheets, none is cut in two
			require.Equal(t, q.box.Min.Y/wiringHigh, q.box.Max.Y/wiringHigh, q.text)
		}
		for _, q := range inks(page) {
			if q.path == nil || q.stroke.None() {
				continue
			}
			for _, s := range strokesOf(q.path) {
				if s.A.X != s.B.X && s.A.Y != s.B.Y {
					continue // the arc of a corner
				}
				line := s.Box().Grown(q.stroke.Width / 2)
				for _, o := range texts {
					if overlap(line, o.box) != 0 {
						t.Fatalf("console %d: a line of %s, %v, runs through %q, %v", i, q.group, line, o.text, o.box)
					}
				}
			}
		}
	}
}

// glyphs returns all runs of letters.
func glyphs(items []scene.Item) []*scene.Glyphs {
	var out []*scene.Glyphs
	for _, it := range items {
		switch q := it.(type) {
		case *scene.Group:
			out = append(out, glyphs(q.Items)...)
		case *scene.Glyphs:
			out = append(out, q)
		}
	}
	return out
}

// strokesOf returns the straight lines of a path.
func strokesOf(p *scene.Path) []geom.Segment {
	var out []geom.Segment
	for _, c := range p.Shapes {
		for i, v := range c {
			if i+1 < len(c) {
				out = append(out, geom.Segment{A: v.Pt, B: c[i+1].Pt})
			} else if !p.Open {
				out = append(out, geom.Segment{A: v.Pt, B: c[0].Pt})
			}
		}
	}
	return out
}

// What is drawn is what is wired: followed from line to line, dot to dot and box to box, the + wires join each chain's boards
// in their order to the place it starts from, by the way back too, and the 0 V wires do the same; no + touches a 0 V.
func TestWiringIsWired(t *testing.T) {
	for seed := range uint64(80) {
		c := house(seed)
		page := wiringPage(c, "Ridge desk")
		w := newWiring(c, "Ridge desk", airy())
		if w.high > wiringHigh {
			w = newWiring(c, "Ridge desk", tight())
		}
		boxes := []geom.Box{w.supply.box}
		for _, b := range append(slices.Clone(w.loads), w.boxes...) {
			boxes = append(boxes, b.box)
		}
		// The edges of the wiring: pairs of a board and what it is fed from. The supply is box 0.
		want := map[[2]int]bool{}
		add := func(a, b int) { want[[2]int{min(a, b), max(a, b)}] = true }
		for i := range w.loads {
			add(0, 1+i)
		}
		board := func(name string) int { return 1 + len(w.loads) + w.at[name] }
		for _, chain := range c.Chains {
			from := 0
			if chain.From != "" {
				from = board(chain.From)
			}
			before := from
			for _, k := range chain.Links {
				add(before, board(k.Panel))
				before = board(k.Panel)
			}
			if chain.BothEnds {
				add(from, before)
			}
		}
		fuses := 0
		for i, chain := range c.Chains {
			if c.Tables().Chains[i].Fuse > 0 {
				if fuses++; chain.BothEnds {
					fuses++ // each end of a ring feeds all of it
				}
			}
		}
		for _, q := range inks(page) {
			if q.group == "/wires" && q.path != nil && !q.path.Open && q.stroke.Colour == plusInk && !q.stroke.None() {
				fuses--
			}
		}
		require.Zero(t, fuses, "seed %d", seed)
		for _, colour := range []scene.Colour{plusInk, minusInk} {
			require.Equal(t, want, wired(page, colour, boxes), "seed %d, %v", seed, colour)
		}
	}
}

// conductors returns the wires of a colour, each as its straight pieces.
func conductors(page scene.Page, colour scene.Colour) [][]geom.Segment {
	var out [][]geom.Segment
	for _, q := range inks(page) {
		if q.group == "/wires" && q.stroke.Colour == colour && q.path.Open {
			out = append(out, strokesOf(q.path))
		}
	}
	return out
}

// ends returns the two ends of a wire.
func ends(l []geom.Segment) [2]geom.Pt { return [2]geom.Pt{l[0].A, l[len(l)-1].B} }

// wired follows the wires of a colour, which are joined where one ends on another and only cross elsewhere, and returns the
// pairs of boxes that they join: of all boxes on a net the first, which feeds it, with each of the others.
func wired(page scene.Page, colour scene.Colour, boxes []geom.Box) map[[2]int]bool {
	lines := conductors(page, colour)
	net := disjoint.New(len(lines))
	for i, a := range lines {
		for _, p := range ends(a) {
			for j, b := range lines {
				if i != j && slices.ContainsFunc(b, func(s geom.Segment) bool { return s.Box().Contains(p) }) { // all are level or upright
					net.Join(i, j)
				}
			}
		}
	}
	out := map[[2]int]bool{}
	feeds := map[int]int{}
	for k, box := range boxes {
		for i, a := range lines {
			for _, p := range ends(a) {
				if !box.Contains(p) {
					continue
				}
				if from, ok := feeds[net.Least(i)]; !ok {
					feeds[net.Least(i)] = k
				} else if from != k {
					out[[2]int{from, k}] = true
				}
			}
		}
	}
	return out
}

// Wires that run side by side can be told apart, and where a wire ends on another one that goes on there is a dot.
func TestWiresCanBeFollowed(t *testing.T) {
	dots := 0
	for seed := range uint64(50) {
		page := wiringPage(house(seed), "Ridge desk")
		dotted := map[geom.Pt]bool{}
		for _, q := range inks(page) {
			if q.path != nil && q.group == "/wires" && !q.path.Open && q.stroke.None() {
				dotted[q.box.Centre()] = true
			}
		}
		plus, zero := conductors(page, plusInk), conductors(page, minusInk)
		type piece struct {
			geom.Segment
			of int // the wire
		}
		var pieces []piece
		for i, l := range slices.Concat(plus, zero) {
			for _, s := range l {
				pieces = append(pieces, piece{s, i})
			}
		}
		for i, a := range pieces {
			for _, b := range pieces[:i] {
				u, v := a.Box(), b.Box()
				if u.Min.X > v.Max.X+geom.Millimetre || v.Min.X > u.Max.X+geom.Millimetre {
					continue
				}
				level := u.H() == 0 && v.H() == 0 && min(u.Max.X, v.Max.X) > max(u.Min.X, v.Min.X)
				upright := u.W() == 0 && v.W() == 0 && min(u.Max.Y, v.Max.Y) > max(u.Min.Y, v.Min.Y)
				apart := max(u.Min.Y, v.Min.Y) - min(u.Max.Y, v.Max.Y)
				if upright {
					apart = max(u.Min.X, v.Min.X) - min(u.Max.X, v.Max.X)
				}
				if (level || upright) && a.of != b.of && apart < geom.Millimetre {
					t.Fatalf("seed %d: %v beside %v", seed, u, v)
				}
			}
		}
		for _, lines := range [][][]geom.Segment{plus, zero} {
			for i, a := range lines {
				for _, p := range ends(a) {
					for j, b := range lines {
						e := ends(b)
						if i != j && p != e[0] && p != e[1] && slices.ContainsFunc(b, func(s geom.Segment) bool { return s.Box().Contains(p) }) {
							require.True(t, dotted[p], "seed %d: no dot at %v", seed, p)
							dots++
						}
					}
				}
			}
		}
	}
	require.Greater(t, dots, 50)
}

func TestWiring(t *testing.T) {
	c := console(t)
	svg := Wiring(c, "Ridge desk <&>")
	require.Equal(t, svg, Wiring(c, "Ridge desk <&>"))
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	var said []string
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if e, ok := tok.(xml.StartElement); ok {
			for _, a := range e.Attr {
				if a.Name.Local == "aria-label" {
					said = append(said, a.Value)
				}
			}
		}
	}
	// Every board and every piece of feed is there, with what the circuit says of it.
	for _, chain := range c.Tables().Chains {
		for _, s := range chain.Segments {
			require.Contains(t, said, s.Panel)
			require.Contains(t, said, volts(s.Volts)+", "+amps(s.BoardAmps))
			require.Contains(t, said, s.Wire+", "+s.Length.String())
			require.Contains(t, strings.Join(said, " "), carried(s))
		}
	}
	all := strings.Join(said, " ")
	fuse := c.Tables().Chains[0].Fuse
	require.Positive(t, fuse)
	for _, want := range []string{"12 V", "dew heater: 600 mA", "1 +, 2 + alarm, 3 - (0 V)", "mA from behind (", "The supply of 2 A",
		"fuse " + fuse.String() + " here too; way back to the supply: 0.75 mm2, 900 mm, "} {
		require.Contains(t, all, want)
	}
	require.NotEmpty(t, Wiring(led.Circuit{}, "")) // of nothing: no crash
}

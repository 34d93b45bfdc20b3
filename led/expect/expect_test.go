package expect_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/export/netlist"
	"lampblack/led"
	"lampblack/led/design"
	"lampblack/led/expect"
	"lampblack/led/ledtest"
	"lampblack/led/part"
	"lampblack/led/solve"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// desk is a console of three boards in a chain, red LEDs and green ones, the green a group of their own where grouped is set.
func desk(t *testing.T, grouped bool) (led.Circuit, led.Request) {
	t.Helper()
	req := led.Usual()
	req.Supply = part.Window{Min: 11.5, Nominal: 12, Max: 12.6}
	req.SupplyOhms = 0.2
	req.Others = []led.Load{{Name: "heater", Amps: 0.5}}
	var panels []panel.Panel
	for i, n := range []int{4, 17, 30} {
		p := ledtest.Row(fmt.Sprintf("bay-%d", i), n)
		for k := n / 2; k < n; k++ {
			p.LEDs[k].Kind = "green-3mm"
		}
		s := req.Defaults
		s.Panel, s.FeedLength = p.Name, geom.MM(400)
		s.ThroughOhms = led.ThroughOhms{Plus: 0.02, Minus: 0.01}
		req.Panels, panels = append(req.Panels, s), append(panels, p)
	}
	if grouped {
		req.Groups = []led.Dimmed{{Name: "green", Kinds: []string{"green-3mm"}, Duty: 0.5}}
	}
	c, l := design.Circuit(context.Background(), panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	require.True(t, c.Solved)
	return c, req
}

// What a board on the bench takes is the sum of its strings by the solver, and resistor and LEDs together have all the voltage there
// is behind its connector (Kirchhoff's laws).
func TestBenchSumsUp(t *testing.T) {
	for _, grouped := range []bool{false, true} {
		c, req := desk(t, grouped)
		for _, w := range c.Boards {
			b, ok := expect.OnBench(c, w.Panel)
			require.True(t, ok)
			bench, _ := expect.Bench(c, w.Panel)
			settled, _ := solve.Settle(bench, req)
			require.Len(t, b.Strings, len(w.Strings))
			sum := expect.Span{}
			for i, s := range b.Strings {
				sum.Least, sum.Usual, sum.Most = sum.Least+s.Amps.Least, sum.Usual+s.Amps.Usual, sum.Most+s.Amps.Most
				require.Equal(t, float64(settled.Boards[0].Strings[i].Nominal), s.Amps.Usual)
				require.Less(t, s.Amps.Least, s.Amps.Usual)
				require.Less(t, s.Amps.Usual, s.Amps.Most)
				require.Less(t, s.Drop.Least, s.Drop.Usual)
				require.Less(t, s.Drop.Usual, s.Drop.Most)
				require.Less(t, s.Lit.Least, s.Lit.Usual)
				require.Less(t, s.Lit.Usual, s.Lit.Most)
				require.InDelta(t, s.Drop.Usual, s.Amps.Usual*s.Ohms.Usual, 1e-6)
				require.InDelta(t, b.Out.Usual, s.Drop.Usual+float64(len(s.LEDs))*s.Lit.Usual, 0.01)
			}
			require.InEpsilon(t, sum.Usual, b.Amps.Usual, 1e-6)
			// Corners of one string alone reach no nearer than those of all together.
			require.LessOrEqual(t, sum.Least, b.Amps.Least*(1+1e-9))
			require.GreaterOrEqual(t, sum.Most, b.Amps.Most*(1-1e-9))
			require.Greater(t, float64(b.Limit), b.Amps.Most)
			require.LessOrEqual(t, float64(b.Limit), 1.1*b.Amps.Most+0.005)
			require.Less(t, b.In.Usual, 12.0)
			require.GreaterOrEqual(t, b.In.Usual, b.Out.Usual)
		}
	}
}

// The console with its last board on is what the solver makes of the whole, but for its other loads.
func TestChainEndsAtTheConsole(t *testing.T) {
	c, req := desk(t, false)
	steps := expect.Chain(c)
	require.Len(t, steps, 3)
	alone := c
	alone.Source.Others = nil
	alone, _ = solve.Settle(alone, req)
	last := steps[2]
	require.InEpsilon(t, float64(alone.Source.Peak), last.Amps.Usual, 1e-9)
	require.InEpsilon(t, float64(alone.Source.Worst), last.Amps.Most, 1e-9)
	require.InEpsilon(t, float64(alone.Chains[0].Links[2].Volts), last.Volts.Usual, 1e-9)
	sum := 0.0
	for i, s := range steps {
		sum += s.Own.Usual
		require.InDelta(t, s.Amps.Usual, sum, 1e-12)
		require.Equal(t, fmt.Sprintf("bay-%d", i), s.Panel)
		require.Positive(t, s.Own.Least)
	}
}

// A chain that starts from another's board is added behind that, whatever their order.
func TestBranchComesBehindItsBoard(t *testing.T) {
	c, _ := desk(t, false)
	links := c.Chains[0].Links
	c.Chains = []led.Chain{{From: "bay-0", Links: links[1:2]}, {Links: []led.Link{links[0], links[2]}}}
	var order []string
	for _, s := range expect.Chain(c) {
		order = append(order, s.Panel)
	}
	require.Equal(t, []string{"bay-0", "bay-2", "bay-1"}, order)
}

// A general circuit simulator finds the same: the board on the bench and the console with its first two boards, as they should be and
// in the two corners of the current.
func TestAgainstSimulator(t *testing.T) {
	spice, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not installed (Debian package ngspice), so that no simulator can be asked")
	}
	for _, grouped := range []bool{false, true} {
		c, _ := desk(t, grouped)
		for _, w := range c.Boards {
			bench, ok := expect.Bench(c, w.Panel)
			require.True(t, ok)
			b, ok := expect.OnBench(c, w.Panel)
			require.True(t, ok)
			for at, want := range map[int]float64{-1: b.Amps.Least, 0: b.Amps.Usual, 1: b.Amps.Most} {
				got := simulate(t, spice, cornered(bench, at), w.Panel)
				require.InEpsilon(t, want, got.amps, 1e-3, "%s grouped %v, corner %d", w.Panel, grouped, at)
				if at != 0 {
					continue
				}
				for _, s := range b.Strings {
					require.InEpsilon(t, s.Drop.Usual, got.drops[s.Resistor], 1e-3, "%s %s", w.Panel, s.Resistor)
				}
			}
		}
		steps := expect.Chain(c)
		c.Source.Others = nil
		c.Chains[0].Links, c.Boards = c.Chains[0].Links[:2], c.Boards[:2]
		for at, want := range map[int]float64{-1: steps[1].Amps.Least, 0: steps[1].Amps.Usual, 1: steps[1].Amps.Most} {
			require.InEpsilon(t, want, simulate(t, spice, cornered(c, at), "bay-1").amps, 1e-3, "two boards, grouped %v, corner %d", grouped, at)
		}
	}
}

// cornered returns the circuit whose usual values are those of a corner of the current: supply high, resistance and forward voltage low,
// or the opposite.
func cornered(c led.Circuit, at int) led.Circuit {
	src := c.Source
	if at < 0 {
		c.Source.Nominal = src.Min
	} else if at > 0 {
		c.Source.Nominal = src.Max
	}
	boards := make([]led.Wiring, len(c.Boards))
	for i, w := range c.Boards {
		w.Resistors = append([]led.Resistor(nil), w.Resistors...)
		for k := range w.Resistors {
			w.Resistors[k].Ohms *= part.Ohm(1 - float64(at)*w.Resistors[k].Tol)
		}
		w.LEDs = append([]led.LED(nil), w.LEDs...)
		for k := range w.LEDs {
			kind := w.LEDs[k].Kind
			d := src.Diode(kind)
			more := src.Cornered(kind, d0(kind), -at).Volts(part.MilliAmp) - d.Volts(part.MilliAmp)
			kind.Name = fmt.Sprintf("%s%d", kind.Name, at)
			kind.Curve = append([]part.VfPoint(nil), kind.Curve...)
			for n := range kind.Curve {
				kind.Curve[n].V += more
			}
			w.LEDs[k].Kind = kind
		}
		boards[i] = w
	}
	c.Boards = boards
	return c
}

func d0(k part.LED) part.Diode { d, _ := part.Fit(k); return d }

type shown struct {
	amps  float64
	drops map[string]float64 // across resistors
}

// simulate returns what the supply gives, and the voltage across each resistor of a board.
func simulate(t *testing.T, spice string, c led.Circuit, panel string) shown {
	t.Helper()
	text, ok := bytes.CutSuffix(netlist.Deck(c, "bench"), []byte(".end\n"))
	require.True(t, ok)
	name := regexp.MustCompile(`[^A-Za-z0-9_]`).ReplaceAllString(panel, "_")
	b := bytes.NewBuffer(append([]byte(nil), text...))
	b.WriteString(".control\nop\nprint i(Vsupply)\n")
	var refs []string
	for _, w := range c.Boards {
		if w.Panel == panel {
			for _, r := range w.Resistors {
				refs = append(refs, r.Ref)
				fmt.Fprintf(b, "print @R%s_%s[i]*%v\n", name, r.Ref, float64(r.Ohms))
			}
		}
	}
	b.WriteString(".endc\n.end\n")
	file := filepath.Join(t.TempDir(), "bench.cir")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, spice, "-b", file).Output()
	require.NoError(t, err, "%s", out)
	values := regexp.MustCompile(`(?m) = (-?[0-9.]+e[-+][0-9]+)\s*$`).FindAllSubmatch(out, -1)
	require.Len(t, values, 1+len(refs), "%s", out)
	got := shown{drops: map[string]float64{}}
	for i, v := range values {
		x, err := strconv.ParseFloat(string(v[1]), 64)
		require.NoError(t, err)
		if i == 0 {
			got.amps = -x
		} else {
			got.drops[refs[i-1]] = x
		}
	}
	return got
}

package netlist

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// desk returns a console of n panels with LEDs on a grid of several kinds, seeded.
func desk(seed uint64, boards int) led.Circuit {
	rng := rand.New(rand.NewPCG(seed, 5))
	var panels []panel.Panel
	req := led.Usual()
	req.Rated = 30
	req.ConnectorRated = 30
	req.Wire = part.MetricWire([]float64{0.5, 0.75, 1.5, 2.5}[rng.IntN(4)])
	req.Wire.Rated = 30
	v := part.Volt([]float64{9, 12, 15, 24}[rng.IntN(4)])
	req.Supply = part.Window{Min: v, Nominal: v, Max: v}
	kinds := []string{"red-3mm", "amber-3mm", "green-3mm", "white-5mm", "blue-0805"}
	var chain []string
	for i := range boards {
		p := panel.Panel{Name: fmt.Sprintf("bay %d", i)}
		for j := range 1 + rng.IntN(40) {
			h := panel.Hole{At: geom.PtMM(float64(j%8)*9, float64(j/8)*9), D: geom.MM(3)}
			if rng.IntN(3) == 0 {
				h.Kind = kinds[rng.IntN(len(kinds))]
			}
			p.LEDs = append(p.LEDs, h)
		}
		s := req.Defaults
		s.Panel = p.Name
		s.Current = part.Amp(2+rng.IntN(8)) * part.MilliAmp
		s.FeedLength = geom.MM(float64(50 + rng.IntN(400)))
		req.Panels = append(req.Panels, s)
		panels = append(panels, p)
		chain = append(chain, p.Name)
	}
	cut := rng.IntN(boards) // two chains, or one
	req.Chains = [][]string{chain[:cut], chain[cut:]}
	c, _ := led.Design(panels, req)
	return c
}

func TestDeckNames(t *testing.T) {
	c := desk(1, 2)
	last := c.Chains[len(c.Chains)-1].Links
	require.Equal(t, c.Boards[1].Panel, last[len(last)-1].Panel)
	c.Boards[1].Panel, last[len(last)-1].Panel = "Dome", "Dome"
	text := string(Deck(c, "ridge\n.end desk"))
	require.True(t, strings.HasPrefix(text, "* ridge .end desk\n"), "a title cannot end the deck")
	require.True(t, strings.HasSuffix(text, ".op\n.end\n"))
	require.Equal(t, 1, strings.Count(text, "\nVsupply "))
	for _, w := range c.Boards {
		name := clean(w.Panel)
		for _, r := range w.Resistors {
			require.Contains(t, text, "\nR"+name+"_"+r.Ref+" ")
		}
		for _, l := range w.LEDs {
			require.Contains(t, text, "\nD"+name+"_"+l.Ref+" ")
		}
		require.Contains(t, text, "\nRfeed_"+name+"_out ")
	}
	models := regexp.MustCompile(`(?m)^\.model (\S+) D\(`).FindAllStringSubmatch(text, -1)
	require.NotEmpty(t, models)
	require.Equal(t, Deck(c, "x"), Deck(c, "x"))
}

// Two names that SPICE would take for one must stay two nodes.
func TestDeckNamesDoNotCollide(t *testing.T) {
	d := deck{names: map[string]bool{}}
	require.Equal(t, []string{"dome", "Dome_2", "do_me", "do_me_2"}, []string{d.unique(clean("dome")), d.unique(clean("Dome")), d.unique(clean("do me")), d.unique(clean("do-me"))})
}

// A general circuit simulator must find the same operating point: every resistor current and board voltage within 0.1 %.
func TestDeckAgainstSimulator(t *testing.T) {
	spice, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not installed (Debian package ngspice), so that no simulator can be asked")
	}
	for _, size := range []int{1, 2, 6, 12, 40} {
		t.Run(fmt.Sprint(size), func(t *testing.T) {
			c := desk(uint64(size), size)
			got := simulate(t, spice, c)
			checked := 0
			names := map[string]string{}
			for _, chain := range c.Chains {
				for _, link := range chain.Links {
					n := clean(link.Panel)
					names[link.Panel] = n
					require.InEpsilon(t, float64(link.Volts), got["v("+n+"_p)-v("+n+"_n)"], 1e-3, link.Panel)
					require.InEpsilon(t, float64(link.Segment), got["@rfeed_"+n+"_out[i]"], 1e-3, link.Panel)
				}
			}
			for _, w := range c.Boards {
				for _, s := range w.Strings {
					r := w.Resistors[s.Resistor]
					require.InEpsilon(t, float64(s.Nominal), got[strings.ToLower("@r"+names[w.Panel]+"_"+r.Ref+"[i]")], 1e-3, w.Panel+" "+r.Ref)
					checked++
				}
			}
			require.NotZero(t, checked)
			t.Logf("%d boards, %d resistors agree", size, checked)
		})
	}
}

// simulate runs the deck and returns what it prints for each expression.
func simulate(t *testing.T, spice string, c led.Circuit) map[string]float64 {
	t.Helper()
	text, ok := bytes.CutSuffix(Deck(c, "test"), []byte(".end\n"))
	require.True(t, ok)
	var b bytes.Buffer
	b.Write(text)
	b.WriteString(".control\nop\n")
	for _, chain := range c.Chains {
		for _, link := range chain.Links {
			n := clean(link.Panel)
			fmt.Fprintf(&b, "print v(%s_p)-v(%s_n)\nprint @Rfeed_%s_out[i]\n", n, n, n)
		}
	}
	for _, w := range c.Boards {
		for _, r := range w.Resistors {
			fmt.Fprintf(&b, "print @R%s_%s[i]\n", clean(w.Panel), r.Ref)
		}
	}
	b.WriteString(".endc\n.end\n")
	file := filepath.Join(t.TempDir(), "chain.cir")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	out, err := exec.Command(spice, "-b", file).CombinedOutput()
	require.NoError(t, err, string(out))
	got := map[string]float64{}
	for line := range strings.Lines(string(out)) {
		if key, value, ok := strings.Cut(line, " = "); ok {
			if x, err := strconv.ParseFloat(strings.TrimSpace(value), 64); err == nil {
				got[strings.ToLower(strings.TrimSpace(key))] = x
			}
		}
	}
	return got
}

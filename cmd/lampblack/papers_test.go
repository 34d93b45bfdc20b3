package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"lampblack/cmd/lampblack/internal/starter"
	"lampblack/export/result"
)

// facts are what papers say: of each fact, who says which figure and how fine.
type facts map[string][]figure

type figure struct {
	paper       string
	value, step float64 // step: of its last digit
}

// say notes a figure as it is written, in a unit of so much.
func (f facts) say(t *testing.T, fact, paper, written string, unit float64) {
	v, err := strconv.ParseFloat(written, 64)
	require.NoError(t, err, "%s: %s: %q", paper, fact, written)
	step := 1.0
	if _, decimals, ok := strings.Cut(written, "."); ok {
		step = math.Pow10(-len(decimals))
	} else if unit < 1 { // "76 mA" is told to the milliampere
		step = 1
	}
	f[fact] = append(f[fact], figure{paper, v * unit, step * unit})
}

// exactly notes a number of result.json.
func (f facts) exactly(fact string, v float64) {
	f[fact] = append(f[fact], figure{"result.json", v, 1e-9})
}

var units = map[string]float64{"A": 1, "mA": 1e-3, "V": 1, "": 1}

// match notes what groups of a pattern say: each fact with its figure and, behind it, its unit. It must be found.
func (f facts) match(t *testing.T, paper, text, pattern string, names ...string) {
	m := regexp.MustCompile(pattern).FindStringSubmatch(text)
	require.NotNil(t, m, "%s does not say %s", paper, pattern)
	for i, name := range names {
		unit, ok := units[m[2*i+2]]
		require.True(t, ok, "%s: %q", paper, m[0])
		f.say(t, name, paper, m[2*i+1], unit)
	}
}

// Whatever two papers of a build tell twice, a current, a power, a voltage, a size or a count, is the same figure in both, as far as
// the coarser of the two tells it.
func TestPapersAgree(t *testing.T) {
	example, err := filepath.Abs("../../examples/observatory")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	files, err := starter.Files()
	require.NoError(t, err)
	write := func(dir, project string) {
		require.NoError(t, os.MkdirAll(dir, 0o777))
		for _, f := range files {
			require.NoError(t, os.WriteFile(filepath.Join(dir, f.Path), f.Data, 0o666))
		}
		if project != "" {
			require.NoError(t, os.WriteFile(filepath.Join(dir, "lampblack.yaml"), []byte(project), 0o666))
		}
	}
	write("starter", "")
	// A window, loads that ask for most where the LEDs ask for least, warm resistors, groups and several consoles.
	write("vents", `console: Climate desk
supply: {volts: 11 V .. 13 V, amps: 3 A, also_feeds: [{name: vent motor, watts: 15 W}]}
copies: 3
groups: [{name: red, leds: [red-3mm], duty: 40 %}, {name: white, leds: [white-3mm]}]
panels:
  - {name: day, drawing: shutter.dxf, led: white-3mm, current: 20 mA, series: 2}
  - {name: night, drawing: shutter.dxf}
`)
	for _, project := range []string{example, "starter", "vents"} {
		t.Run(filepath.Base(project), func(t *testing.T) {
			dir := filepath.Join("out", filepath.Base(project))
			var stdout, stderr bytes.Buffer
			require.Zero(t, run([]string{"build", project, "-o", dir}, strings.NewReader(""), &stdout, &stderr), stderr.String())
			f := gathered(t, dir, stdout.String(), stderr.String())
			for fact, said := range f {
				require.Greater(t, len(said), 1, "only %s tells %s: nothing is compared", said[0].paper, fact)
				for _, a := range said {
					for _, b := range said {
						require.LessOrEqual(t, math.Abs(a.value-b.value), (a.step+b.step)/2*(1+1e-6), "%s: %s says %v, %s says %v", fact, a.paper, a.value, b.paper, b.value)
					}
				}
			}
		})
	}
}

// gathered reads all papers of a build.
func gathered(t *testing.T, dir, stdout, stderr string) facts {
	f := facts{}
	read := func(name string) string {
		b, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		return string(b)
	}
	var r result.Console
	require.NoError(t, json.Unmarshal([]byte(read("result.json")), &r))
	page := shown(t, read("report.html"))
	deck := read("chain.cir")
	f.exactly("supply V", r.Supply.Volts.Nominal)
	f.exactly("supply rated", r.Supply.RatedA)
	f.exactly("supply asked for", r.Supply.DemandA)
	f.match(t, "chain.cir", deck, `(?m)^Vsupply supply 0 DC ([\d.]+)()`, "supply V")
	wiring := read("wiring.svg")
	f.match(t, "wiring.svg", wiring, `asked for ([\d.]+) (m?A)`, "supply asked for")
	f.match(t, "wiring.svg", wiring, `gives ([\d.]+) (m?A)`, "supply rated")
	f.match(t, "findings", stderr, `wants a fuse of ([\d.]+) (m?A)`, "fuse")
	f.match(t, "report.html", page, `The supply of ([\d.]+) (m?A) .* and ([\d.]+) (m?A) at worst`, "supply rated", "supply asked for")
	row := func(first string, skip int) []string {
		m := regexp.MustCompile(`(?m)^  +`+first+` .*$`).FindAllString(stdout, -1)
		require.Greater(t, len(m), skip, first)
		return strings.Fields(m[skip])
	}
	leds, lines := 0, rows(t, read("order.csv"))
	bought := map[string]float64{}
	for _, l := range rows(t, read("parts.csv"))[1:] {
		n, err := strconv.ParseFloat(l[0], 64)
		require.NoError(t, err)
		bought[l[1]] += n
	}
	segments := map[string]result.Link{}
	for _, c := range r.Chains {
		for _, k := range c.Links {
			segments[k.Panel] = k
		}
	}
	need := map[string]float64{}
	for _, p := range r.Panels {
		n := p.Name + ": "
		readme := read(p.Name + "/fab/README.txt")
		leds += len(p.Holes.LED)
		f.exactly(n+"LEDs", float64(len(p.Holes.LED)))
		f.exactly(n+"strings", float64(len(p.Strings)))
		f.exactly(n+"width", p.Board.Width)
		f.exactly(n+"height", p.Board.Height)
		f.exactly(n+"IN carries", segments[p.Name].SegmentWorstA)
		flat := strings.Join(strings.Fields(readme), " ")
		m := regexp.MustCompile(`LEDs (\d+) in (\d+) string`).FindStringSubmatch(flat)
		require.NotNil(t, m)
		f.say(t, n+"LEDs", "README.txt", m[1], 1)
		f.say(t, n+"strings", "README.txt", m[2], 1)
		m = regexp.MustCompile(`Size ([\d.]+) x ([\d.]+) mm`).FindStringSubmatch(flat)
		f.say(t, n+"width", "README.txt", m[1], 1)
		f.say(t, n+"height", "README.txt", m[2], 1)
		f.match(t, "README.txt", flat, `Board draws ([\d.]+) (m?A), at most ([\d.]+) (m?A)`, n+"draws", n+"draws at worst")
		f.match(t, "README.txt", flat, `[^f] IN carries at most ([\d.]+) (m?A)`, n+"IN carries")
		f.match(t, "README.txt", flat, `rated ([\d.]+) (m?A); asked for at most ([\d.]+) (m?A)`, "supply rated", "supply asked for")
		f.match(t, "README.txt", flat, `Supply ([\d.]+) (V)`, "supply V")
		f.match(t, "README.txt", flat, `Fuse ([\d.]+) (m?A)`, "fuse")
		// The page tells each panel under its name.
		_, own, ok := strings.Cut(page, "\n"+p.Name+" "+p.Drawing+"\n")
		require.True(t, ok, p.Name)
		f.match(t, "report.html", own, `Current, all full on ([\d.]+) (mA) at worst ([\d.]+) (mA)`, n+"draws", n+"draws at worst")
		m = regexp.MustCompile(`LEDs (\d+) (\d+) string`).FindStringSubmatch(own)
		require.NotNil(t, m)
		f.say(t, n+"LEDs", "report.html", m[1], 1)
		f.say(t, n+"strings", "report.html", m[2], 1)
		// What the terminal shows.
		boards := row(p.Name, slices.IndexFunc(regexp.MustCompile(`(?m)^  +`+p.Name+` .*$`).FindAllString(stdout, -1), func(l string) bool { return strings.HasSuffix(l, "proven") }))
		f.say(t, n+"width", "terminal", boards[1], 1)
		f.say(t, n+"height", "terminal", boards[2], 1)
		f.say(t, n+"strings", "terminal", boards[3], 1)
		// The board's own parts.
		count := map[string]float64{}
		for _, l := range rows(t, read(p.Name+"/parts.csv"))[1:] {
			k, err := strconv.ParseFloat(l[0], 64)
			require.NoError(t, err)
			count[l[1]] += k
			need[l[1]] += k * float64(max(1, r.Copies))
			if l[1] != "resistor" {
				continue
			}
			for _, ref := range spelled(l[5]) {
				for _, s := range p.Strings {
					if s.Resistor == ref {
						f.exactly(n+ref+" rated W", s.RatedW)
						f[n+ref+" rated W"] = append(f[n+ref+" rated W"], figure{"parts.csv", watt(t, l[3]), 1e-9})
					}
				}
			}
		}
		f[n+"LEDs"] = append(f[n+"LEDs"], figure{"its parts.csv", count["LED"], 1})
		f[n+"strings"] = append(f[n+"strings"], figure{"its parts.csv", count["resistor"], 1})
		name := regexp.MustCompile(`[^A-Za-z0-9_]`).ReplaceAllString(p.Name, "_")
		f[n+"LEDs"] = append(f[n+"LEDs"], figure{"chain.cir", float64(len(regexp.MustCompile(`(?m)^D`+name+`_D\d+ `).FindAllString(deck, -1))), 1})
		f[n+"strings"] = append(f[n+"strings"], figure{"chain.cir", float64(len(regexp.MustCompile(`(?m)^R`+name+`_R\d+ `).FindAllString(deck, -1))), 1})
		for _, l := range lines {
			if l[0] == p.Name {
				f.say(t, n+"width", "order.csv", l[1], 1)
				f.say(t, n+"height", "order.csv", l[2], 1)
				f.say(t, n+"to order", "order.csv", l[4], 1)
			}
		}
		f.match(t, "README.txt", flat, `Quantity (\d+)()`, n+"to order")
		typical, worst := 0.0, 0.0
		for _, g := range p.Groups {
			typical, worst = typical+g.TypicalA, worst+g.WorstA
		}
		if len(p.Groups) > 0 {
			f.exactly(n+"draws", typical)
			f.exactly(n+"draws at worst", worst)
		}
	}
	for kind, n := range need {
		f[kind+"s of the console"] = append(f[kind+"s of the console"], figure{"parts.csv of all boards", n, 1}, figure{"parts.csv", bought[kind], 1})
	}
	m := regexp.MustCompile(`(\d+) LEDs`).FindStringSubmatch(stdout)
	require.NotNil(t, m)
	f.say(t, "LEDs in all", "terminal", m[1], 1)
	// The guide has both lists whole, and the drawing of the harness each wire at both ends.
	guide, harness := shown(t, read("guide.html")), read("harness.svg")
	tells := func(cells ...string) {
		line := strings.Join(strings.Fields(strings.Join(cells, " ")), " ")
		require.True(t, strings.Contains(guide, "\n"+line), "guide.html has not the row %s", line)
	}
	for _, l := range rows(t, read("parts.csv"))[1:] {
		tells(l[1], l[2], l[0], l[8])
	}
	for _, l := range rows(t, read("wires.csv"))[1:] {
		tells(l[:9]...) // the guide is for one console, and has no quantity; places are told in none of these
		require.Equal(t, 2, strings.Count(harness, `"`+l[0]+" "+l[6]+`"`), l[0])
	}
	f.exactly("LEDs in all", float64(leds))
	return f
}

func rows(t *testing.T, text string) [][]string {
	out, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	return out
}

// spelled returns the names of a list: "R1, R3-R5".
func spelled(list string) []string {
	var out []string
	for _, s := range strings.Split(list, ", ") {
		from, to, ok := strings.Cut(s, "-")
		if !ok {
			out = append(out, s)
			continue
		}
		a, _ := strconv.Atoi(from[1:])
		b, _ := strconv.Atoi(to[1:])
		for i := a; i <= b; i++ {
			out = append(out, fmt.Sprintf("%s%d", from[:1], i))
		}
	}
	return out
}

// watt reads "1/4 W, 5 %".
func watt(t *testing.T, s string) float64 {
	m := regexp.MustCompile(`^(\d+)/(\d+) W|^([\d.]+) W`).FindStringSubmatch(s)
	require.NotNil(t, m, s)
	if m[3] != "" {
		v, err := strconv.ParseFloat(m[3], 64)
		require.NoError(t, err)
		return v
	}
	a, _ := strconv.ParseFloat(m[1], 64)
	b, _ := strconv.ParseFloat(m[2], 64)
	return a / b
}

// shown returns the texts of a page, each block on a line of its own.
func shown(t *testing.T, page string) string {
	root, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	var b strings.Builder
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
			return
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
		switch n.Data {
		case "h1", "h2", "h3", "p", "tr", "li", "dl":
			b.WriteString("\n")
		case "dt", "dd", "td", "th":
			b.WriteString(" ")
		}
	}
	walk(root)
	lines := strings.Split(b.String(), "\n")
	for i := range lines {
		lines[i] = strings.Join(strings.Fields(lines[i]), " ")
	}
	return strings.Join(lines, "\n")
}

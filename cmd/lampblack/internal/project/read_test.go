package project

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/export/filename"
	"lampblack/led/part"
	"lampblack/panel/diag"
	"lampblack/panel/dxf"
	"lampblack/panel/geom"
)

const desk = `console: Ridge observatory desk
supply:
  volts: 11.1 V .. 12.6 V
  amps: 2 A
  also_feeds:
    - {name: dew heater, amps: 0.6 A}
    - {name: guide camera, amps: 500 mA}
feed: {wire: 0.5 mm2, connector: 3 A}
chain: [dome, mount]
defaults:
  led: red-3mm
  current: 8 mA
  resistor: {series: e96, tolerance: 1 %, package: 0805}
  connector: terminal-5.08
  feed_length: 250 mm
leds:
  - {name: night, colour: red, package: radial-5mm, hole: 5 mm, forward: 1.9 V, at: 10 mA, max_current: 25 mA, half_angle: 20, intensity: 800 mcd}
panels:
  - name: dome
    drawing: dome.dxf
    feed_length: 30 cm
    layers: {outline: FRAME, led: Lamps}
  - name: mount
    drawing: sub/mount.dxf
    led: night
    current: 6
    units: Inch
rules: {copper_gap: 0.25 mm, via_pad: 1.1}
margin: 1.5 mm
kerf: 0.15 mm
revision: B.2
date: 2026-11-25
`

func TestReadsEveryKey(t *testing.T) {
	p, l := Read([]byte(desk), "desk/lampblack.yaml")
	require.Empty(t, l)
	require.Equal(t, "Ridge observatory desk", p.Console)
	require.InDelta(t, 11.1, float64(p.Supply.Volts.Min), 1e-9)
	require.InDelta(t, 12.6, float64(p.Supply.Volts.Max), 1e-9)
	require.InDelta(t, 2, float64(p.Supply.Amps), 1e-9)
	require.Equal(t, []Load{{Name: "dew heater", Amps: 0.6}, {Name: "guide camera", Amps: 0.5}}, p.Supply.AlsoFeeds)
	require.InDelta(t, 0.5, p.Feed.Wire.MM2, 1e-9)
	require.InDelta(t, 3, float64(p.Feed.Connector), 1e-9)
	require.Equal(t, []Run{{Boards: []string{"dome", "mount"}}}, p.Chains)
	require.Equal(t, Defaults{"red-3mm", nil, 0.008, Resistor{"E96", 0.01, "r-0805", true, 0, 0.5}, "terminal-5.08", geom.MM(250), 0, 0.3, Mounting{KeepTurn: true, Slots: true}}, p.Defaults)
	require.Len(t, p.Kinds, 1)
	k := p.Kinds[0]
	require.Equal(t, "radial-5mm", k.Package)
	require.Equal(t, []part.VfPoint{{I: 0.010, V: 1.9}}, k.Curve)
	require.InDelta(t, 0.8, k.Candela, 1e-9)
	require.InDelta(t, 0.025, float64(k.IMax), 1e-9)
	require.Less(t, float64(k.VfMin), 1.9)
	require.Len(t, p.Panels, 2)
	require.Equal(t, Panel{Name: "dome", Drawing: "dome.dxf", FeedLength: geom.MM(300), Layers: []Layer{{"outline", "FRAME"}, {"led", "Lamps"}}, Mounting: Mounting{KeepTurn: true, Slots: true}}, p.Panels[0])
	require.Equal(t, Panel{Name: "mount", Drawing: "sub/mount.dxf", FeedLength: geom.MM(250), LED: "night", Current: 0.006, Units: "inch", Mounting: Mounting{KeepTurn: true, Slots: true}}, p.Panels[1])
	require.Equal(t, geom.MM(0.25), p.Rules.Clearance)
	require.Equal(t, geom.MM(1.1), p.Rules.ViaPad)
	require.Equal(t, geom.MM(1.5), p.Rules.Margin)
	require.Equal(t, board.UsualRules().Signal, p.Rules.Signal)
	require.Equal(t, geom.MM(0.15), p.Kerf)
	require.Equal(t, "B.2", p.Revision)
	require.Equal(t, time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), p.Date)
	require.Equal(t, "desk/sub/mount.dxf", p.Path(1))
}

// badFile is a wrong project file and its findings: code, line and column, a word of the text and of the advice.
type badFile struct {
	name, src string
	want      []want
}

type want struct {
	code         string
	line, column int
	text, advice string
}

func badFiles() []badFile {
	const panels = "panels:\n  - {name: dome, drawing: dome.dxf}\n"
	const supply = "supply: {volts: 12 V, amps: 2 A}\n"
	return []badFile{
		{"empty", "", []want{{"project-empty", 0, 0, "empty", "new"}}},
		{"only comments", "# nothing\n", []want{{"project-empty", 0, 0, "empty", ""}}},
		{"misspelt key", "suply: {volts: 12 V}\n" + panels, []want{{"project-unknown-key", 1, 1, `"suply"`, "supply"}}},
		{"misspelt key below", supply + "panels:\n  - {name: dome, drawing: dome.dxf, curent: 8 mA}\n", []want{{"project-unknown-key", 3, 37, `"curent"`, "current"}}},
		{"unlike any key", supply + panels + "zebra: 1\n", []want{{"project-unknown-key", 4, 1, "zebra", "use one of: console, supply"}}},
		{"wrong unit", "supply: {volts: 12 A, amps: 2 A}\n" + panels, []want{{"project-wrong-value", 1, 17, "volts", "12 V"}}},
		{"wrong unit of a current", supply + panels + "defaults: {current: 8 mm}\n", []want{{"project-wrong-value", 4, 21, "current", "8 mA"}}},
		{"negative length", supply + panels + "kerf: -1 mm\n", []want{{"project-wrong-value", 4, 7, "negative", "kerf: 0.2 mm"}}},
		{"no supply current", "supply: {volts: 12 V, amps: 0 A}\n" + panels, []want{{"project-impossible-value", 1, 29, "not above zero", "2 A"}}},
		{"mains", "supply: {volts: 230 V, amps: 2 A}\n" + panels, []want{{"project-impossible-value", 1, 17, "60 V", "12 V"}}},
		{"a welder", "supply: {volts: 12 V, amps: 101 A}\n" + panels, []want{{"project-impossible-value", 1, 29, "more than 100 A", "2 A"}}},
		{"no panels", supply, []want{{"project-no-panels", 0, 0, "no panels", "panels:"}}},
		{"panel without drawing", supply + "panels:\n  - {name: dome}\n", []want{{"project-missing-key", 3, 5, "drawing", "dome.dxf"}}},
		{"two names alike", supply + "panels:\n  - {name: dome, drawing: a.dxf}\n  - {name: Dome, drawing: b.dxf}\n", []want{{"project-same-name", 4, 6, "Dome", "another"}}},
		{"names from drawings alike", supply + "panels:\n  - {drawing: a/dome.dxf}\n  - {drawing: b/dome.dxf}\n", []want{{"project-same-name", 4, 5, "dome", "another"}}},
		{"name of nothing", supply + "panels:\n  - {name: \"  \", drawing: a.dxf}\n", []want{{"project-no-value", 3, 12, "is empty", ""}}},
		{"name too long for a line", supply + "panels:\n  - {name: " + strings.Repeat("x", 121) + ", drawing: a.dxf}\n", []want{{"project-wrong-value", 3, 12, "120 letters", "shorten"}}},
		{"chain of strangers", supply + panels + "chain: [dome, mont]\n", []want{{"project-unknown-panel", 4, 15, "mont", "chain"}}},
		{"chain misspelt", supply + panels + "chain: [dme]\n", []want{{"project-unknown-panel", 4, 9, "dme", "dome"}, {"project-not-fed", 3, 6, "dome", "chain"}}},
		{"chain twice", supply + panels + "chain: [dome, dome]\n", []want{{"project-chain-twice", 4, 15, "dome", "out"}}},
		{"chain and chains", supply + panels + "chain: [dome]\nchains: [[dome]]\n", []want{{"project-two-chains", 5, 1, "chains", "keep one"}, {"project-chain-twice", 4, 9, "", ""}}},
		{"not fed", supply + "panels:\n  - {name: dome, drawing: a.dxf}\n  - {name: focus, drawing: b.dxf}\nchain: [dome]\n", []want{{"project-not-fed", 4, 6, "focus", "chain"}}},
		{"unknown kind", supply + panels + "defaults: {led: rde-3mm}\n", []want{{"project-unknown-led", 4, 12, "rde-3mm", "red-3mm"}}},
		{"too much current", supply + panels + "defaults: {current: 80 mA}\n", []want{{"project-current-high", 4, 12, "80 mA", "at most"}}},
		{"kind without its limits", supply + panels + "leds:\n  - {name: x, forward: 2 V}\n", []want{{"project-missing-key", 5, 5, "max_current", "mA"}}},
		{"forward beyond what it survives", supply + panels + "leds:\n  - {name: x, forward: 2 V, at: 30 mA, max_current: 25 mA}\n", []want{{"project-impossible-value", 5, 29, "forward is said to hold at 30 mA, more than the LED survives, 25 mA", "at which the data sheet gives"}}},
		{"forward beyond, not told", supply + panels + "leds:\n  - {name: x, forward: 2 V, max_current: 15 mA}\n", []want{{"project-impossible-value", 5, 29, "without at, forward is taken to hold at 20 mA", "write at"}}},
		{"a beam brighter than its light", supply + panels + "leds:\n  - {name: x, forward: 2 V, max_current: 25 mA, beam: [[0, 1], [30, 1.2]]}\n", []want{{"project-wrong-value", 5, 0, "beam of LED kind x: a share of 1.2 at 30° is more than all", "divide all shares by the greatest"}}},
		{"two beams", supply + panels + "leds:\n  - name: x\n    forward: 2 V\n    max_current: 25 mA\n    beam: [[0, 1], [30, 0.2]]\n    half_angle: 20\n", []want{{"project-two-beams", 9, 5, "LED kind x: both half_angle and beam", "keep one"}}},
		{"no value", supply + panels + "kerf:\n", []want{{"project-no-value", 4, 1, "kerf", "leave the key out"}}},
		{"duplicate key", supply + supply + panels, []want{{"project-syntax", 2, 1, "", ""}}},
		{"tab", "supply:\n\tvolts: 12 V\n" + panels, []want{{"project-syntax", 2, 1, "a tab", "blanks"}}},
		{"open bracket", "supply: {volts: 12 V\n" + panels, []want{{"project-syntax", 0, 0, "", ""}}},
		{"alias", "console: &a Desk\n" + supply + panels, []want{{"project-syntax", 1, 10, "anchors", "itself"}}},
		{"two documents", supply + panels + "---\n" + supply, []want{{"project-syntax", 5, 0, "second", "one"}}},
		{"list for a text", supply + panels + "console: [a]\n", []want{{"project-wrong-kind", 4, 10, "one value", ""}}},
		{"text for keys", "supply: 12 V\n" + panels, []want{{"project-wrong-kind", 1, 9, "keys", ""}}},
		{"a list", "- a\n- b\n", []want{{"project-wrong-kind", 1, 1, "the project", ""}, {"project-no-panels", 0, 0, "", ""}}},
		{"binary", "PK\x03\x04\x00\x00", []want{{"project-not-text", 0, 0, "text", "DXF"}}},
		{"deep", strings.Repeat("[", 100000), []want{{"project-syntax", 0, 0, "nested", ""}}},
		{"deep dashes", strings.Repeat("- ", 100000), []want{{"project-syntax", 0, 0, "nested", ""}}},
		{"wrong date", supply + panels + "date: 25.11.2026\n", []want{{"project-wrong-value", 4, 7, "year-month-day", "2026-11-25"}}},
		{"via without ring", supply + panels + "rules: {via_pad: 0.5 mm}\n", []want{{"project-impossible-value", 4, 9, "annular_ring", "0.8 mm"}}},
		{"rule of nothing", supply + panels + "rules: {copper_gap: 0 mm}\n", []want{{"project-impossible-value", 4, 21, "less than 0.01 mm", ""}}},
		{"no supply told", panels, []want{{"project-no-supply", 0, 0, "12 V", "volts"}}},
		{"no rating told", "supply: {volts: 12 V}\n" + panels, []want{{"project-no-rating", 1, 1, "2 A", "amps"}}},
		{"comma", "supply:\n  volts: 11,1 V .. 12,6 V\n  amps: 2 A\n" + panels, []want{{"project-wrong-value", 2, 10, "supply.volts", "a decimal point, not a comma: 11.1 V .. 12.6 V"}}},
		{"comma in braces", "supply: {amps: 2 A, volts: 11,1 V}\n" + panels, []want{{"project-unknown-key", 1, 31, "1 V", "a decimal point, not a comma"}}},
		{"comma in a number of things", supply + "panels: [{drawing: a.dxf, place: {count: '1,000'}}]\n", []want{{"project-wrong-value", 2, 42, "place.count", "write no comma between the digits: 1000"}}},
		{"comma in a number of things, as in a fraction", supply + "panels: [{drawing: a.dxf, place: {count: '2,0'}}]\n", []want{{"project-wrong-value", 2, 42, "place.count", "24"}}},
		{"comma in a bare number", supply + panels + "leds: [{name: x, forward: 2 V, max_current: 30 mA, half_angle: '12,5'}]\n", []want{{"project-wrong-value", 4, 64, "half_angle of LED kind x", "a decimal point, not a comma: 12.5"}}},
		{"named entry", supply + "panels:\n  - {name: dome, drawing: dome.dxf, series: x}\n", []want{{"project-wrong-value", 3, 45, "series of panel dome: ", ""}}},
		{"nameless entry", supply + "panels:\n  - {drawing: dome.dxf}\n  - {name: focus}\n  - {drawing: mount.dxf, serie: 3}\n", []want{{"project-missing-key", 4, 5, "panel focus needs drawing", ""}, {"project-unknown-key", 5, 26, "in panel 3", "series"}}},
		{"entry of a list in an entry", supply + "panels:\n  - {name: dome, drawing: a.dxf, roles: {led: [circles 3, squares]}}\n", []want{{"project-wrong-value", 3, 59, "entry 2 of roles.led of panel dome: ", ""}}},
		{"below fine", supply + panels + "rules: {class: fine, smallest_hole: 0.2 mm, margin: 0.5 mm, string_track: 0.2 mm, thinnest_track: 0.1 mm}\n", []want{{"project-rules-fine", 4, 83, "thinnest_track 0.1 mm (fine: 0.15 mm), smallest_hole 0.2 mm (fine: 0.25 mm)", "board house"}}},
		{"unknown unit", supply + "panels:\n  - {name: dome, drawing: dome.dxf, units: inhc}\n", []want{{"project-unknown-value", 3, 44, "inhc", "inch"}}},
	}
}

func TestBadFiles(t *testing.T) {
	for _, c := range badFiles() {
		t.Run(c.name, func(t *testing.T) {
			_, l := Read([]byte(c.src), "lampblack.yaml")
			lines := strings.Split(c.src, "\n")
			require.Len(t, l, len(c.want), "%+v", l)
			for i, w := range c.want {
				f := l[i]
				require.Equal(t, w.code, f.Code, f.Text)
				require.Equal(t, "lampblack.yaml", f.Place.File)
				if w.line > 0 {
					require.Equal(t, w.line, f.Place.Line, f.Text)
					require.Equal(t, lines[w.line-1], f.Place.Source)
				}
				if w.column > 0 {
					require.Equal(t, w.column, f.Place.Column, f.Text)
				}
				require.Contains(t, f.Text, w.text)
				require.Contains(t, f.Advice, w.advice)
				require.NotEmpty(t, f.Advice, "a finding says what to do")
			}
		})
	}
}

func TestEveryRuleHasAKey(t *testing.T) {
	for i, l := range board.Limits() {
		want, value := board.UsualRules(), 3.5
		if l.Most {
			value = 350
		}
		p, found := Read([]byte(fmt.Sprintf("supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: a.dxf}]\nrules: {%s: %g mm}\n", l.Name, value)), "p.yaml")
		require.NotContains(t, fmt.Sprint(found), "project-unknown-key")
		*l.Of(&want) = geom.MM(value)
		require.Equal(t, want, p.Rules, "%d %s", i, l.Name)
	}
}

// A class gives all limits, single ones stand over it in whichever order, and the margin's own key stays.
func TestFabricationClass(t *testing.T) {
	read := func(rules string) Project {
		p, found := Read([]byte("supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: a.dxf}]\n"+rules+"\n"), "p.yaml")
		require.Empty(t, found)
		return p
	}
	fine, _ := board.Class("fine")
	require.Equal(t, board.UsualClass, read("kerf: 0.2 mm").Class)
	require.Equal(t, fine, read("rules: {class: fine}").Rules)
	require.Equal(t, "fine", read("rules: {class: FINE}").Class)
	want := fine
	want.Track, want.Margin = geom.MM(0.18), geom.MM(2)
	require.Equal(t, want, read("rules: {thinnest_track: 0.18 mm, class: fine}\nmargin: 2 mm").Rules)
	require.Equal(t, want, read("margin: 2 mm\nrules: {class: fine, thinnest_track: 0.18 mm}").Rules)
	_, found := Read([]byte("panels: [{drawing: a.dxf}]\nrules: {class: finest}\n"), "p.yaml")
	require.Equal(t, "project-unknown-value", found[0].Code)
	require.Contains(t, found[0].Advice, "fine")
}

// Whatever a drawing's unit may be called, panels may call it, and panel's own advice uses such names.
func TestUnitsByAnyName(t *testing.T) {
	for word, want := range map[string]string{"in": "inch", "inch": "inch", "Inches": "inch", "mm": "mm", "millimetres": "mm", "thou": "mil", "µm": "um", "feet": "ft"} {
		p, l := Read([]byte("supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: a.dxf, units: "+word+"}]\n"), "p.yaml")
		require.Empty(t, l, word)
		require.Equal(t, want, p.Panels[0].Units, word)
	}
}

func TestUnitsAreThoseOfDrawings(t *testing.T) {
	for _, u := range Units() {
		_, ok := dxf.UnitNamed(u)
		require.True(t, ok, u)
	}
}

// What build assumes for bare drawings reads back as the same project.
func TestAssumedProjectReadsBack(t *testing.T) {
	for _, drawings := range [][]string{{"dome.dxf"}, {"my sketch (2).DXF", "sub/focus.dxf", "42.dxf", "on.dxf"}} {
		want, l := Bare(drawings)
		require.Empty(t, l)
		got, l := Read(want.YAML("."), "lampblack.yaml")
		require.Empty(t, l, string(want.YAML(".")))
		got.File, got.places, want.places = "", nil, nil
		require.Equal(t, want, got)
	}
}

func TestBareNamesTwice(t *testing.T) {
	_, l := Bare([]string{"a/dome.dxf", "b/Dome.dxf"})
	require.Len(t, l, 1)
	require.Equal(t, "project-same-name", l[0].Code)
	require.Equal(t, diag.Error, l[0].Severity)
}

func TestNameOf(t *testing.T) {
	for in, want := range map[string]string{
		"dome.dxf": "dome", "a/b/My Panel.v2.dxf": "My-Panel-v2", ".dxf": "panel", "com1.dxf": "panel-com1",
		"Kuppel-Öffnung.dxf": "Kuppel--ffnung", strings.Repeat("x", 100) + ".dxf": strings.Repeat("x", filename.Most),
	} {
		require.Equal(t, want, NameOf(in), in)
	}
}

// The YAML library's time must stay bearable at the size limit, whatever the text is made of.
func TestLargeFilesEnd(t *testing.T) {
	for _, unit := range []string{"- ", "a: ", "\"", "'", "|\n", "a:\n", "[", "{", "]", "- a\n", " ", "\n", "#", "&a ", "*a ", "!", "? ", ": ", "a\n", ",", "\t", "%", "---\n", "é", "a: b\n", " a\n", "\\"} {
		start := time.Now()
		Read([]byte(strings.Repeat(unit, maxBytes/len(unit))), "x.yaml")
		if d := time.Since(start); d > 20*time.Second {
			t.Errorf("%q repeated: %v", unit, d)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(desk))
	f.Add([]byte("panels: [{drawing: a.dxf}]"))
	f.Add([]byte("? {a: [b, *c]}\n: !!x &y z\n<<: *y"))
	f.Add([]byte("console: |\n  a\n  b\nsupply: >-\n x"))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, l := Read(src, "x.yaml")
		for _, d := range l {
			if d.Text == "" || d.Code == "" || d.Place.File != "x.yaml" {
				t.Fatalf("incomplete finding %+v", d)
			}
		}
		if l.HasErrors() {
			return
		}
		// Of a good project every panel has a name and a drawing, and stands in exactly one chain.
		n := 0
		for _, c := range p.Chains {
			n += len(c.Boards)
		}
		if n != len(p.Panels) {
			t.Fatalf("%d panels, %d of them in chains", len(p.Panels), n)
		}
		for _, q := range p.Panels {
			if q.Name == "" || q.Drawing == "" || !filename.Whole(q.Name) {
				t.Fatalf("panel %+v", q)
			}
		}
	})
}

// A finding's keys lead to the panel's own setting, else to the one for all, else to the nearest thing that is written.
func TestWhereKeysLead(t *testing.T) {
	p, l := Read([]byte(`supply: {volts: 12 V, amps: 2 A}
defaults:
  led: red-3mm
panels:
  - drawing: dome.dxf
    current: 6 mA
  - drawing: mount.dxf
`), FileName)
	require.False(t, l.HasErrors(), "%v", l)
	entry := func(name string) (int, bool) { i := slices.Index([]string{"dome", "mount"}, name); return i, i >= 0 }
	line := func(keys ...string) int { return p.Where(keys, entry).Line }
	require.Equal(t, 6, line("panels.dome.current", "defaults.current"))
	require.Equal(t, 3, line("panels.mount.led", "defaults.led"))
	require.Equal(t, 1, line("supply.resistance"), "the supply, as its resistance is not told")
	require.Equal(t, 7, line("panels.mount.wire", "feed.wire"), "told nowhere: at least which panel it is")
	require.Equal(t, 4, line("panels.guide.wire", "feed.wire"), "of no panel that there is: the panels")
	require.Equal(t, FileName, p.Where([]string{"feed.wire"}, entry).File)
}

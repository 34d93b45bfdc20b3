package project

import (
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
)

func set(at string, v any) diag.Change    { return diag.Change{At: at, Do: diag.Set, Value: v} }
func add(at string, v any) diag.Change    { return diag.Change{At: at, Do: diag.Add, Value: v} }
func remove(at string, v any) diag.Change { return diag.Change{At: at, Do: diag.Remove, Value: v} }

func TestEdited(t *testing.T) {
	const flow = "console: bench  # ours\npanels:\n  - {name: dome, drawing: dome.dxf}  # first\n  - {drawing: vent.dxf}\n"
	const block = "# head\nconsole: bench\n\npanels:\n  - name: dome   # the first\n    drawing: dome.dxf\n    roles:\n      led: circles 3 mm     # red ones\n      opening:\n        - circles 7 mm      # knobs\n        # and\n        - circles 12 mm\nchain: [dome]\n"
	for _, c := range []struct {
		name, text, want string
		change           diag.Change
	}{
		{"a value in place", flow, strings.Replace(flow, "bench ", "desk ", 1), set("console", "desk")},
		{"a text that wants quotes", flow, strings.Replace(flow, "bench ", `"desk: 2" `, 1), set("console", "desk: 2")},
		{"a key in braces", flow, strings.Replace(flow, "dome.dxf}", "dome.dxf, units: inch}", 1), set("panels.dome.units", "inch")},
		{"by the drawing's name", flow, strings.Replace(flow, "{drawing: vent.dxf}", "{drawing: vent.dxf, current: 6 mA}", 1), set("panels.vent.current", "6 mA")},
		{"missing parents in braces", flow, strings.Replace(flow, "dome.dxf}", "dome.dxf, roles: {opening: circles 16 mm}}", 1), add("panels.dome.roles.opening", "circles 16 mm")},
		{"a rule with a comma", flow, strings.Replace(flow, "dome.dxf}", `dome.dxf, roles: {opening: "circles 16 mm near 3,4"}}`, 1), add("panels.dome.roles.opening", "circles 16 mm near 3,4")},
		{"a name comes first", flow, strings.Replace(flow, "{drawing: vent", "{name: duct, drawing: vent", 1), set("panels.vent.name", "duct")},
		{"a panel", flow, flow + "  - {name: fan, drawing: fan.dxf}\n", add("panels", diag.Pairs{{Key: "name", Value: "fan"}, {Key: "drawing", Value: "fan.dxf"}})},
		{"a key at the end", flow, flow + "supply:\n  amps: 3 A\n", set("supply.amps", "3 A")},
		{"keys in one line", flow, strings.Replace(flow, "vent.dxf}", "vent.dxf, place: {count: 24}}", 1), set("panels.vent.place", diag.Pairs{{Key: "count", Value: 24.0}})},
		{"taken away with its braces", strings.Replace(flow, "dome.dxf}", "dome.dxf, roles: {led: rest}}", 1), flow, remove("panels.dome.roles.led", nil)},
		{"the same again", flow, flow, set("console", "bench")},
		{"nothing to take away", flow, flow, remove("panels.dome.roles.led", "rest")},
		{"a key's name", strings.Replace(block, "led:", "'LED' :", 1), strings.Replace(block, "led:", "led :", 1), diag.Change{At: "panels.dome.roles.LED", Do: diag.Rename, Value: "led"}},
		{"a key's name at the top", strings.Replace(flow, "console:", "consol:", 1), flow, diag.Change{At: "consol", Do: diag.Rename, Value: "console"}},
		{"a key's name in braces", strings.Replace(flow, "drawing: vent", "drawin: vent", 1), flow, diag.Change{At: "panels.1.drawin", Do: diag.Rename, Value: "drawing"}},

		{"one value becomes two", block, strings.Replace(block, "circles 3 mm ", "[circles 3 mm, circles 5 mm] ", 1), add("panels.dome.roles.led", "circles 5 mm")},
		{"behind a list", block, strings.Replace(block, "12 mm\n", "12 mm\n        - circles 16 mm\n", 1), add("panels.dome.roles.opening", "circles 16 mm")},
		{"a key below keys", block, strings.Replace(block, "12 mm\n", "12 mm\n      ignore: rest\n", 1), set("panels.dome.roles.ignore", "rest")},
		{"an entry, its comment stays", block, strings.Replace(block, "        - circles 7 mm      # knobs\n", "        # knobs\n", 1), remove("panels.dome.roles.opening", "circles 7 mm")},
		{"a key, its comment stays", block, strings.Replace(block, "      led: circles 3 mm     # red ones\n", "      # red ones\n", 1), remove("panels.dome.roles.led", nil)},
		{"a list for one value", block, strings.Replace(block, "      opening:\n        - circles 7 mm      # knobs\n        # and\n        - circles 12 mm\n", "      opening: rest\n      # knobs\n      # and\n", 1), set("panels.dome.roles.opening", "rest")},
	} {
		t.Run(c.name, func(t *testing.T) {
			changes := []diag.Change{c.change}
			want := c.want
			for _, how := range []func(string) string{
				func(s string) string { return s },
				func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
				func(s string) string { return mark + s },
			} {
				out, err := Edited([]byte(how(c.text)), FileName, changes)
				require.NoError(t, err)
				require.Equal(t, how(want), string(out))
			}
		})
	}
	// What is right only together is judged together: a new panel, and its place in the chain.
	fan := diag.Pairs{{Key: "name", Value: "fan"}, {Key: "drawing", Value: "fan.dxf"}}
	out, err := Edited([]byte(block), FileName, []diag.Change{add("panels", fan), add("chain", "fan")})
	require.NoError(t, err)
	require.Equal(t, strings.Replace(block, "chain: [dome]", "  - name: fan\n    drawing: fan.dxf\nchain: [dome, fan]", 1), string(out))
	_, err = Edited([]byte(block), FileName, []diag.Change{add("panels", fan)})
	require.ErrorContains(t, err, "panel fan is in no chain")
}

// What would not read is refused in words, and what is no key is too.
func TestEditedRefuses(t *testing.T) {
	const text = "console: bench\npanels: [{name: dome, drawing: dome.dxf}]\n"
	for want, c := range map[string]diag.Change{
		"current of panel dome": set("panels.dome.current", "8 km"),
		"unknown key":           set("panels.dome.curent", "8 mA"),
		`no "fan" among`:        set("panels.fan.current", "8 mA"),
		"has one value":         set("console.name", "x"),
		"has no panels":         remove("panels", nil),
		"names no key":          set("", "x"),
		"no such key":           {At: "consul", Do: diag.Rename, Value: "console"},
		"is there already":      {At: "console", Do: diag.Rename, Value: "panels"},
		"no name of its own":    {At: "panels.0", Do: diag.Rename, Value: "x"},
	} {
		_, err := Edited([]byte(text), FileName, []diag.Change{c})
		require.ErrorContains(t, err, want)
	}
	_, err := Edited([]byte("console: [\n"), FileName, []diag.Change{set("console", "x")})
	require.ErrorContains(t, err, "cannot be read")
	// A file with an error of its own can be changed all the same.
	out, err := Edited([]byte("consol: bench\npanels: [{drawing: dome.dxf}]\n"), FileName, []diag.Change{set("panels.dome.units", "inch")})
	require.NoError(t, err)
	require.Equal(t, "consol: bench\npanels: [{drawing: dome.dxf, units: inch}]\n", string(out))
}

// oddFiles are projects written as people write them.
func oddFiles(t testing.TB) []string {
	var out []string
	for _, name := range []string{"observatory", "greenhouse"} {
		b, err := os.ReadFile("../../../../examples/" + name + "/lampblack.yaml")
		require.NoError(t, err)
		out = append(out, string(b), strings.ReplaceAll(string(b), "\n", "\r\n"), strings.TrimRight(string(b), "\n"))
	}
	return append(out,
		"# one\n---\n# two\nconsole: 'it''s # ours'   # three\t#\n\n# four\npanels: # five\n# six\n- name: dome # seven\n  # eight\n  drawing: dome.dxf\n\n  # nine\n- {drawing: 'a b.dxf' , name: vent, } # ten\n# eleven",
		"panels: [ # a\n  {name: dome, # b\n   drawing: dome.dxf, # c\n   roles: {led: [circles 3 mm, # d\n     circles 5 mm]}, # e\n  }, # f\n]\n# g\n",
		"panels:\n  -\n    name: dome\n    drawing: >-\n      dome.dxf\n    # tail\n    roles:\n        led:\n        - circles 3 mm\n        -   circles 5 mm # x\nchain:\n- dome\n",
		"{console: \"b\\u00e4nk #1\", panels: [{drawing: \"d\u00f6me.dxf\", name: dome, units: mm}]} # ende\n",
	)
}

// Random edits of odd files: whatever is accepted reads as the same tree but for the change, with all comments.
func TestEditedKeepsAllElse(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	values := map[string][]any{
		"console": {"desk", "a: b", `say "so"`, "10"}, "supply.amps": {"3 A"}, "supply.volts": {"11.1 V .. 12.6 V"}, "defaults.current": {"6 mA", "9 mA"}, "kerf": {"0.15 mm"},
		"panels.%s.units": {"inch", "mm"}, "panels.%s.current": {"7 mA"}, "panels.%s.roles.led": {"circles 3 mm", "circles 5 mm near 3,4"}, "panels.%s.roles.opening": {"rest", "layer CUT: A"},
		"panels.%s.place": {diag.Pairs{{Key: "count", Value: "24"}}}, "panels.%s.layers.outline": {"FRAME"}, "stack.measured.face": {"3 mm"}, "defaults.resistor.package": {"1206"}, "panels.%s.join": {"0.5 mm"},
	}
	var keys []string
	for k := range values {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	done, refused := 0, 0
	for _, file := range oddFiles(t) {
		for range 1 {
			text := []byte(file)
			for range 4 {
				p, _ := Read(text, FileName)
				k := keys[rng.IntN(len(keys))]
				at := k
				if strings.Contains(k, "%s") && len(p.Panels) > 0 {
					at = fmt.Sprintf(k, p.Panels[rng.IntN(len(p.Panels))].Name)
				}
				c := diag.Change{At: at, Do: diag.Doing(rng.IntN(3)), Value: values[k][rng.IntN(len(values[k]))]}
				if c.Do == diag.Remove && rng.IntN(2) == 0 {
					c.Value = nil
				}
				out, err := Edited(text, FileName, []diag.Change{c})
				if err != nil {
					refused++
					continue
				}
				done++
				require.Equal(t, commentsOf(string(text)), commentsOf(string(out)), "%v\n%s\n%s", c, text, out)
				require.Equal(t, strings.Contains(string(text), "\r\n"), strings.Contains(string(out), "\r\n"))
				now, l := Read(out, FileName)
				require.False(t, l.HasErrors(), "%v: %v", c, l)
				before, _ := Read(text, FileName)
				require.Equal(t, others(before, at), others(now, at), "%v\n%s", c, out)
				text = out
			}
		}
	}
	t.Logf("%d done, %d refused", done, refused)
	require.Greater(t, done, 4*refused, "few are refused")
}

// commentsOf finds comments by a way of its own: what stands behind " #" or at the head of a line, outside quotes that end on it.
func commentsOf(text string) []string {
	var out []string
	for line := range strings.Lines(text) {
		quote := byte(0)
		for i := range len(line) {
			c := line[i]
			switch {
			case quote != 0:
				if c == quote && line[i+1] != quote && line[i-1] != quote { // two of them are one letter
					quote = 0
				}
			case (c == '"' || c == '\'') && (i == 0 || strings.ContainsRune(" [{,:", rune(line[i-1]))):
				quote = c
			case c == '#' && (i == 0 || line[i-1] == ' ' || line[i-1] == '\t'):
				out = append(out, strings.TrimSpace(line[i:]))
			default:
				continue
			}
			if n := len(out); n > 0 && c == '#' && quote == 0 && strings.HasSuffix(strings.TrimSpace(line), out[n-1]) {
				break
			}
		}
	}
	return out
}

// others is a project without what a path names: its first step, or of a panel its third.
func others(p Project, at string) any {
	words := strings.Split(at, ".")
	p.places, p.File = nil, ""
	v := reflect.ValueOf(&p).Elem()
	switch words[0] {
	case "panels":
		p.Panels = slices.Clone(p.Panels)
		for i := range p.Panels {
			if q := &p.Panels[i]; strings.EqualFold(q.Name, words[1]) {
				*q = Panel{Name: q.Name, Drawing: q.Drawing}
			}
		}
	case "console":
		p.Console = ""
	case "supply":
		p.Supply = Supply{}
	case "defaults", "kerf", "stack":
		p.Defaults, p.Kerf = Defaults{}, 0
		for i := range p.Panels {
			p.Panels[i].Mounting = Mounting{}
		}
		for _, name := range []string{"Stack", "Thick"} {
			v.FieldByName(name).SetZero()
		}
	}
	return p
}

func FuzzEdited(f *testing.F) {
	for _, s := range oddFiles(f) {
		f.Add(s, "panels.dome.roles.led", "circles 3 mm", uint8(1))
		f.Add(s, "console", "x", uint8(0))
		f.Add(s, "panels.0.drawing", "", uint8(2))
	}
	f.Fuzz(func(t *testing.T, text, at, value string, do uint8) {
		c := diag.Change{At: at, Do: diag.Doing(do % 4), Value: value}
		if value == "" && c.Do == diag.Remove {
			c.Value = nil
		}
		out, err := Edited([]byte(text), FileName, []diag.Change{c})
		if err != nil {
			return
		}
		_, before := Read([]byte(text), FileName)
		_, after := Read(out, FileName)
		if w := worse(before, after); w != nil {
			t.Fatalf("%q: %v: %s", out, c, w.Text)
		}
	})
}

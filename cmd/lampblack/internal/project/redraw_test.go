package project

import (
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"
)

// The drawing of a panel is changed however it is written; the rest of the file stays, byte by byte.
func TestRedrawn(t *testing.T) {
	const head = "supply: {volts: 12 V, amps: 2 A}\n"
	for _, c := range []struct{ name, src, drawing, want string }{
		{"plain", "panels:\n  - name: a\n    drawing: a.dxf   # the face\n", "a-relit.dxf", "panels:\n  - name: a\n    drawing: a-relit.dxf   # the face\n"},
		{"double quotes", "panels: [{name: a, drawing: \"my a.dxf\"}] # x\n", "my a-relit.dxf", "panels: [{name: a, drawing: \"my a-relit.dxf\"}] # x\n"},
		{"single quotes", "panels: [{'name': a, 'drawing' : 'o''clock.dxf'}]\n", "o'clock-relit.dxf", "panels: [{'name': a, 'drawing' : 'o''clock-relit.dxf'}]\n"},
		{"as JSON", "\"panels\": [{\"name\":\"a\",\"drawing\":\"a.dxf\"}]\n", "a-2.dxf", "\"panels\": [{\"name\":\"a\",\"drawing\":\"a-2.dxf\"}]\n"},
		{"with blanks", "panels:\n- name: a\n  drawing: my a.dxf\n", "my a-relit.dxf", "panels:\n- name: a\n  drawing: my a-relit.dxf\n"},
		{"on the next line", "panels:\n- name: a\n  drawing:   # here:\n    a.dxf\n", "b.dxf", "panels:\n- name: a\n  drawing:   # here:\n    b.dxf\n"},
		{"folded", "panels:\n- name: a\n  drawing: >-\n    a.dxf\n", "b.dxf", "panels:\n- name: a\n  drawing: >-\n    b.dxf\n"},
		{"over lines", "panels:\n- {name: a,\n   drawing:\n    \"a.dxf\"}\n", "b.dxf", "panels:\n- {name: a,\n   drawing:\n    \"b.dxf\"}\n"},
		{"lines of Windows", "panels:\r\n  - name: a\r\n    drawing: a.dxf\r\n", "b.dxf", "panels:\r\n  - name: a\r\n    drawing: b.dxf\r\n"},
		{"escapes", "panels: [{name: a, drawing: \"\\u00e4.dxf\"}]\n", "ä-relit.dxf", "panels: [{name: a, drawing: \"ä-relit.dxf\"}]\n"},
		{"a comment like it", "# drawing: a.dxf\npanels:\n  # drawing: a.dxf\n  - {name: a, drawing: a.dxf}\n", "b.dxf", "# drawing: a.dxf\npanels:\n  # drawing: a.dxf\n  - {name: a, drawing: b.dxf}\n"},
		{"another panel of that drawing", "panels:\n  - {name: b, drawing: a.dxf}\n  - {name: a, drawing: a.dxf}\n", "b.dxf", "panels:\n  - {name: b, drawing: a.dxf}\n  - {name: a, drawing: b.dxf}\n"},
		{"needs quotes now", "panels: [{name: a, drawing: a.dxf}]\n", "a, b.dxf", "panels: [{name: a, drawing: \"a, b.dxf\"}]\n"},
		{"a name that came from the drawing", "chain: [a]\npanels:\r\n  - drawing: a.dxf\r\n    led: red-3mm\n", "a-relit.dxf", "chain: [a]\npanels:\r\n  - name: a\r\n    drawing: a-relit.dxf\r\n    led: red-3mm\n"},
		{"such a name in braces", "panels: [{led: red-3mm, drawing: a.dxf}]\n", "a-relit.dxf", "panels: [{led: red-3mm, name: a, drawing: a-relit.dxf}]\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, l := Read([]byte(head+c.src), "x.yaml")
			require.Empty(t, l)
			i := len(p.Panels) - 1
			got, ok := Redrawn([]byte(head+c.src), "x.yaml", i, c.drawing)
			require.True(t, ok)
			require.Equal(t, head+c.want, string(got))
			q, l := Read(got, "x.yaml")
			require.Empty(t, l)
			require.Equal(t, c.drawing, q.Panels[i].Drawing)
			require.Equal(t, p.Panels[i].Name, q.Panels[i].Name)
		})
	}
}

func TestRedrawnRefuses(t *testing.T) {
	const src = "supply: {volts: 12 V, amps: 2 A}\npanels: [{name: a, drawing: a.dxf}]\n"
	for _, i := range []int{-1, 1} {
		_, ok := Redrawn([]byte(src), "x.yaml", i, "b.dxf")
		require.False(t, ok)
	}
	_, ok := Redrawn([]byte(src+"oops: 1\n"), "x.yaml", 0, "b.dxf")
	require.False(t, ok)
}

// A byte order mark and the encoding that it tells stay.
func TestRedrawnKeepsEncoding(t *testing.T) {
	const src = "supply: {volts: 12 V, amps: 2 A}\r\npanels:\r\n  - {name: a, drawing: a.dxf} # ä\r\n"
	want := strings.Replace(src, "a.dxf", "b.dxf", 1)
	wide := func(text string, big bool) []byte {
		var out []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + text)) {
			if big {
				out = append(out, byte(u>>8), byte(u))
			} else {
				out = append(out, byte(u), byte(u>>8))
			}
		}
		return out
	}
	for name, c := range map[string][2][]byte{
		"UTF-8 with a mark":     {[]byte("\ufeff" + src), []byte("\ufeff" + want)},
		"UTF-16, low end first": {wide(src, false), wide(want, false)},
		"UTF-16, big end first": {wide(src, true), wide(want, true)},
	} {
		text, encode := decoded(c[0])
		require.Equal(t, c[0], encode(text), name)
		got, ok := Redrawn(c[0], "x.yaml", 0, "b.dxf")
		require.True(t, ok, name)
		require.Equal(t, string(c[1]), string(got), name)
	}
}

// What is offered for more drawings makes them panels of the project.
func TestAdding(t *testing.T) {
	const head = "supply: {volts: 12 V, amps: 2 A}\n"
	p, l := Read([]byte(head+"chain: [a]\npanels:\n  - {drawing: a.dxf}\n"), "desk/lampblack.yaml")
	require.Empty(t, l)
	require.Equal(t, []string{
		"panels:  # below those that are there",
		"  - {name: my-b, drawing: \"my b.dxf\"}",
		"  - {name: c, drawing: ../c.dxf}",
		"chain: [a, my-b, c]",
	}, p.Adding([]string{"desk/my b.dxf", "c.dxf"}))
	q, l := Read([]byte(head+"chain: [a, my-b, c]\npanels:\n  - {drawing: a.dxf}\n  - {name: my-b, drawing: \"my b.dxf\"}\n  - {name: c, drawing: ../c.dxf}\n"), "desk/lampblack.yaml")
	require.Empty(t, l)
	require.Len(t, q.Panels, 3)

	p, l = Read([]byte(head+"panels:\n  - {drawing: a.dxf}\n"), "lampblack.yaml")
	require.Empty(t, l)
	require.Equal(t, []string{"panels:  # below those that are there", "  - {name: b, drawing: b.dxf}"}, p.Adding([]string{"b.dxf"}))
}

package project

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A key at a wrong place is told where it belongs, one that is misspelt too.
func TestKeysElsewhere(t *testing.T) {
	const supply, panel = "supply: {volts: 12 V, amps: 2 A}\n", "panels:\n  - {name: dome, drawing: dome.dxf"
	for _, c := range []struct{ src, code, text, advice string }{
		{supply + panel + "}\nled: red-3mm\n", "project-misplaced-key", "the key led has no place at the top of the file", "led belongs under defaults, or in an entry of panels; or did you mean leds?"},
		{supply + panel + "}\nvolts: 12 V\n", "project-misplaced-key", "", "volts belongs under supply"},
		{supply + panel + ", console: Desk}\n", "project-misplaced-key", "the key console has no place in panel dome", "console belongs at the top of the file"},
		{supply + panel + "}\nchemistry: lead-acid\n", "project-misplaced-key", "", "chemistry belongs under supply.battery"},
		{"supply: {volts: 12 V, amps: 2 A, temperature: 20 C}\n" + panel + "}\n", "project-misplaced-key", "the key temperature has no place under supply", "temperature belongs under feed, or at the top of the file"},
		{supply + panel + "}\noutline: FRAME\n", "project-misplaced-key", "", "outline belongs under layers in an entry of panels, or under roles in an entry of panels"},
		{supply + panel + "}\nbatery: {}\n", "project-unknown-key", `unknown key "batery"`, "did you mean battery? It belongs under supply"},
		{supply + panel + "}\nzebra: 1\n", "project-unknown-key", "", "use one of: console, supply"},
		{supply + panel + ", supply: {}}\n", "project-misplaced-key", "", "supply belongs at the top of the file"},
	} {
		_, l := Read([]byte(c.src), "p.yaml")
		require.Len(t, l, 1, c.src)
		require.Equal(t, c.code, l[0].Code, c.src)
		require.Contains(t, l[0].Text, c.text)
		require.Contains(t, l[0].Advice, c.advice)
	}
}

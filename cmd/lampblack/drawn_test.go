package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawnAs is a drawing with texts and lines of a style, as group codes and values in turn: none is plain.
func drawnAs(textStyle, lineStyle, more string) []byte {
	var b strings.Builder
	pairs := func(s string) {
		f := strings.Fields(s)
		for i := 0; i+1 < len(f); i += 2 {
			fmt.Fprintf(&b, "%3s\n%s\n", f[i], f[i+1])
		}
	}
	pairs("0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 9 $INSUNITS 70 4 0 ENDSEC")
	pairs("0 SECTION 2 TABLES 0 TABLE 2 STYLE 70 1 0 STYLE 2 FANCY 70 0 40 0 41 1 50 20 71 0 3 fancy.ttf 0 ENDTAB")
	pairs("0 TABLE 2 LAYER 70 1 0 LAYER 2 FROZEN 70 1 62 7 6 CONTINUOUS 0 ENDTAB 0 ENDSEC 0 SECTION 2 ENTITIES")
	pairs("0 LWPOLYLINE 8 OUTLINE 90 4 70 1 10 0 20 0 10 90 20 0 10 90 20 50 10 0 20 50")
	pairs("0 CIRCLE 8 LED 10 20 20 40 40 1.5 0 CIRCLE 8 LED 10 45 20 40 40 1.5 0 CIRCLE 8 MOUNT 10 6 20 6 40 1.6")
	pairs("0 TEXT 8 LETTERING 10 20 20 30 40 5 1 MIST " + textStyle)
	pairs("0 LINE 8 LETTERING 10 60 20 40 11 80 21 40 " + lineStyle)
	pairs("0 LWPOLYLINE 8 LETTERING 90 2 70 0 10 60 20 35 10 80 20 35")
	pairs(more + " 0 ENDSEC 0 EOF")
	return []byte(b.String())
}

// As README.md says of what comes out otherwise than drawn: fonts that nobody gives, line types and colours mean nothing; what is
// left out is told. Slant and the widths of lines are as drawn.
func TestDrawnOtherwise(t *testing.T) {
	t.Chdir(t.TempDir())
	build := func(name string, src []byte) (face, all []byte, told string) {
		require.NoError(t, os.MkdirAll(name, 0o777))
		require.NoError(t, os.WriteFile(name+"/vents.dxf", src, 0o666))
		require.NoError(t, os.WriteFile(name+"/lampblack.yaml", []byte("supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: vents.dxf}]\n"), 0o666))
		var out, errw bytes.Buffer
		require.Zero(t, run([]string{"build", "--all", name}, nil, &out, &errw), errw.String())
		face, err := os.ReadFile(name + "/out/vents/sheet-face.svg")
		require.NoError(t, err)
		all, err = os.ReadFile(name + "/out/parts.csv")
		require.NoError(t, err)
		return face, all, errw.String()
	}
	plain, list, _ := build("plain", drawnAs("", "", ""))
	styled, _, told := build("styled", drawnAs("7 FANCY", "6 DASHED 62 1",
		"0 DIMENSION 8 DIMS 10 0 20 -5 13 0 23 0 14 90 24 0 70 0 1 90 0 POINT 8 LETTERING 10 5 20 5 0 XLINE 8 LETTERING 10 0 20 0 11 1 21 1 "+
			"0 LINE 8 FROZEN 10 1 20 1 11 5 21 5 0 LINE 8 LETTERING 67 1 10 1 20 1 11 5 21 5"))
	require.Equal(t, string(plain), string(styled), "the same is engraved")
	for _, left := range []string{"1 POINT", "1 DIMENSION", "1 XLINE", "dxf-hidden"} {
		require.Contains(t, told, left)
	}
	slanted, _, _ := build("slanted", drawnAs("51 20", "", ""))
	require.NotEqual(t, string(plain), string(slanted))
	wide, _, _ := build("wide", drawnAs("", "370 100", ""))
	require.NotEqual(t, string(plain), string(wide), "1 mm wide, not 0.3")
	// The list of parts is of all that is bought: what is soldered to the boards, what holds and feeds them, and the sheets.
	for _, l := range rows(t, string(list))[1:] {
		require.Contains(t, []string{"LED", "resistor", "connector", "screw", "washer", "nut", "spacer", "fuse", "fuse holder", "switch", "ferrule", "wire",
			"acrylic, face", "acrylic, diffuser", "acrylic, LED sheet"}, l[1])
	}
	// A letter that the typeface lacks.
	_, _, told = build("lacking", bytes.Replace(drawnAs("", "", ""), []byte("MIST"), []byte("M天T"), 1))
	require.Contains(t, told, "sheet-letter-unknown")
}

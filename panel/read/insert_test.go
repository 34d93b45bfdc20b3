package read

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/geom"
)

// TestSmallerSheetsBesideTheFace: a diffuser and an LED sheet that are both smaller than the face beside which they are drawn, of
// one size or of two, are one panel with it, and what is cut in them lies where the face has it.
func TestSmallerSheetsBesideTheFace(t *testing.T) {
	var face strings.Builder
	face.WriteString("0 rect 0 0 160 90\n0 text 20 12 4 VENT\n")
	for _, at := range []string{"5 5", "155 5", "5 85", "155 85"} {
		fmt.Fprintf(&face, "0 circle %s 3.4\n", at)
	}
	for i := range 5 {
		fmt.Fprintf(&face, "0 circle %d 30 9.5\n", 30+23*i)
	}
	sheet := func(x, in, cuts, leds int, name string) string { // as if it lay within the face, moved by x
		var s strings.Builder
		fmt.Fprintf(&s, "0 rect %d %d %d %d\n0 text %d %d 5 %s\n", x+in, in, x+160-in, 90-in, x+in, in-9, name)
		for i := range cuts {
			fmt.Fprintf(&s, "0 circle %d 30 9.5\n", x+30+23*i)
		}
		for i := range leds {
			fmt.Fprintf(&s, "0 circle %d 65 3\n", x+31+11*i)
		}
		return s.String()
	}
	for name, sheets := range map[string]string{
		"of one size":               sheet(200, 9, 5, 0, "Diffuser") + sheet(400, 9, 5, 5, "LED-sheet"),
		"of two":                    sheet(200, 9, 5, 0, "Diffuser") + sheet(400, 14, 5, 5, "LED-sheet"),
		"the least like the face's": sheet(200, 9, 2, 0, "Diffuser") + sheet(400, 14, 5, 5, "LED-sheet"),
	} {
		for _, as := range []Sheets{SheetsJudged, SheetsTogether} {
			ps, l := Panels(t.Context(), drawn(t, face.String()+sheets), Options{Sheets: as})
			require.Len(t, ps, 1, "%s: %v", name, l)
			p := ps[0]
			require.Equal(t, geom.MM(160), p.Outline.Box().W(), name)
			require.Len(t, p.Openings, 5, name)
			require.Len(t, p.Mounts, 4, name)
			require.Len(t, p.LEDs, 5, name)
			for i, h := range p.LEDs {
				require.Equal(t, geom.PtMM(float64(31+11*i), 65), h.At, name)
			}
		}
	}
	// Where nothing tells how an LED sheet is seen, that is asked, and once.
	for name, sheets := range map[string]string{
		"of one size":              sheet(200, 9, 5, 0, "Diffuser") + sheet(400, 9, 0, 5, "LED-sheet"),
		"of two":                   sheet(200, 9, 5, 0, "Diffuser") + sheet(400, 14, 0, 5, "LED-sheet"),
		"one as large as the face": sheet(200, 0, 0, 5, "LED-sheet") + sheet(400, 9, 5, 0, "Diffuser"),
	} {
		_, l := Panels(t.Context(), drawn(t, face.String()+sheets), Options{Sheets: SheetsJudged})
		asked := 0
		for _, f := range l {
			if f.Code == "panel-question" && strings.Contains(f.Text, "seen from behind") {
				asked++
			}
		}
		require.Equal(t, 1, asked, "%s: %v", name, l)
	}
}

package project

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/nest"
	"lampblack/panel/geom"
)

func TestStock(t *testing.T) {
	const head = "supply: {volts: 12 V, amps: 2 A}\npanels: [{drawing: a.dxf}]\n"
	schema := compiled(t)
	p, l := Read([]byte(head), "x.yaml")
	require.Empty(t, l)
	require.Zero(t, p.Stock.Face.Size, "no stock is told")

	src := head + "stock:\n  face: 600 x 400 mm\n  diffuser: {size: 24 x 18.5 in, turns: half}\n  led_sheet: 60 cm × 400\n  gap: 3\n"
	p, l = Read([]byte(src), "x.yaml")
	require.Empty(t, l)
	require.NoError(t, judged(schema, src))
	require.Equal(t, Stockpiled{Size{geom.MM(600), geom.MM(400)}, nest.AnyQuarter}, p.Stock.Face)
	require.Equal(t, Stockpiled{Size{geom.MM(609.6), geom.MM(469.9)}, nest.HalfTurns}, p.Stock.Diffuser)
	require.Equal(t, Size{geom.MM(600), geom.MM(400)}, p.Stock.LED.Size, "a number alone is in mm")
	require.Equal(t, nest.Stock{W: geom.MM(600), H: geom.MM(400), Gap: geom.MM(3), Edge: geom.MM(3)}, p.Stock.Of(p.Stock.Face), "as far from the edge as from each other")

	for bad, want := range map[string]string{
		"face: 600 mm": "write width and height, as 600 x 400 mm", "face: 600 x 400 x 3 mm": "width and height", "face: 10 x 400 mm": "less than 20 mm",
		"face: 3000 x 2000 mm": "more than 2000 mm", "face: 600 x 400 kg": "600 x 400 mm", "gap: 0.1 mm": "less than 0.5 mm",
		"led_sheet: {turns: half}": "needs size", "led_sheet: {size: 600 x 400 mm, turns: quarter}": "any, half", "led: 600 x 400 mm": "no place under stock",
	} {
		src := head + "stock: {" + bad + "}\n"
		_, l = Read([]byte(src), "x.yaml")
		require.True(t, l.HasErrors(), bad)
		require.Equal(t, 3, l[0].Place.Line, bad)
		require.Contains(t, l[0].Text+" "+l[0].Advice, want, bad)
		if bad != "face: 10 x 400 mm" { // the schema knows no least size
			require.Error(t, judged(schema, src), bad)
		}
	}
}

package picture

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/led"
	"lampblack/led/design"
	"lampblack/led/part"
	"lampblack/panel"
	"lampblack/panel/geom"
)

// console returns a circuit of five boards: a chain fed at both ends, a branch, a chain of its own.
func console(t *testing.T) led.Circuit {
	t.Helper()
	var panels []panel.Panel
	for i, name := range []string{"mount", "dome", "focus", "weather", "flat-lamp"} {
		p := panel.Panel{Name: name}
		for j := range 8 + 4*i {
			p.LEDs = append(p.LEDs, panel.Hole{At: geom.PtMM(float64(j)*10, 10), D: geom.MM(3)})
		}
		panels = append(panels, p)
	}
	panels[1].LEDs[3].Kind = "amber-3mm"
	req := led.Usual()
	req.Wire = part.MetricWire(0.75)
	req.Others = []led.Load{{Name: "dew heater", Amps: 0.6}, {Name: "camera", Watts: 6}}
	req.Groups = []led.Dimmed{{Name: "alarm", Kinds: []string{"amber-3mm"}, Duty: 0.4}}
	req.Chains = []led.Run{
		{Panels: []string{"mount", "dome", "focus"}, BothEnds: true, BackLength: geom.MM(900)},
		{Panels: []string{"weather"}, From: "mount"},
		{Panels: []string{"flat-lamp"}},
	}
	c, l := design.Circuit(panels, req)
	require.False(t, l.HasErrors(), "%v", l)
	return c
}

func TestWiring(t *testing.T) {
	c := console(t)
	svg := Wiring(c, "Ridge desk <&>")
	if out := os.Getenv("WIRING_OUT"); out != "" {
		require.NoError(t, os.WriteFile(out, svg, 0o644))
	}
	require.Equal(t, svg, Wiring(c, "Ridge desk <&>"))
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	var said []string
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if e, ok := tok.(xml.StartElement); ok {
			for _, a := range e.Attr {
				if a.Name.Local == "aria-label" {
					said = append(said, a.Value)
				}
			}
		}
	}
	// Every board and every piece of feed is there, with what the circuit says of it.
	for _, chain := range c.Tables().Chains {
		for _, s := range chain.Segments {
			require.Contains(t, said, s.Panel)
			require.Contains(t, said, s.Volts.String())
			require.Contains(t, said, s.Wire+", "+s.Length.String())
			require.Contains(t, said, carried(s))
		}
	}
	require.Contains(t, strings.Join(said, "\n"), "mA from behind (")
	all := strings.Join(said, "\n")
	for _, want := range []string{"12 V", "dew heater 600 mA", "1 V+, 2 V+.alarm, 3 0 V", "back to the start: 0.75 mm2, 900", "The supply of 2 A"} {
		require.Contains(t, all, want)
	}
	require.NotEmpty(t, Wiring(led.Circuit{}, "")) // of nothing: no crash
}

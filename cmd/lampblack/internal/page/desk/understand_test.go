package desk_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/desk"
)

// yaml is a project of one panel.
const yaml = "console: bench\npanels:\n  - {name: vent, drawing: vent.dxf}\n"

// vent is a panel of 120 x 80 mm with everything on layer 0: four screws, a knob, LEDs, a word.
func vent() []byte {
	all := []string{rect("0", 0, 0, 120, 80), circle("0", 5, 5, 3.2), circle("0", 115, 5, 3.2), circle("0", 115, 75, 3.2), circle("0", 5, 75, 3.2),
		circle("0", 60, 40, 7.2), text("0", 50, 60, 5, "VENT")}
	for i := range 6 {
		all = append(all, circle("0", 35+10*float64(i), 20, 16))
	}
	return dxf(all...)
}

func (p *page) understood() desk.Understood {
	var u desk.Understood
	p.ask("understand", nil, &u)
	return u
}

func things(u desk.Understood, what string) []desk.Thing {
	var out []desk.Thing
	for _, r := range u.Readings {
		for _, t := range r.Things {
			if t.What == what {
				out = append(out, t)
			}
		}
	}
	return out
}

func TestUnderstand(t *testing.T) {
	p := newPage(t)
	p.lay("lampblack.yaml", []byte(yaml))
	p.lay("vent.dxf", vent())
	u := p.understood()
	require.Equal(t, "bench", u.Console)
	require.Len(t, u.Readings, 1)
	r := u.Readings[0]
	require.Equal(t, "vent", r.Name)
	require.Equal(t, "vent.dxf", r.Drawing)
	require.Equal(t, "mm", r.Units.Name)
	require.InDelta(t, 0.1, r.JoinMM, 1e-9, "the usual gap")
	require.Equal(t, [4]float64{0, 0, 120, 80}, r.Extents)
	require.Len(t, r.Things, 13, "12 closed lines and a text")
	edge := r.Things[0]
	require.Equal(t, "closed line of 120 x 80 mm", edge.What)
	require.Equal(t, "outline", edge.Role)
	require.Equal(t, "M0 0L120 0L120 80L0 80Z", edge.D)
	knob := things(u, "circle of 7.2 mm")
	require.Len(t, knob, 1)
	require.Equal(t, [4]float64{56.4, 36.4, 63.6, 43.6}, knob[0].Box)
	// Two half circles, each counter-clockwise: y is up.
	require.Equal(t, "M56.4 40A3.6 3.6 0 0 1 63.6 40A3.6 3.6 0 0 1 56.4 40Z", knob[0].D)
	require.Len(t, things(u, "circle of 3.2 mm"), 4)
	word := things(u, `text "VENT"`)
	require.Len(t, word, 1)
	require.Equal(t, "VENT", word[0].Text)
	require.Equal(t, "lettering", word[0].Role)
	require.InDelta(t, 50, word[0].Box[0], 2)
	require.InDelta(t, 65, word[0].Box[3], 0.5, "capitals 5 mm high from 60 on")
	require.NotEmpty(t, r.Groups)
	for i, g := range r.Groups {
		require.NotEmpty(t, g.Things)
		require.NotEmpty(t, g.Why, g.Words)
		for _, k := range r.Things {
			if k.Group != nil && *k.Group == i {
				require.Contains(t, g.Things, k.ID)
				require.Equal(t, g.Role, k.Role)
			}
		}
	}
	require.Len(t, r.Panels, 1)
	require.Equal(t, [4]float64{0, 0, 120, 80}, r.Panels[0].Box)
	require.NotEmpty(t, r.Panels[0].Lettering)
	seen := map[string]bool{}
	for _, f := range u.Findings {
		require.False(t, seen[f.ID], "two findings %s", f.ID)
		seen[f.ID] = true
	}
	roles := map[string]bool{}
	for _, x := range u.Roles {
		roles[x.Role] = true
	}
	for _, k := range r.Things {
		require.True(t, k.Role == "" || roles[k.Role], k.Role)
	}
}

// Ids are a thing's own: they stay when a rule gives it another role, and when something else is drawn.
func TestUnderstandIDsStay(t *testing.T) {
	p := newPage(t)
	p.lay("lampblack.yaml", []byte(yaml))
	p.lay("vent.dxf", vent())
	ids := func() map[string]string {
		out := map[string]string{}
		for _, k := range p.understood().Readings[0].Things {
			out[k.ID] = fmt.Sprint(k.What, k.Box)
		}
		return out
	}
	before := ids()
	require.Len(t, before, 13)
	p.lay("lampblack.yaml", []byte("console: bench\npanels:\n  - {name: vent, drawing: vent.dxf, roles: {led: circles 3.2 mm, ignore: rest}}\n"))
	require.Equal(t, before, ids())
}

func TestUnderstandExamples(t *testing.T) {
	for name, entries := range map[string]int{"observatory": 6, "greenhouse": 5} {
		u := newPage(t).example(name).understood()
		require.Len(t, u.Readings, entries)
		for _, r := range u.Readings {
			require.NotEmpty(t, r.Things, r.Name)
			require.NotEmpty(t, r.Panels, r.Name)
			require.NotEmpty(t, r.Panels[0].Lettering, r.Name)
			ids := map[string]bool{}
			for _, k := range r.Things {
				require.False(t, ids[k.ID])
				ids[k.ID] = true
				require.NotEmpty(t, k.D)
			}
		}
	}
}

// What is wrong with a project or a drawing is told, and the rest is there all the same.
func TestUnderstandWhatIsWrong(t *testing.T) {
	p := newPage(t)
	require.Contains(t, p.frames("understand", nil).Wrong, "no project yet")
	p.lay("lampblack.yaml", []byte("console: bench\npanels:\n  - {name: vent, drawing: vent.dxf, currant: 8 mA}\n  - {name: gone, drawing: gone.dxf}\n"))
	p.lay("vent.dxf", vent())
	u := p.understood()
	require.Len(t, u.Readings[0].Things, 13)
	require.Empty(t, u.Readings[1].Things)
	codes := map[string]bool{}
	for _, f := range u.Findings {
		codes[f.Code] = true
		if f.Code == "file-missing" {
			require.Equal(t, 1, *f.Reading)
		}
	}
	require.True(t, codes["project-unknown-key"] && codes["file-missing"], codes)
	p.desk["vent.dxf"] = "p-unknown"
	require.Equal(t, []string{"p-unknown"}, p.frames("understand", nil).Lacks)
}

// crowd is a drawing of 5,000 entities: lines, circles, words.
func crowd() []byte {
	all := []string{rect("0", 0, 0, 900, 600)}
	for i := 0; len(all) < 5000; i++ {
		x, y := 10+float64(i%80)*11, 10+float64(i/80%52)*11
		switch i % 5 {
		case 0:
			all = append(all, text("TEXT", x, y, 2, fmt.Sprintf("K%d", i)))
		case 1:
			all = append(all, rect("0", x, y, x+4, y+3))
		default:
			all = append(all, circle("0", x, y, 3+float64(i%4)))
		}
	}
	return dxf(all...)
}

func BenchmarkUnderstand(b *testing.B) {
	for _, name := range []string{"observatory", "greenhouse"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				a := newPage(b).example(name).frames("understand", nil)
				b.ReportMetric(float64(len(a.Gives)), "answer-bytes")
			}
		})
	}
	drawing := crowd()
	b.Run("5000", func(b *testing.B) {
		for b.Loop() {
			p := newPage(b)
			p.lay("lampblack.yaml", []byte(yaml))
			p.lay("vent.dxf", drawing)
			a := p.frames("understand", nil)
			require.True(b, json.Valid(a.Gives))
			b.ReportMetric(float64(len(a.Gives)), "answer-bytes")
		}
	})
}

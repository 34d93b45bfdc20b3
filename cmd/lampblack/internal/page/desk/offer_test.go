package desk_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/cmd/lampblack/internal/page/talk"
)

func (p *page) offers(role string, things ...desk.Thing) []desk.Offer {
	var out desk.Offered
	in := desk.Offering{Role: role}
	for _, k := range things {
		in.Things = append(in.Things, k.ID)
	}
	p.ask("offer", in, &out)
	return out.Offers
}

// roleOf returns what things have the role.
func (p *page) with(role string) map[string]bool {
	out := map[string]bool{}
	for _, r := range p.understood().Readings {
		for _, k := range r.Things {
			if k.Role == role || k.Role == "" && role == "ignore" {
				out[k.ID] = true
			}
		}
	}
	return out
}

// holds makes each offer by itself, and checks that it does what it says and nothing else: what was understood before is understood
// still, and nobody is told that it is guessed.
func (p *page) holds(role string, offers []desk.Offer) {
	was := p.understood()
	for _, o := range offers {
		q := &page{p.t, p.engine, talk.Desk{}}
		for path, id := range p.desk {
			q.desk[path] = id
		}
		q.take(q.ask("edit", desk.Editing{Changes: o.Changes}, nil))
		has := q.with(role)
		require.Equal(p.t, o.Count, len(o.Things))
		is := map[string]bool{}
		for _, id := range o.Things {
			require.True(p.t, has[id], "%s: %s", o.Words, id)
			is[id] = true
		}
		now := map[string]string{}
		then := q.understood()
		for _, k := range then.Readings[0].Things {
			now[k.ID] = k.Role
		}
		for _, code := range []string{"panel-no-role", "panel-outline-guessed", "panel-text-unused", "panel-rule-clash", "panel-rule-empty", "dxf-open-line"} {
			require.LessOrEqual(p.t, told(then, code), told(was, code), "%s %s: %s\n%s", role, o.Words, code, o.Changes)
		}
		for _, k := range was.Readings[0].Things {
			if !is[k.ID] {
				require.Equal(p.t, k.Role, now[k.ID], "%s: %s", o.Words, k.What)
			}
		}
	}
}

// told counts what is told by a code.
func told(u desk.Understood, code string) int {
	n := 0
	for _, f := range u.Findings {
		if f.Code == code {
			n += max(1, f.Count)
		}
	}
	return n
}

func words(all []desk.Offer) []string {
	var out []string
	for _, o := range all {
		out = append(out, o.Words)
	}
	return out
}

func TestOffer(t *testing.T) {
	p := newPage(t)
	p.lay("lampblack.yaml", []byte(yaml))
	p.lay("vent.dxf", vent())
	u := p.understood()
	big := things(u, "circle of 16 mm")
	require.Len(t, big, 6)
	for _, role := range []string{"led", "window", "mount", "ignore"} {
		got := p.offers(role, big[0])
		require.NotEmpty(t, got, role)
		require.Equal(t, "only this circle of 16 mm", got[0].Words, role)
		require.Equal(t, 1, got[0].Count)
		require.Contains(t, words(got), "all 6 circles of 16 mm")
		p.holds(role, got)
	}
	// Of two, both.
	got := p.offers("window", big[1], big[4])
	require.Equal(t, "only these 2 circles of 16 mm", got[0].Words)
	require.ElementsMatch(t, []string{big[1].ID, big[4].ID}, got[0].Things)
	p.holds("window", got)
	// What is said of one is kept when more is said of all, but not where it is said of what was chosen.
	p.take(p.ask("edit", desk.Editing{Changes: p.offers("mount", big[0])[0].Changes}, nil))
	got = p.offers("led", big[3])
	require.Contains(t, words(got), "all 5 circles of 16 mm")
	p.holds("led", got)
	got = p.offers("led", big[0])
	require.NotEmpty(t, got)
	p.holds("led", got)
	// A text can be taken away.
	got = p.offers("ignore", things(u, `text "VENT"`)...)
	require.NotEmpty(t, got)
	p.holds("ignore", got)
	require.Contains(t, p.frames("offer", desk.Offering{Role: "led", Things: []string{"l0"}}).Wrong, "choose it again")
	require.Contains(t, p.frames("offer", desk.Offering{Role: "lamp", Things: []string{big[0].ID}}).Wrong, "no role")
}

// On layers of ours only what names the layer counts.
func TestOfferOnLayersOfOurs(t *testing.T) {
	p := newPage(t)
	p.lay("lampblack.yaml", []byte(yaml))
	p.lay("vent.dxf", dxf(rect("OUTLINE", 0, 0, 120, 80), circle("OPENING", 40, 40, 12.2), circle("OPENING", 80, 40, 12.2), circle("OPENING", 60, 20, 7.2), circle("MOUNT", 5, 5, 3.2)))
	big := things(p.understood(), "circle of 12.2 mm")
	require.Len(t, big, 2)
	got := p.offers("window", big[0])
	require.NotEmpty(t, got)
	require.Equal(t, 1, got[0].Count)
	require.Equal(t, 3, got[len(got)-1].Count, "all of the layer")
	p.holds("window", got)
}

// Whatever is asked, the engine answers and goes on.
func TestHostile(t *testing.T) {
	p := newPage(t)
	bad, err := filepath.Glob("../../../../../testdata/bad/*.dxf")
	require.NoError(t, err)
	require.NotEmpty(t, bad)
	rng := rand.New(rand.NewPCG(3, 5))
	for i, name := range bad {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		q := &page{t, p.engine, talk.Desk{}}
		base := filepath.Base(name)
		q.lay(base, b)
		a := q.frames("take", desk.Taking{Paths: []string{base}})
		require.Empty(t, a.Wrong, name)
		q.take(a)
		u := q.understood()
		require.Len(t, u.Readings, 1, name)
		if all := u.Readings[0].Things; len(all) > 0 && i%8 == 0 {
			q.frames("offer", desk.Offering{Things: []string{all[rng.IntN(len(all))].ID}, Role: "led"})
		}
	}
	// Frames of anything.
	for range 200 {
		head := make([]byte, rng.IntN(60))
		for i := range head {
			head[i] = `{}[]":,do with take edit offer understand desk lampblack.yaml 0-9`[rng.IntN(64)]
		}
		n := 0
		p.engine.Answer(t.Context(), talk.Frame{Head: head}, func(talk.Frame) { n++ })
		require.Equal(t, 1, n, "%q", head)
	}
	for _, do := range []string{"take", "edit", "offer", "understand"} {
		for _, with := range []string{`7`, `null`, `{"changes":[{}]}`, `{"paths":["../x",""]}`, `{"entry":-1,"things":["l1"],"role":"led"}`, `{"changes":[{"at":"panels","set":null}]}`, `{"changes":[{"at":".","set":{"a":[1,{"b":true}]}}]}`} {
			q := newPage(t)
			q.lay("lampblack.yaml", []byte(yaml))
			q.lay("vent.dxf", vent())
			n := 0
			q.engine.Answer(t.Context(), talk.Frame{Head: []byte(`{"do":"` + do + `","desk":{"lampblack.yaml":"` + q.desk["lampblack.yaml"] + `","vent.dxf":"` + q.desk["vent.dxf"] + `"},"with":` + with + `}`)}, func(talk.Frame) { n++ })
			require.NotZero(t, n)
			require.Len(t, q.understood().Readings, 1)
		}
	}
}

// Where things lie tells them apart from others of their size.
func TestOfferByPlace(t *testing.T) {
	p := newPage(t)
	p.lay("lampblack.yaml", []byte(yaml))
	all := []string{rect("0", 0, 0, 120, 80)}
	for _, at := range [][2]float64{{6, 6}, {114, 6}, {114, 74}, {6, 74}, {50, 40}, {60, 40}, {70, 40}} {
		all = append(all, circle("0", at[0], at[1], 3.2))
	}
	p.lay("vent.dxf", dxf(all...))
	var corner desk.Thing
	for _, x := range things(p.understood(), "circle of 3.2 mm") {
		if x.Box[0] < 10 && x.Box[1] < 10 {
			corner = x
		}
	}
	for _, role := range []string{"opening", "window"} {
		got := p.offers(role, corner)
		require.Contains(t, words(got), "all 4 circles of 3.2 mm in corners", role)
		require.Contains(t, words(got), "all 7 circles on layer 0", role)
		p.holds(role, got)
	}
}

// How things are drawn tells them apart too: by their own colour, and by the block that they came in with.
func TestOfferByColourAndBlock(t *testing.T) {
	p := newPage(t)
	p.lay("lampblack.yaml", []byte(yaml))
	red := func(s string) string { return s + "\n62\n1" }
	all := []string{rect("0", 0, 0, 160, 80)}
	for i := range 4 {
		x := 20 + 30*float64(i)
		all = append(all, red(circle("0", x, 60, 8)), circle("0", x, 40, 8), "0\nINSERT\n8\n0\n2\nSWITCH\n10\n"+fmt.Sprint(x)+"\n20\n20", circle("0", x+12, 20, 7))
	}
	all = append(all, red(circle("NOTES", 140, 60, 8)), red(circle("0", 145, 20, 5)))
	p.lay("vent.dxf", []byte(strings.Replace(string(dxf(all...)), "0\nSECTION\n2\nENTITIES", strings.Join([]string{
		"0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nSWITCH\n10\n0\n20\n0", circle("0", 0, 0, 7), rect("0", -9, 5, -5, 9), "0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES"}, "\n"), 1)))
	u := p.understood()
	at := func(what string, y float64) desk.Thing {
		for _, x := range things(u, what) {
			if math.Abs((x.Box[1]+x.Box[3])/2-y) < 0.1 && x.Layer == "0" {
				return x
			}
		}
		t.Fatal(what)
		return desk.Thing{}
	}
	for _, role := range []string{"opening", "window"} {
		got := p.offers(role, at("circle of 8 mm", 60))
		for words, n := range map[string]int{
			"all 5 circles of 8 mm in colour red": 5, "all 4 circles of 8 mm in colour red on layer 0": 4, "all 5 circles in colour red on layer 0": 5, "all 6 circles in colour red": 6,
			"all 8 circles of 8 mm on layer 0": 8,
		} {
			require.Contains(t, said(got), said([]desk.Offer{{Words: words, Count: n}})[0], role)
		}
		p.holds(role, got)

		got = p.offers(role, at("circle of 7 mm", 20))
		require.Contains(t, words(got), "all 4 circles in the block SWITCH", role)
		require.Contains(t, words(got), "all 8 closed lines in the block SWITCH", role)
		p.holds(role, got)
	}
	// Neither says anything of what has none.
	for _, w := range words(p.offers("window", at("circle of 8 mm", 40))) {
		require.NotContains(t, w, "colour")
		require.NotContains(t, w, "block")
	}
}

func said(all []desk.Offer) []string {
	var out []string
	for _, o := range all {
		out = append(out, fmt.Sprintf("%s (%d)", o.Words, o.Count))
	}
	return out
}

// LEDs get a kind, and openings room behind them, by the rules that name things: each offer does what it says and nothing else.
func TestOfferKindsAndRoom(t *testing.T) {
	p := newPage(t)
	p.lay("lampblack.yaml", []byte(fed+"panels:\n  - {name: bay, drawing: bay.dxf}\n"))
	p.lay("bay.dxf", bay(circle("OPENING", 30, 25, 12.2), circle("OPENING", 90, 25, 8)))
	offers := func(in desk.Offering) []desk.Offer {
		var out desk.Offered
		p.ask("offer", in, &out)
		return out.Offers
	}
	u := p.understood()
	require.Contains(t, u.Kinds, "green-3mm")
	require.Equal(t, "red-3mm", u.Readings[0].LED)
	var lamp desk.Thing
	for _, x := range things(u, "circle of 3.2 mm") {
		if x.Role == "led" {
			lamp = x
		}
	}
	kinds := func() map[string]int {
		n := map[string]int{}
		for _, s := range p.understood().Readings[0].Panels[0].LEDs {
			n[s.Kind]++
		}
		return n
	}
	got := offers(desk.Offering{Things: []string{lamp.ID}, Kind: "green-3mm"})
	require.NotEmpty(t, got)
	require.Equal(t, "only this circle of 3.2 mm", got[0].Words)
	require.Equal(t, 12, got[len(got)-1].Count)
	p.take(p.ask("edit", desk.Editing{Changes: got[0].Changes}, nil))
	require.Equal(t, map[string]int{"green-3mm": 1, "red-3mm": 11}, kinds())
	require.Empty(t, p.understood().Readings[0].LED, "kinds are told by rules now")

	big := things(u, "circle of 12.2 mm")
	got = offers(desk.Offering{Things: []string{big[0].ID}, Room: "5 mm"})
	require.Equal(t, "only this circle of 12.2 mm", got[0].Words)
	require.Contains(t, words(got), "all 2 circles of 12.2 mm")
	p.take(p.ask("edit", desk.Editing{Changes: got[0].Changes}, nil))
	require.Equal(t, "rules", p.understood().Readings[0].Room)
	// More is said beside what was said before, which stays.
	got = offers(desk.Offering{Things: []string{things(u, "circle of 8 mm")[0].ID}, Room: "2 mm"})
	require.NotEmpty(t, got)
	require.Equal(t, 1, got[0].Count)
	p.take(p.ask("edit", desk.Editing{Changes: got[0].Changes}, nil))
	require.Equal(t, 1, offers(desk.Offering{Things: []string{big[0].ID}, Room: "5 mm"})[0].Count)
	require.Contains(t, p.frames("offer", desk.Offering{Things: []string{lamp.ID}, Room: "2 mm"}).Wrong, "behind openings")
	require.Contains(t, p.frames("offer", desk.Offering{Things: []string{big[0].ID}, Kind: "red-3mm"}).Wrong, "have a kind")
}

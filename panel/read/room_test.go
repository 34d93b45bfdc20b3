package read

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/control"
	"lampblack/panel/geom"
	"lampblack/panel/paneltest"
	"lampblack/panel/seat"
)

// Rules tell the room behind openings as they tell roles: the nearest size counts, then all; what none takes is guessed.
func TestRoomIsTold(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 200 100
		LED circle 10 90 3
		OPENING circle 30 50 12
		OPENING circle 60 50 12.2
		OPENING rect 90 40 110 50
		OPENING circle 150 50 7.2
		BODY circle 150 50 16`)
	rule := func(s string, mm float64) RoomRule {
		r, err := ParseRule(panel.RoleOpening, s)
		require.NoError(t, err)
		return RoomRule{Rule: r, Beyond: geom.MM(mm)}
	}
	for _, c := range []struct {
		rules []RoomRule
		want  []float64 // beyond openings 0 to 2
		codes []string
	}{
		{nil, []float64{8, 8, 2}, nil},
		{[]RoomRule{{All: true, Beyond: geom.MM(4)}}, []float64{4, 4, 4}, nil},
		{[]RoomRule{rule("circles 12 mm", 3), rule("circles 12.2 mm", 5)}, []float64{3, 5, 2}, nil},
		{[]RoomRule{rule("circles", 3), rule("rest", 1)}, []float64{3, 3, 1}, nil},
		{[]RoomRule{rule("circles 12 mm", 0)}, []float64{0, 8, 2}, nil},
		{[]RoomRule{rule("shapes 10 x 20 mm on layer OPENING", 9), rule("circles 40 mm", 9)}, []float64{8, 8, 9}, []string{"warning panel-room-empty"}},
		{[]RoomRule{{Rule: rule("circles 40 mm", 0).Rule, Shared: true}}, []float64{8, 8, 2}, nil},
	} {
		ps, l := Panels(t.Context(), d, Options{Room: c.rules})
		paneltest.Subjects(t, l)
		require.Equal(t, c.codes, codes(l))
		got := []float64{0, 0, 0}
		for _, r := range ps[0].Room {
			got[r.Opening] = r.Beyond.MM()
		}
		require.Equal(t, c.want, got, "%v", c.rules)
		require.Len(t, ps[0].Bodies, 1, "rooms are no bodies")
	}
}

// Rules tell what sits in openings in the same way: the nearest counts; two that fit alike and name different kinds are told, and so is
// one that takes nothing.
func TestControlsAreTold(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 200 100
		LED circle 10 90 3
		OPENING circle 40 50 12.2
		OPENING circle 120 50 12.2`)
	rule := func(s, name string) SitRule {
		r, err := ParseRule(panel.RoleOpening, s)
		require.NoError(t, err)
		k, ok := control.Find(name)
		require.True(t, ok, name)
		return SitRule{Rule: r, Kind: k}
	}
	shared := rule("circles 40 mm", "display")
	shared.Shared = true
	for _, c := range []struct {
		rules []SitRule
		want  []string
		codes []string
	}{
		{[]SitRule{rule("circles 12.2 mm", "toggle-m12")}, []string{"toggle-m12", "toggle-m12"}, nil},
		{[]SitRule{rule("circles 12.2 mm", "toggle-m12"), rule("circles 12.2 mm near 120,50", "push-12mm")}, []string{"toggle-m12", "push-12mm"}, nil},
		{[]SitRule{rule("circles 12.2 mm", "toggle-m12"), rule("circles 12.2 mm", "push-12mm")}, []string{"toggle-m12", "toggle-m12"}, []string{"warning panel-control-two-kinds"}},
		{[]SitRule{rule("circles 12.2 mm", "toggle-m12"), rule("circles 12.2 mm", "toggle-m12")}, []string{"toggle-m12", "toggle-m12"}, []string{"warning panel-control-empty"}},
		{[]SitRule{rule("circles 12.2 mm", "toggle-m12"), rule("circles 16.2 mm", "push-16mm"), shared}, []string{"toggle-m12", "toggle-m12"}, []string{"warning panel-control-empty"}},
	} {
		ps, l := Panels(t.Context(), d, Options{Sits: Sits{Rules: c.rules, Wish: seat.Wish{Stack: seat.Stack{Face: geom.MM(3), Diffuser: geom.MM(3), Gap: geom.MM(8), LED: geom.MM(3)}}}})
		paneltest.Subjects(t, l)
		require.Equal(t, c.codes, codes(l))
		var got []string
		for _, s := range ps[0].Controls {
			got = append(got, s.Kind.Name)
		}
		require.Equal(t, c.want, got, "%v", c.rules)
	}
}

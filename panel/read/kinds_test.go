package read

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel"
	"lampblack/panel/paneltest"
)

// Rules tell the kind of each LED: the one that says most closely what it means counts, and all doubt is told.
func TestKindsAreTold(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 200 100
		RED circle 10 90 3
		RED circle 20 90 5
		LED circle 30 90 3
		LED circle 40 90 5`)
	rule := func(s, kind string) KindRule {
		r, err := ParseRule(panel.RoleLED, s)
		require.NoError(t, err)
		return KindRule{Rule: r, Kind: kind}
	}
	for _, c := range []struct {
		rules []KindRule
		want  [4]string // in the order above
		codes []string
	}{
		{nil, [4]string{}, nil},
		{[]KindRule{rule("layer red", "red"), rule("layer LED", "white")}, [4]string{"red", "red", "white", "white"}, nil},
		{[]KindRule{rule("circles 3 mm on layer RED", "red"), rule("rest", "white")}, [4]string{"red", "white", "white", "white"}, nil},
		{[]KindRule{rule("circles 5 mm", "big"), rule("circles", "small")}, [4]string{"small", "big", "small", "big"}, nil},
		{[]KindRule{rule("circles 5 mm on layer RED", "big"), rule("layer RED", "red"), rule("circles near 40, 90", "one"), rule("rest", "white")}, [4]string{"red", "big", "white", "one"}, nil},
		{[]KindRule{rule("layer RED", "red")}, [4]string{"red", "red", "", ""}, []string{"note panel-led-no-rule"}},
		{[]KindRule{rule("circles 8 mm", "big"), rule("rest", "white")}, [4]string{"white", "white", "white", "white"}, []string{"warning panel-led-rule-empty"}},
		{[]KindRule{{Rule: rule("circles 8 mm", "").Rule, Kind: "big", Shared: true}}, [4]string{}, nil},
		{[]KindRule{rule("circles 3 mm", "red"), rule("circles 5 mm", "white"), rule("circles 5 mm", "amber")}, [4]string{"red", "white", "red", "white"}, []string{"warning panel-led-two-kinds"}},
		{[]KindRule{rule("circles 3 mm", "red"), rule("circles 5 mm", "white"), rule("circles 5 mm", "White")}, [4]string{"red", "white", "red", "white"}, []string{"warning panel-led-rule-empty"}},
	} {
		ps, l := Panels(t.Context(), d, Options{Layers: map[panel.Role]string{panel.RoleLED: "RED, LED"}, LEDs: LEDKinds{Rules: c.rules, Usual: "green-3mm"}})
		paneltest.Subjects(t, l)
		require.Equal(t, c.codes, codes(l), "%v", c.rules)
		require.Len(t, ps[0].LEDs, 4)
		for _, h := range ps[0].LEDs {
			require.Equal(t, c.want[int(h.At.X.MM()+0.5)/10-1], h.Kind, "%v at %v", c.rules, h.At)
		}
		for _, f := range l {
			if f.Code == "panel-led-no-rule" {
				require.Equal(t, "2 LEDs are of no rule and taken for green-3mm", f.Text)
				require.Contains(t, f.Advice, "{rule: rest, kind: green-3mm}")
			}
			if f.Code == "panel-led-two-kinds" {
				require.Contains(t, f.Text, "2 LEDs are white by one rule (circles 5 mm) and amber by another")
			}
		}
	}
}

// Circles that may be LEDs or mounts are LEDs where a rule names a kind for them, by size, place or layer; screws that leave no doubt
// stay screws, and a rule that names nothing settles nothing.
func TestKindsSettleDoubt(t *testing.T) {
	d := drawn(t, `
		OUTLINE rect 0 0 120 60
		LETTERING text 20 40 6 MISTING
		0 circle 10 10 3.2
		0 circle 110 10 3.2
		0 circle 60 10 3.2
		0 circle 60 50 3.2
		0 circle 25 43 5
		0 circle 35 43 5
		0 circle 45 43 5`)
	for _, c := range []struct {
		rule        string
		leds, asked int // LEDs, and circles in question
	}{
		{"", 3, 2},
		{"circles 3.2 mm", 5, 0},
		{"layer 0", 5, 0},
		{"circles on layer 0", 5, 0},
		{"circles near 60, 10", 4, 1},
		{"circles", 3, 2},
		{"circles 5 mm", 3, 2},
		{"rest", 3, 2},
	} {
		var kinds LEDKinds
		if c.rule != "" {
			r, err := ParseRule(panel.RoleLED, c.rule)
			require.NoError(t, err)
			kinds = LEDKinds{Rules: []KindRule{{Rule: r, Kind: "white-3mm"}}, Usual: "red-3mm"}
		}
		ps, l := Panels(t.Context(), d, Options{LEDs: kinds})
		require.Len(t, ps[0].LEDs, c.leds, c.rule)
		require.Len(t, ps[0].Mounts, 7-c.leds, c.rule)
		asked := 0
		for _, f := range l {
			if f.Question != nil {
				asked += len(f.Question.At)
			}
		}
		require.Equal(t, c.asked, asked, c.rule)
	}
}

package control_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/control"
	"lampblack/panel/geom"
)

// Every value of the catalogue tells where it is from, in words that say whether that is a source.
func TestSources(t *testing.T) {
	of := map[string]string{ // value: the word under source that tells of it
		"Hole": "hole", "Bush": "bush", "Thread": "thread", "Nut": "nut", "NutThick": "nut", "Washer": "washer", "WasherThick": "washer",
		"LockWasher": "lock_washer", "Tab": "tab", "TabAt": "tab", "LeastSheet": "sheet", "MostSheet": "sheet", "Body": "body", "Beyond": "beyond",
		"Depth": "body", "Terminals": "body", "Shaft": "shaft", "ShaftLength": "shaft", "Handle": "handle", "Flange": "flange", "FlangeThick": "flange",
	}
	require.GreaterOrEqual(t, len(control.Kinds()), 12)
	for _, k := range control.Kinds() {
		told := map[string]string{}
		for _, s := range k.Sources {
			told[s.Of] = s.From
			known := slices.ContainsFunc([]string{"references", "memory", "common practice", "the size that", "the larger of"}, func(w string) bool { return strings.Contains(s.From, w) })
			require.True(t, known, "%s, %s: %q does not say what kind of source it is", k.Name, s.Of, s.From)
		}
		v := reflect.ValueOf(k)
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			word, length := of[name]
			if !length || v.Field(i).IsZero() {
				continue
			}
			if name == "Hole" && !k.Hole.Round() {
				word = "cut"
			}
			require.NotEmpty(t, told[word], "%s: where is %s from?", k.Name, name)
		}
		require.NotEmpty(t, k.Words, k.Name)
	}
}

func find(t *testing.T, name string) control.Kind {
	t.Helper()
	k, ok := control.Find(name)
	require.True(t, ok, name)
	return k
}

// The project's list of published check values, section 16: bushes, bodies, washers and nuts of open part libraries and data sheets.
func TestPublishedSizes(t *testing.T) {
	mm := geom.MM
	m6 := find(t, "toggle-m6")
	require.Equal(t, mm(6.1), m6.Bush)
	require.Equal(t, control.Extent{W: mm(7), H: mm(13.6)}, m6.Body)
	require.Equal(t, mm(12), m6.Washer)
	require.InDelta(t, 16, m6.Room().MM(), 1.2, "body 8.9 to 11 and pins 3.9 to 6.1: 13 to 16, here the longest of both")

	for _, name := range []string{"pot-7mm", "encoder-7mm"} {
		k := find(t, name)
		require.Equal(t, mm(10), k.Nut)
		require.True(t, k.Washer >= mm(10.3) && k.Washer <= mm(12), name)
	}
	require.Equal(t, control.Extent{W: mm(12), H: mm(12)}, find(t, "encoder-7mm").Body)
	require.Equal(t, mm(6.5), find(t, "encoder-7mm").Depth)
	require.Equal(t, control.Extent{W: mm(24)}, find(t, "pot-10mm").Body)
	require.Equal(t, mm(12), find(t, "pot-10mm").Depth)

	push := find(t, "push-16mm")
	require.Equal(t, mm(16.2), push.Hole.W, "16 +0.2/0")
	require.Equal(t, [2]geom.Nm{mm(0.5), mm(3.2)}, [2]geom.Nm{push.LeastSheet, push.MostSheet})
	require.Equal(t, control.Extent{W: mm(19.2), H: mm(13)}, find(t, "rocker-small").Hole)
	require.Equal(t, mm(11.8), find(t, "rocker-small").Depth)
	require.Equal(t, mm(7.6), find(t, "rocker-small").Terminals)
}

// Section 22: a potentiometer's nut of 7.9 across flats, 2.3 thick, on a washer of 10.2 x 0.9, holds panels up to about 3.2.
func TestPotentiometerOfBuildLogs(t *testing.T) {
	k := find(t, "pot-6.35mm")
	require.Equal(t, []geom.Nm{geom.MM(7.9), geom.MM(2.3), geom.MM(10.2), geom.MM(0.9)}, []geom.Nm{k.Nut, k.NutThick, k.Washer, k.WasherThick})
	require.Equal(t, geom.MM(3.2), k.Thread-k.OnThread())
}

// A hexagon is 2/√3 across corners for 1 across flats. Sockets of 8, 10, 14 and 17 mm are 12, 15, 20 and 24 outside (common practice).
func TestNutAndSpanner(t *testing.T) {
	k := control.Kind{Nut: geom.MM(14)}
	require.Equal(t, geom.MM(16.17), k.Corners())
	for nut, socket := range map[float64]float64{8: 12, 10: 15, 14: 20, 17: 24} {
		require.InDelta(t, socket, control.Kind{Nut: geom.MM(nut)}.Spanner().MM(), 1, "%v", nut)
	}
	require.Equal(t, geom.MM(18), control.Kind{Nut: geom.MM(8), Washer: geom.MM(18)}.Spanner(), "no less than the washer")
}

func TestCheck(t *testing.T) {
	good := find(t, "toggle-m12")
	for what, spoil := range map[string]func(*control.Kind){
		"no thread":               func(k *control.Kind) { k.Thread = 0 },
		"bush larger than hole":   func(k *control.Kind) { k.Bush = geom.MM(13) },
		"nut smaller than bush":   func(k *control.Kind) { k.Nut = geom.MM(11) },
		"washer falls through":    func(k *control.Kind) { k.Washer = geom.MM(12) },
		"flat deeper than middle": func(k *control.Kind) { k.Flat = geom.MM(5) },
		"tab without a place":     func(k *control.Kind) { k.TabAt = 0 },
		"flange falls through":    func(k *control.Kind) { k.Held, k.Flange = control.NutBehind, geom.MM(12) },
	} {
		bad := good
		spoil(&bad)
		require.Error(t, bad.Check(), what)
	}
	require.NoError(t, good.Check())
}

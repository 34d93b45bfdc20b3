package diag

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestGrouped(t *testing.T) {
	var l List
	for i, word := range []string{"OPEN", "SHUT", "LAMP"} {
		l.Add(Warning, "light-dark-word", "%q is dark", word).Of("dome").At(float64(i), 0).Together("%d words are dark").Fix("move an LED")
	}
	l.Add(Warning, "light-dark-word", "%q is dark", "FAR").Of("mount").Together("%d words are dark").Fix("move an LED")
	l.Add(Warning, "light-dark-word", "a line is dark").Of("dome").Fix("something else")
	l.Add(Note, "panel-guess", "2 circles are LEDs").Of("dome")
	l.Add(Note, "panel-guess", "1 circle is a mount").Of("dome").Fix("name it")
	l.Add(Error, "a-twice", "a gap").Of("dome").Fix("close it")
	l.Add(Error, "a-twice", "a gap").Of("dome").Fix("close it")
	g := l.Grouped()
	require.Equal(t, `3 words are dark, "FAR" is dark, a line is dark, 2 circles are LEDs (and 1 more like it), a gap (2 times)`, texts(g))
	require.Equal(t, `"OPEN" is dark, "SHUT" is dark, "LAMP" is dark`, texts(g[0].Like), "each stays in full")
	require.Equal(t, Point{2, 0}, *g[0].Like[2].Place.At)
	require.Equal(t, Point{0, 0}, *g[0].Place.At, "the first stands for all")
	require.Equal(t, "name it", g[3].Advice, "of a group whose first has none")
	require.Empty(t, g[1].Like)
	require.Equal(t, texts(g), texts(g.Grouped()), "what is grouped stays so")
	require.Equal(t, []int{3, 1, 1, 2, 2}, []int{g[0].Count(), g[1].Count(), g[2].Count(), g[3].Count(), g[4].Count()})
	require.Equal(t, `"OPEN" is dark`, l[0].Text, "the list itself stays as it is")
}

// What a list was cut by is counted all the same.
func TestGroupedCountsWhatWasCut(t *testing.T) {
	var l List
	for range 5 {
		l.Add(Error, "a-gap", "a gap").Together("%d gaps")
	}
	g := l.Capped(3).Grouped()
	require.Equal(t, "5 gaps", texts(g))
	require.Len(t, g[0].Like, 3)
	require.Equal(t, "5 gaps", texts(l.Capped(1).Grouped()))
}

// Only the number is put into the text: a percent sign is one.
func TestGroupedKeepsPercent(t *testing.T) {
	var l List
	for range 2 {
		l.Add(Warning, "light-dark-word", "a word is dark").Together("%d words get less than 33 % of the light, 100%d")
	}
	require.Equal(t, "2 words get less than 33 % of the light, 100%d", texts(l.Grouped()))
}

// Lines of the project file are each shown, with a caret.
func TestGroupedKeepsLinesApart(t *testing.T) {
	var l List
	for i := range 3 {
		f := l.Add(Error, "project-unknown-key", "no such key").In("lampblack.yaml", i+1)
		f.Place.Source = "  leds: 4"
	}
	require.Len(t, l.Grouped(), 3)
	require.Len(t, append(l, l[1]).Grouped(), 3, "of one line together")
}

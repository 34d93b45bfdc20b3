package diag

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func sample() List {
	var l List
	l.Add(Note, "b-note", "a note")
	l.Add(Error, "a-gap", "gap 1").At(1, 2).Note(Place{At: &Point{3, 4}}, "other end")
	l.Add(Warning, "c-thin", "thin").Of("dome")
	l.Add(Error, "a-gap", "gap 2").At(0, 2).Fix("close it")
	l.Add(Error, "a-gap", "gap 3").At(0, 1)
	return l
}

func texts(l List) string {
	var t []string
	for _, f := range l {
		t = append(t, f.Text)
	}
	return strings.Join(t, ", ")
}

func TestSortedIsTotal(t *testing.T) {
	l := sample()
	want := "gap 3, gap 2, gap 1, thin, a note"
	require.Equal(t, want, texts(l.Sorted()))
	require.Equal(t, "a note, gap 1, thin, gap 2, gap 3", texts(l), "the list itself stays as it is")
	for i := range l {
		turned := append(append(List(nil), l[i:]...), l[:i]...)
		require.Equal(t, want, texts(turned.Sorted()))
	}
}

func TestShiftedMovesCopies(t *testing.T) {
	l := sample()
	moved := l.Shifted(10, 20)
	require.Equal(t, Point{11, 22}, *moved[1].Place.At)
	require.Equal(t, Point{13, 24}, *moved[1].Related[0].Place.At)
	require.Equal(t, Point{1, 2}, *l[1].Place.At)
	require.Equal(t, Point{3, 4}, *l[1].Related[0].Place.At)
	require.Nil(t, moved[0].Place.At)
}

func TestCappedCountsTheRest(t *testing.T) {
	l := sample().Capped(2)
	require.Equal(t, "a note, gap 1, thin, gap 2", texts(l))
	require.Equal(t, []int{0, 0, 0, 1}, []int{l[0].More, l[1].More, l[2].More, l[3].More})
	l = sample().Capped(1)
	require.Equal(t, "a note, gap 1, thin", texts(l))
	require.Equal(t, 2, l[1].More)
	require.Equal(t, texts(sample()), texts(sample().Capped(3)))
}

func TestErr(t *testing.T) {
	require.NoError(t, List(nil).Err())
	require.NoError(t, sample()[:1].Err())
	require.EqualError(t, sample()[:2].Err(), "gap 1 [a-gap]")
	require.EqualError(t, sample().Err(), "gap 1 [a-gap] (and 2 more)")
	require.Equal(t, 3, sample().Count(Error))
	require.True(t, sample().HasErrors())
}

func TestWithPanelKeepsWhatIsSet(t *testing.T) {
	l := sample().WithPanel("mount")
	require.Equal(t, "mount", l[0].Panel)
	require.Equal(t, "dome", l[2].Panel)
}

package read

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// TestFindingsAreLimited: of one code so many are told in full, by whichever steps, and the rest are counted once.
func TestFindingsAreLimited(t *testing.T) {
	tell := func(f *findings, code string, n int) {
		for i := range n {
			f.add(diag.Warning, code, &dxf.Entity{Line: i + 1, Layer: "LED", Handle: "2F"}, "%s %d", code, i)
		}
	}
	var a, b, c, one, left, right findings
	tell(&a, "x", 30)
	tell(&b, "x", maxSame-10)
	tell(&b, "y", 2)
	tell(&c, "x", 60)
	for _, k := range []struct {
		code string
		n    int
	}{{"x", 30}, {"x", maxSame - 10}, {"y", 2}, {"x", 60}} {
		tell(&one, k.code, k.n)
	}
	for _, f := range []findings{a, b, c} {
		left.join(f)
	}
	right.join(b)
	right.join(c)
	var all findings
	all.join(a)
	all.join(right)
	require.Equal(t, left.in("dome.dxf", "dome"), all.in("dome.dxf", "dome"), "in whatever groups they are joined")
	got := left.in("dome.dxf", "dome")
	require.Len(t, got, maxSame+2)
	require.Equal(t, []int{80, 0}, []int{got[maxSame-1].More, got[maxSame].More})
	require.Equal(t, fmt.Sprintf("x 0 (and %d more like it)", maxSame+80-1), got.Grouped()[0].Text)
	require.Len(t, one.in("dome.dxf", "dome"), maxSame+2)
	require.Equal(t, one.n, left.n)
	for _, f := range got[:maxSame] {
		require.Equal(t, "x", f.Code)
		require.Equal(t, "dome.dxf", f.Place.File)
	}
	require.Equal(t, fmt.Sprint("x ", maxSame-31), got[maxSame-1].Text, "the first thirty, then those of the second step")
	require.True(t, left.has("y"))
	require.False(t, left.has("z"))

	left.to(elsewhere).add(diag.Error, "z", nil, "about a panel that was not picked")
	require.False(t, left.has("z"))
}

package read

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/diag"
	"lampblack/panel/dxf"
)

// TestFindingsAreLimited: of one code fifty are told in full, by whichever steps, and the rest are counted once.
func TestFindingsAreLimited(t *testing.T) {
	tell := func(f *findings, code string, n int) {
		for i := range n {
			f.add(diag.Warning, code, &dxf.Entity{Line: i + 1, Layer: "LED", Handle: "2F"}, "%s %d", code, i)
		}
	}
	var a, b, c, one, left, right findings
	tell(&a, "x", 30)
	tell(&b, "x", 40)
	tell(&b, "y", 2)
	tell(&c, "x", 60)
	for _, k := range []struct {
		code string
		n    int
	}{{"x", 30}, {"x", 40}, {"y", 2}, {"x", 60}} {
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
	require.Len(t, got, 50+2+1)
	require.Equal(t, "and 80 more of the same kind", got[52].Text)
	require.Equal(t, diag.Warning, got[52].Severity)
	require.Len(t, one.in("dome.dxf", "dome"), 53)
	require.Equal(t, one.n, left.n)
	for _, f := range got[:50] {
		require.Equal(t, "x", f.Code)
		require.Equal(t, "dome.dxf", f.Place.File)
	}
	require.Equal(t, fmt.Sprint("x ", 19), got[49].Text, "the first thirty, then twenty of the second step")
	require.True(t, left.has("y"))
	require.False(t, left.has("z"))

	left.to(elsewhere).add(diag.Error, "z", nil, "about a panel that was not picked")
	require.False(t, left.has("z"))
}

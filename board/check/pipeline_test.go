package check_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
	"lampblack/board/boardtest/made"
	"lampblack/board/check"
	"lampblack/led"
)

// TestRealBoards audits what the stages make.
func TestRealBoards(t *testing.T) {
	for seed := uint64(1); seed <= 2; seed++ {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			b, w, l := made.Board(seed, 4+int(seed)*6)
			if l.HasErrors() {
				t.Skipf("refused by a stage: %v", l.Err())
			}
			found := check.Audit(context.Background(), b, w)
			for _, f := range found {
				t.Logf("%s %s %v: %s", f.Severity, f.Code, f.Place.At, f.Text)
			}
			require.False(t, found.HasErrors())
		})
	}
}

// TestDamageToARealBoard harms a board of the real stages in every place where the harm must show: each track within a
// string deleted, each LED turned round, each part's pad shifted, each via and area taken away.
func TestDamageToARealBoard(t *testing.T) {
	good, w, l := made.Board(2, 8)
	require.False(t, l.HasErrors())
	require.False(t, check.Audit(context.Background(), good, w).HasErrors())
	caught := 0
	must := func(b board.Board, what string, args ...any) {
		t.Helper()
		require.True(t, check.Audit(context.Background(), b, w).HasErrors(), what, args)
		caught++
	}
	for i, tr := range good.Tracks {
		if tr.Net == led.Supply || tr.Net == led.Return {
			continue // an area may join the same pads
		}
		b := clone(good)
		b.Tracks = append(b.Tracks[:i], b.Tracks[i+1:]...)
		must(b, "track %d", i)
		b = clone(good)
		b.Tracks[i].On = tr.On.Other()
		must(b, "track %d on the other side", i)
		b = clone(good)
		b.Tracks[i].Width = b.Rules.Track - 1
		must(b, "track %d thin", i)
	}
	for i, p := range good.Parts {
		if p.Kind == board.LED {
			b := clone(good)
			d := b.Parts[i].Pads
			d[0].At, d[1].At = d[1].At, d[0].At
			must(b, "%s turned round", p.Ref)
		}
		for j := range p.Pads {
			b := clone(good)
			d := &b.Parts[i].Pads[j]
			d.At.X += d.W + b.Rules.Clearance
			must(b, "%s pad %d shifted", p.Ref, j)
		}
		b := clone(good)
		b.Parts = append(b.Parts[:i], b.Parts[i+1:]...)
		must(b, "%s lost", p.Ref)
	}
	for i := range good.Areas {
		b := clone(good)
		for k := range b.Areas[i].Fill.Outer {
			b.Areas[i].Fill.Outer[k].X += b.Rules.Clearance
		}
		for _, h := range b.Areas[i].Fill.Holes {
			for k := range h {
				h[k].X += b.Rules.Clearance
			}
		}
		if len(b.Areas[i].Fill.Holes) > 0 {
			must(b, "area %d shifted", i)
		}
	}
	t.Logf("%d kinds and places of damage", caught)
	require.Greater(t, caught, 40)
}

package flow

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/memo"
)

// helped builds with three peers, which do errands by the function, and returns the tallies of the engine.
func (d bench) helped(t *testing.T, do func(ctx context.Context, peer int, errand []byte) ([]byte, error)) (Outcome, []memo.Tally) {
	e := NewEngine(UsualBound()).With(Peers{3, do})
	project, set := d.open(t)
	out, err := e.Build(t.Context(), project, set)
	require.NoError(t, err)
	return out, e.memory.Tallies()
}

// Peers do what is heavy of the boards, and the files are those of a run without. What they give is nearly all that is needed: pack and
// service map may hang on currents that all boards settle together.
func TestPeers(t *testing.T) {
	x := newBench()
	project, set := x.open(t)
	alone, err := Build(t.Context(), project, set)
	require.NoError(t, err)
	var errands atomic.Int32
	out, tallies := x.helped(t, func(ctx context.Context, _ int, errand []byte) ([]byte, error) {
		errands.Add(1)
		return Help(ctx, errand)
	})
	same(t, alone, out, "with peers")
	given := map[string][2]int{}
	for _, one := range tallies {
		given[one.Stage] = [2]int{given[one.Stage][0] + one.Ran, given[one.Stage][1] + one.Given}
	}
	require.Positive(t, errands.Load())
	for _, st := range []string{straying.name, sharing.name, placing.name, routing.name, filling.name, glow.name, drawing.name, boardSolid.name, ending.name} {
		require.EqualValues(t, errands.Load(), given[st][1], "%s", st)
	}
}

// Peers that fail, that give nonsense, or what they were not asked for, cost nothing but time.
func TestPeersThatFail(t *testing.T) {
	x := newBench()
	project, set := x.open(t)
	alone, err := Build(t.Context(), project, set)
	require.NoError(t, err)
	out, _ := x.helped(t, func(ctx context.Context, peer int, errand []byte) ([]byte, error) {
		switch peer {
		case 0:
			return nil, errors.New("it broke down")
		case 1:
			return []byte("nonsense"), nil
		}
		done, err := Help(ctx, errand)
		if len(done) > 10_000 {
			for i := 2000; i < len(done); i += 5000 {
				done[i]++
			}
		}
		return done, err
	})
	same(t, alone, out, "with peers")
}

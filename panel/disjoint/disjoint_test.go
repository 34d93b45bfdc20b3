package disjoint_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/panel/disjoint"
)

// Against labels that are rewritten one by one: the same sets, each named by its least number, whatever the order of joints.
func TestAgainstLabels(t *testing.T) {
	for seed := range uint64(50) {
		r := rand.New(rand.NewPCG(seed, 1))
		n := 1 + r.IntN(60)
		sets, label := disjoint.New(n), make([]int, n)
		for i := range label {
			label[i] = i
		}
		for range n {
			a, b := r.IntN(n), r.IntN(n)
			from, to := max(label[a], label[b]), min(label[a], label[b])
			require.Equal(t, from == to, sets.Joined(a, b), "seed %d", seed)
			require.Equal(t, from != to, sets.Join(a, b), "seed %d", seed)
			for i := range label {
				if label[i] == from {
					label[i] = to
				}
			}
			for i := range label {
				require.Equal(t, label[i], sets.Least(i), "seed %d", seed)
			}
		}
	}
}

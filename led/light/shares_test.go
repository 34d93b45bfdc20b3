package light

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// The LEDs' shares of a word add up to what the field has there: on a panel without walls near, to a few per cent.
func TestSharesAddUp(t *testing.T) {
	p, w := mixed(0.2, 0.2)
	s := UsualStack()
	f := Evaluate(context.Background(), p, nil, w, s)
	got := Shares(context.Background(), p, nil, w, s)
	require.Len(t, got, len(f.Words))
	for k, word := range f.Words {
		sum := 0.0
		for _, v := range got[k].By {
			sum += v
		}
		require.InEpsilon(t, word.Mean, sum, 0.05, word.Text)
		require.Equal(t, word.Text, got[k].Text)
	}
	// The first LED stands behind the first word, and gives it nearly all of its light.
	require.Greater(t, got[0].By[0], 100*got[1].By[0])
}

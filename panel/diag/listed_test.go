package diag

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestListed(t *testing.T) {
	for want, words := range map[string][]string{"": nil, "a": {"a"}, "a and b": {"a", "b"}, "a, b and c": {"a", "b", "c"}} {
		require.Equal(t, want, Listed(words))
	}
}

package page

import (
	"bytes"
	"encoding/ascii85"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// What Letters gives is Adobe's base 85 but for one letter, and ends no element.
func TestLetters(t *testing.T) {
	var all []byte
	for i := range 1 << 16 {
		all = append(all, byte(i>>8), byte(i), 0, 0)
	}
	for _, b := range [][]byte{nil, {0}, {255, 255, 255, 255, 1}, {0, 0, 0, 0}, all} {
		l := Letters(b)
		require.NotContains(t, string(l), "<")
		back := make([]byte, len(l)*4+4)
		n, _, err := ascii85.Decode(back, bytes.ReplaceAll(l, []byte("v"), []byte("<")), true)
		require.NoError(t, err)
		require.True(t, bytes.Equal(b, back[:n]))
	}
}

// The page may run its own script and nothing else, and reach nobody; the served one, its own address.
func TestPolicy(t *testing.T) {
	policy := regexp.MustCompile(`<meta http-equiv="Content-Security-Policy" content="([^"]*)">`)
	whole := Whole(func(b []byte) []byte { return b }, []byte("program"), []byte("loader </script>"), []byte("may be copied"))
	for _, html := range [][]byte{Served(), whole} {
		m := policy.FindSubmatch(html)
		require.NotNil(t, m)
		require.Contains(t, string(m[1]), "default-src 'none'; script-src 'sha256-")
		require.NotContains(t, string(m[1]), "unsafe-eval'; script")
		require.Less(t, bytes.Index(html, []byte("Content-Security-Policy")), bytes.Index(html, []byte("<script")), "a policy holds for what comes after it")
	}
	require.Contains(t, string(Served()), "connect-src 'self'")
	require.NotContains(t, string(whole), "connect-src")
	require.Contains(t, string(whole), `loader <\/script></script>`)
	require.Contains(t, string(whole), `id="licences">may be copied</script>`)
	require.Contains(t, string(whole), "'strict-dynamic'", "what unpacks the script runs it")
	require.NotContains(t, string(Served()), "strict-dynamic")
	from, to := script(whole)
	require.Equal(t, string(boot), string(whole[from:to]))
}

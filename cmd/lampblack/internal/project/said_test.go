package project

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSaid(t *testing.T) {
	src := []byte("supply:\n  volts: 11.1 V .. 12.6 V   # a battery\n  amps: '2 A'\npanels:\n  - {name: a, current: 8 mA}\n  - name: b\n    current: 0.004\n")
	for path, want := range map[string]string{
		"supply.volts": "11.1 V .. 12.6 V", "supply.amps": "2 A", "panels.0.current": "8 mA", "panels.1.current": "0.004", "panels.1.name": "b",
	} {
		got, ok := Said(src, path)
		require.True(t, ok, path)
		require.Equal(t, want, got, path)
	}
	for _, path := range []string{"feed.wire", "supply", "panels.2.name", "panels", ""} {
		_, ok := Said(src, path)
		require.False(t, ok, path)
	}
	_, ok := Said([]byte("a: [\n"), "a")
	require.False(t, ok)
}

package project

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/board"
)

// Every name that a key of rules or order had is an error that says the new one, and no living key has such a name.
func TestFormerNames(t *testing.T) {
	told := func(block, old, now string) {
		_, l := Read([]byte("supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: a.dxf}]\n"+block+": {"+old+": 1 mm}\n"), "p.yaml")
		require.NotEmpty(t, l, old)
		require.Equal(t, "project-former-key", l[0].Code, old)
		require.Contains(t, l[0].Text, "the key "+old+" in "+block)
		require.Contains(t, l[0].Text, "is called "+now+" now")
		require.Equal(t, 3, l[0].Place.Line)
		require.Equal(t, "write "+now, l[0].Advice)
	}
	living := map[string]bool{}
	for _, l := range board.Limits() {
		living[l.Name] = true
	}
	for now, was := range formerLimits {
		require.True(t, living[now], now)
		for _, old := range was {
			old = strings.ReplaceAll(old, " ", "_")
			require.False(t, living[old], old)
			told("rules", old, now)
		}
	}
	for old, now := range map[string]string{"cut": "parted_by", "gap": "slot", "rail": "frame"} {
		told("order", old, now)
	}
	_, l := Read([]byte("supply: {volts: 12 V, amps: 1 A}\npanels: [{drawing: a.dxf}]\norder: {boards: {a: 2}, parted_by: V-cut}\n"), "p.yaml")
	require.Len(t, l, 1)
	require.Equal(t, "project-former-value", l[0].Code)
	require.Equal(t, "write scoring", l[0].Advice)
}

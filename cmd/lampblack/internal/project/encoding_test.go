package project

import (
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"
)

const umlaut = "# Grüße\nsupply: {volts: 12 V, amps: 2 A}\nconsole: Grüße\npanels: [{drawing: a.dxf}]\n"

func wide(text string, order binary.AppendByteOrder) []byte {
	var out []byte
	for _, u := range utf16.Encode([]rune("\uFEFF" + text)) {
		out = order.AppendUint16(out, u)
	}
	return out
}

// A project file reads the same in every encoding that editors write, and its faults stand at the same places.
func TestEncodings(t *testing.T) {
	windows := strings.ReplaceAll(umlaut, "\n", "\r\n")
	bad := umlaut + "kerf: 1 V\n"
	for name, of := range map[string]func(string) []byte{
		"plain":      func(s string) []byte { return []byte(s) },
		"mark":       func(s string) []byte { return []byte("\xEF\xBB\xBF" + s) },
		"windows":    func(s string) []byte { return []byte(strings.ReplaceAll(s, "\n", "\r\n")) },
		"old mac":    func(s string) []byte { return []byte(strings.ReplaceAll(s, "\n", "\r")) },
		"UTF-16 LE":  func(s string) []byte { return wide(s, binary.LittleEndian) },
		"UTF-16 BE":  func(s string) []byte { return wide(s, binary.BigEndian) },
		"and CR, LF": func(s string) []byte { return wide(strings.ReplaceAll(s, "\n", "\r\n"), binary.LittleEndian) },
	} {
		p, l := Read(of(umlaut), "p.yaml")
		require.Empty(t, l, name)
		require.Equal(t, "Grüße", p.Console, name)
		require.Equal(t, 4, p.Place("panels").Line, name)
		_, l = Read(of(bad), "p.yaml")
		require.Len(t, l, 1, name)
		require.Equal(t, "kerf: 1 V", l[0].Place.Source, name)
		require.Equal(t, 5, l[0].Place.Line, name)
		require.Equal(t, 7, l[0].Place.Column, name)
		text, encode := decoded(of(windows))
		require.Equal(t, of(windows), encode(text), "%s comes back byte by byte", name)
	}
}

// The bytes are those of Latin-1 by ISO/IEC 8859-1: ü is FC, ß is DF. All else that is wrong is told too.
func TestLatin1(t *testing.T) {
	_, l := Read([]byte("supply: {volts: 12 V, amps: 2 A}\nconsole: Gr\xFC\xDFe\nkerf: 1 V\npanels: [{drawing: a.dxf}]\n"), "p.yaml")
	require.Len(t, l, 2)
	f := l[0]
	require.Equal(t, "project-encoding", f.Code)
	require.Equal(t, [2]int{2, 12}, [2]int{f.Place.Line, f.Place.Column})
	require.Equal(t, "console: Grüße", f.Place.Source)
	require.Contains(t, f.Text, "'ü' is written as Latin-1")
	require.Contains(t, f.Advice, "UTF-8")
	require.Equal(t, "project-wrong-value", l[1].Code)
	require.Equal(t, 3, l[1].Place.Line)
}

func TestUTF16CutOff(t *testing.T) {
	src := wide(umlaut, binary.LittleEndian)
	_, l := Read(src[:len(src)-1], "p.yaml")
	require.NotEmpty(t, l)
	_, l = Read([]byte("\xFF\xFE\x00\x00a\x00\x00\x00"), "p.yaml")
	require.Equal(t, "project-not-text", l[0].Code)
	_, l = Read(wide(strings.Repeat("#", maxBytes+1), binary.BigEndian), "p.yaml")
	require.Equal(t, "project-too-large", l[0].Code)
}

package filename

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Microsoft, "Naming Files, Paths, and Namespaces" (from memory): reserved characters, reserved names, also directly followed by an
// extension, and no blank or period at the end. POSIX (XBD 3.170, "Filename"; from memory): neither / nor NUL, and . and .. are no files.
func TestWhy(t *testing.T) {
	bad := []string{"", ".", "..", "x.", "x ", "x. ", "a/b", `a\b`, "a:b", "a<b", "a>b", `a"b`, "a|b", "a?b", "a*b", "a\x00b", "a\nb", "a\x1fb", "a\x7fb",
		strings.Repeat("x", 256), strings.Repeat("ä", 128)}
	for _, name := range []string{"CON", "PRN", "AUX", "NUL", "COM0", "COM1", "COM2", "COM3", "COM4", "COM5", "COM6", "COM7", "COM8", "COM9", "COM¹", "COM²", "COM³",
		"LPT0", "LPT1", "LPT2", "LPT3", "LPT4", "LPT5", "LPT6", "LPT7", "LPT8", "LPT9", "LPT¹", "LPT²", "LPT³", "CONIN$", "CONOUT$"} {
		bad = append(bad, name, strings.ToLower(name), name+".txt", name+".tar.gz", name+" .txt")
	}
	for _, name := range bad {
		require.NotEmpty(t, Why(name), "%q", name)
		require.False(t, Whole(name), "%q", name)
	}
	for _, name := range []string{"dome", "x.y", ".hidden", "con-leds.dxf", "console", "com", "com10", "lpt", "nul_", "auxiliary", "a b", "Küche", "面板", "¹", strings.Repeat("x", 255)} {
		require.Empty(t, Why(name), "%q", name)
	}
}

func TestOf(t *testing.T) {
	for text, want := range map[string]string{
		"dome": "dome", "con": "panel-con", "NUL": "panel-NUL", "com1": "panel-com1", "nul.txt": "nul-txt", "a:b": "a-b", "x.": "x", "x ": "x", "..": "panel", "": "panel", "/": "panel",
		"a/b": "a-b", `a\b`: "a-b", "../dome": "dome", "面板": "panel", "Küche": "K-che", "A1.2": "A1-2", strings.Repeat("x", 100): strings.Repeat("x", Most),
		strings.Repeat("x", 39) + ":b": strings.Repeat("x", 39),
	} {
		require.Equal(t, want, Of(text, "panel"), "%q", text)
		require.True(t, Whole(want), "%q", want)
	}
	for name, is := range map[string]bool{"dome": true, "A1.2": true, "_x": true, "-x": false, ".x": false, "ä": false, "a b": false, strings.Repeat("x", 41): false} {
		require.Equal(t, is, Whole(name), "%q", name)
	}
}

func TestBeside(t *testing.T) {
	for base, want := range map[string]string{
		"dome": "dome", "sub/dome": "sub/dome", "../my panel.v2": "../my panel.v2", "con": "con", "con.v2": "con-v2", "a:b": "a-b", "sub/a?": "sub/a", "?": "drawing",
		"Küche": "Küche", strings.Repeat("x", 250): strings.Repeat("x", Most),
	} {
		require.Equal(t, want, Beside(base, "-leds.dxf"), base)
	}
}

func FuzzOf(f *testing.F) {
	for _, s := range []string{"con", "a:b", "..", "x.", "com¹", strings.Repeat("-x", 60)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		name := Of(s, "panel")
		if !Whole(name) || Why(name) != "" || Of(name, "panel") != name {
			t.Fatalf("%q gives %q", s, name)
		}
	})
}

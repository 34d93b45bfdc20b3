package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// pictures of TUTORIAL.md: what its steps make, and what it is kept as.
var tutorialPictures = map[string]string{
	"understood.svg":              "understood.svg",
	"out/red-light/glow.png":      "glow.png",
	"out/red-light/board-top.svg": "board-top.svg",
	"out/red-light/assembly.svg":  "assembly.svg",
	"out/red-light/sheets.svg":    "sheets.svg",
	"out/red-light/side.svg":      "side.svg",
}

// TestTutorial does what TUTORIAL.md says, step by step, in an empty folder with the drawing that comes with it: a block of yaml is the
// project file, a block without a name is a call, and the block of text after it is what comes; there "..." stands for what is left
// out, and lines are broken anywhere. The pictures are those that come; UPDATE_GOLDEN=1 keeps them anew.
func TestTutorial(t *testing.T) {
	example, err := filepath.Abs("../../examples/first")
	require.NoError(t, err)
	src, err := os.ReadFile("../../TUTORIAL.md")
	require.NoError(t, err)
	tutorial := string(src)
	t.Chdir(t.TempDir())
	drawing, err := os.ReadFile(filepath.Join(example, "red-light.dxf"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("red-light.dxf", drawing, 0o644))

	came, told := "", true
	for _, b := range regexp.MustCompile("(?ms)^```(\\w*)\n(.*?)^```$").FindAllStringSubmatch(tutorial, -1) {
		switch kind, text := b[1], b[2]; kind {
		case "yaml":
			require.NoError(t, os.WriteFile("lampblack.yaml", []byte(text), 0o644))
		case "":
			require.True(t, told, "the tutorial does not show what comes before: %s", text)
			name, args, _ := strings.Cut(strings.TrimSpace(text), " ")
			require.Equal(t, "lampblack", name)
			var out bytes.Buffer
			require.Zero(t, run(strings.Fields(args), nil, &out, &out), out.String())
			came, told = out.String(), false
		case "text":
			shows(t, text, came)
			told = true
		default:
			t.Fatalf("the tutorial has a block of %q, which nobody tries", kind)
		}
	}
	require.True(t, told)

	for _, m := range regexp.MustCompile("`(out/[^`]*)`").FindAllStringSubmatch(tutorial, -1) {
		require.FileExists(t, m[1])
	}
	shown := regexp.MustCompile(`\]\(examples/first/pictures/([^)]*)\)`).FindAllStringSubmatch(tutorial, -1)
	require.Len(t, shown, len(tutorialPictures))
	for name, kept := range tutorialPictures {
		require.True(t, slices.ContainsFunc(shown, func(m []string) bool { return m[1] == kept }), "the tutorial shows %s", kept)
		samePicture(t, filepath.Join(example, "pictures", kept), name, "Tutorial")
	}
}

// shows requires that an excerpt's pieces come in their order.
func shows(t *testing.T, excerpt, came string) {
	t.Helper()
	rest := strings.Join(strings.Fields(came), " ")
	for piece := range strings.SplitSeq(excerpt, "...") {
		piece = strings.Join(strings.Fields(piece), " ")
		_, after, ok := strings.Cut(rest, piece)
		require.True(t, ok, "the tutorial shows\n  %s\nbut what comes is\n%s", piece, came)
		rest = after
	}
}

// Each word that TUTORIAL.md sets in bold on a line about the page is one of the page's: it stands by itself in its sources, or in those of
// the questions and settings that it shows.
func TestTutorialWordsOfPage(t *testing.T) {
	tutorial, err := os.ReadFile("../../TUTORIAL.md")
	require.NoError(t, err)
	var sources strings.Builder
	for _, pattern := range []string{"internal/page/src/*.jsx", "internal/page/src/at.js", "internal/page/desk/settings.go", "../../panel/read/judged.go"} {
		names, err := filepath.Glob(pattern)
		require.NoError(t, err)
		require.NotEmpty(t, names, pattern)
		for _, n := range names {
			src, err := os.ReadFile(n)
			require.NoError(t, err)
			sources.Write(src)
		}
	}
	words := 0
	for _, paragraph := range regexp.MustCompile(`(?ms)^> \*In the page\.\*.*?\n\n`).FindAllString(string(tutorial), -1) {
		paragraph = strings.ReplaceAll(paragraph, "\n> ", " ")
		for _, m := range regexp.MustCompile(`\*\*(.+?)\*\*`).FindAllStringSubmatch(paragraph, -1) {
			words++
			found := regexp.MustCompile(`["'>] *` + regexp.QuoteMeta(m[1]) + ` *["'<]`).MatchString(sources.String())
			require.True(t, found, "the page says %q", m[1])
		}
	}
	require.Greater(t, words, 8)
}

// What TUTORIAL.md names beside its steps is there: commands, and files of the project.
func TestTutorialNames(t *testing.T) {
	tutorial, err := os.ReadFile("../../TUTORIAL.md")
	require.NoError(t, err)
	var opens [][]string
	for _, call := range told(string(tutorial)) {
		found, _, err := (&app{}).root().Find(call)
		require.NoError(t, err, call)
		require.Equal(t, call[0], found.Name())
		if call[0] == "open" {
			opens = append(opens, call)
		}
	}
	for _, m := range regexp.MustCompile(`\]\(([^)#:]+)[^):]*\)`).FindAllStringSubmatch(string(tutorial), -1) {
		require.FileExists(t, filepath.Join("../..", m[1]))
	}
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(readme), "](TUTORIAL.md)")
	// The page is opened before there is a project.
	require.NotEmpty(t, opens)
	t.Chdir(t.TempDir())
	try(t, opens)
}

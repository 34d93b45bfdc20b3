package main

import (
	"bytes"
	"cmp"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/desktest"
	"lampblack/cmd/lampblack/internal/starter"
	"lampblack/export/result"
)

// told returns every call of lampblack that a text shows: lines of code blocks and `code` that begin with it.
func told(text string) [][]string {
	var out [][]string
	for _, m := range regexp.MustCompile("(?m)(?:^ *|`)(?:go run ./cmd/lampblack|lampblack) ([a-z][^`\n]*)").FindAllStringSubmatch(text, -1) {
		// In help, words set off by two blanks explain the call.
		call, _, _ := strings.Cut(m[1], "  ")
		call, _, _ = strings.Cut(call, " > ") // a shell's
		out = append(out, strings.Fields(call))
	}
	return out
}

// workshop is a folder in which all calls shown can be tried: half of the example, and a drawing for each name they use.
func workshop(t *testing.T) {
	t.Helper()
	example, err := filepath.Abs(filepath.Join("..", "..", "examples", "observatory"))
	require.NoError(t, err)
	dir := t.TempDir()
	desk := filepath.Join(dir, "examples", "observatory")
	require.NoError(t, os.CopyFS(desk, os.DirFS(example)))
	require.NoError(t, os.RemoveAll(filepath.Join(desk, outName)))
	observatory, err := os.ReadFile(filepath.Join(desk, "lampblack.yaml"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(desk, "lampblack.yaml"), []byte(desktest.Half(t, string(observatory))), 0o644))
	src, err := starter.Drawing()
	require.NoError(t, err)
	for _, name := range []string{"my-sketch.dxf", "dome.dxf", "focus.dxf", "shutter.dxf"} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), src, 0o644))
	}
	// A call without a project takes the folder it stands in.
	const project = "console: Desk\nsupply: {volts: 12 V, amps: 2 A}\npanels: [{drawing: dome.dxf}]\n"
	require.NoError(t, os.WriteFile(filepath.Join(dir, "lampblack.yaml"), []byte(project), 0o644))
	t.Chdir(dir)
	try(t, [][]string{{"build", "-o", "elsewhere"}})
	pack, err := os.ReadFile("elsewhere/dome/dome-fab.zip")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("my-pack.zip", pack, 0o644))
}

func try(t *testing.T, calls [][]string) {
	t.Helper()
	for i, args := range calls {
		if i > 0 && rank(calls[i-1]) < 3 && rank(args) == 3 {
			require.NoError(t, os.RemoveAll(outName)) // the sketch's
		}
		var out, errw bytes.Buffer
		ctx, end := t.Context(), func() {}
		if args[0] == "open" { // serves until it is told to end
			args = append(args, "--no-browser")
			ctx, end = context.WithTimeout(ctx, time.Second)
		}
		status := runUntil(ctx, args, strings.NewReader(""), &out, &errw)
		end()
		require.Zero(t, status, "lampblack %s\n%s%s", strings.Join(args, " "), out.String(), errw.String())
		require.NotEmpty(t, out.String())
	}
}

// Every command shown in README.md and in any help does what it says.
func TestCommandsShown(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	calls := told(string(readme))
	require.Equal(t, []string{"build", "examples/observatory"}, calls[0], "README's first command builds the example")
	calls = append(calls, told((&app{}).root().Example)...)
	for _, c := range (&app{}).root().Commands() {
		if c.Name() == "help" {
			continue
		}
		require.True(t, slices.ContainsFunc(calls, func(call []string) bool { return call[0] == c.Name() }), "README shows %s", c.Name())
		found := told(c.Example)
		require.NotEmpty(t, found, "the help of %s has an example", c.Name())
		require.Equal(t, c.Name(), found[0][0])
		require.NotEmpty(t, c.Long)
		calls = append(calls, found...)
	}
	// Each once; the starter before what builds it, wherever the texts tell of either.
	seen := map[string]bool{}
	calls = slices.DeleteFunc(calls, func(c []string) bool {
		key := strings.Join(c, " ")
		again := seen[key]
		seen[key] = true
		return again
	})
	slices.SortStableFunc(calls, func(a, b []string) int { return cmp.Compare(rank(a), rank(b)) })
	workshop(t)
	try(t, calls)
}

// README's list of what one gets is the list of what a build writes; UPDATE_GOLDEN=1 writes it.
func TestReadmeTellsFiles(t *testing.T) {
	name := filepath.Join("..", "..", "README.md")
	src, err := os.ReadFile(name)
	require.NoError(t, err)
	const head = "## What you get\n\n```\n"
	before, rest, ok := strings.Cut(string(src), head)
	require.True(t, ok)
	list, after, ok := strings.Cut(rest, "```\n")
	require.True(t, ok)
	want := result.Listing("out")
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(name, []byte(before+head+want+"```\n"+after), 0o644))
		list = want
	}
	require.Equal(t, want, list)
}

// rank puts what makes files before what reads them. The builds of the sketch and of the project in the workshop write the same
// folder, which one would not take from the other, so that each is followed by the inspection of its pack.
func rank(call []string) int {
	line := strings.Join(call, " ")
	switch {
	case call[0] == "new":
		return 0
	case line == "build my-sketch.dxf":
		return 1
	case call[0] == "inspect" && strings.Contains(line, "my-sketch"):
		return 2
	case call[0] == "build":
		return 3
	}
	return 4
}

// The README's table of keys and its rules are those that the project's reader takes: each YAML block in it reads clean.
func TestReadmeProjectFiles(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	blocks := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(string(readme), -1)
	require.NotEmpty(t, blocks)
	for _, b := range blocks {
		text := b[1]
		if strings.HasPrefix(text, "currency:") {
			continue // a price list
		}
		if !strings.Contains(text, "supply:") {
			text += "supply: {volts: 12 V, amps: 2 A}\n"
		}
		if !strings.Contains(text, "panels:") {
			text += "panels: [{drawing: a.dxf}]\n"
		}
		o, err := openText(t, text)
		require.NoError(t, err)
		require.Empty(t, o.findings, text)
	}
}

// README shows the pictures that TestPictures keeps true, all of them and no others.
func TestReadmeShowsPictures(t *testing.T) {
	src, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, err)
	var shown, kept []string
	for _, m := range regexp.MustCompile(`\]\(examples/observatory/pictures/([^)]*)\)`).FindAllStringSubmatch(string(src), -1) {
		shown = append(shown, m[1])
	}
	for _, p := range pictures {
		kept = append(kept, strings.ReplaceAll(p, "/", "-"))
	}
	require.ElementsMatch(t, kept, shown)
}

func openText(t *testing.T, text string) (opened, error) {
	t.Helper()
	name := filepath.Join(t.TempDir(), "lampblack.yaml")
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	return open([]string{name})
}

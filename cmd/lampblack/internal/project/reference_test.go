package project

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/require"
)

// README's tables of keys say what the keys are: between "<!-- keys: NAME ... -->" and "<!-- end of keys -->" stands the
// table of the keys named. UPDATE_GOLDEN=1 writes them.
func TestReadmeHasTheKeys(t *testing.T) {
	const file = "../../../../README.md"
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	told := map[string]bool{}
	got := regexp.MustCompile(`(?s)<!-- keys: ([a-z_ ]+) -->\n.*?<!-- end of keys -->`).ReplaceAllStringFunc(string(src), func(block string) string {
		head, _, _ := strings.Cut(block, "\n")
		var rows []Row
		for _, name := range strings.Fields(strings.TrimSuffix(strings.TrimPrefix(head, "<!-- keys: "), "-->")) {
			require.NotEmpty(t, Reference(name), name)
			require.False(t, told[name], "%s stands twice", name)
			told[name] = true
			rows = append(rows, Reference(name)...)
		}
		return head + "\n" + Table(rows) + "<!-- end of keys -->"
	})
	for _, name := range fileKeys().names() {
		require.True(t, told[name], "README has no table with %s", name)
	}
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		return
	}
	require.Equal(t, got, string(src), "UPDATE_GOLDEN=1 go test writes the tables anew")
}

// What README's tables show as a value in braces or brackets can be pasted: no comma within a rule ends it, which would leave a key of
// half a place and no value.
func TestReadmeValuesAreYAML(t *testing.T) {
	src, err := os.ReadFile("../../../../README.md")
	require.NoError(t, err)
	var whole func(v any) bool
	whole = func(v any) bool {
		switch v := v.(type) {
		case nil:
			return false
		case []any:
			return !slices.ContainsFunc(v, func(e any) bool { return !whole(e) })
		case map[string]any:
			for _, e := range v {
				if !whole(e) {
					return false
				}
			}
		}
		return true
	}
	n := 0
	for _, m := range regexp.MustCompile("`([a-z_]+: )?([\\[{][^`]*[\\]}])`").FindAllStringSubmatch(string(src), -1) {
		if strings.Contains(m[2], "...") || strings.Contains(m[2], "=") || m[1] == "" && !strings.Contains(m[2], ": ") {
			continue
		}
		n++
		var v any
		require.NoError(t, yaml.Unmarshal([]byte(m[2]), &v), m[2])
		require.True(t, whole(v), m[2])
	}
	require.Greater(t, n, 20)
}

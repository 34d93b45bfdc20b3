package project

import (
	"os"
	"regexp"
	"strings"
	"testing"

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

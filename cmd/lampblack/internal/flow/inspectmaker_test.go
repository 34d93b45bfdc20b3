package flow

import (
	"context"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A good pack of another maker: its layers name their functions but not their polarity, and its job file names both, in its own
// spelling (SolderMask, SolderPaste, Profile alone). What a file does not say of itself is not held against the job file.
func TestInspectPackOfAnotherMaker(t *testing.T) {
	p := goodPacks(t)[0]
	files := map[string][]byte{}
	for _, f := range p.files {
		s := string(f.Data)
		switch {
		case strings.HasSuffix(f.Path, ".txt"):
			continue
		case strings.HasSuffix(f.Path, ".gbr"):
			s = regexp.MustCompile(`(?m)^%TF\.(GenerationSoftware|FilePolarity|MD5),.*\n`).ReplaceAllString(s, "")
		case strings.HasSuffix(f.Path, ".gbrjob"):
			s = strings.NewReplacer("Soldermask,", "SolderMask,", `"Paste,`, `"SolderPaste,`, "Profile,NP", "Profile").Replace(s)
		}
		files[f.Path] = []byte(s)
	}
	got := must(Inspect(context.Background(), "x.zip", zipped(files), fine(), "test", false))
	require.Empty(t, codesOf(got))
	unsaid := 0
	for _, f := range got.List {
		for _, g := range f.Each() {
			if g.Code == "readback-no-polarity" {
				unsaid++
			}
		}
	}
	require.Equal(t, len(p.art.Layers)-1, unsaid, "that they do not say so is told, but of the profile: %v", got.Findings)
	// What they do say is compared.
	name := p.art.Name + "-soldermask-top.gbr"
	files[name] = []byte(strings.Replace(string(files[name]), "%LPD*%", "%TF.FilePolarity,Positive*%\n%LPD*%", 1))
	require.Contains(t, codesOf(must(Inspect(context.Background(), "x.zip", zipped(files), fine(), "test", false))), "inspect-job-polarity")
}

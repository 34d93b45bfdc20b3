package desk

import (
	"fmt"
	"strings"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/bundle"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

// Change is a change of the project file, as result.json has it.
type Change = result.Change

func diagChanges(all []Change) ([]diag.Change, error) {
	out := make([]diag.Change, len(all))
	for i, c := range all {
		var err error
		if out[i], err = c.Diag(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// chosen returns the changes that a choice's YAML, of a panel's entry, means.
func chosen(panel, words, yaml string) []Change {
	tree, err := project.Tree(yaml)
	if err != nil {
		return nil
	}
	var out []diag.Change
	for _, p := range tree {
		at := diag.PanelKey(panel, p.Key)
		roles, ok := p.Value.(diag.Pairs)
		if !ok || p.Key != "roles" {
			out = append(out, diag.Change{Words: words, At: at, Do: diag.Set, Value: p.Value})
			continue
		}
		for _, r := range roles {
			rules, many := r.Value.([]any)
			if !many {
				rules = []any{r.Value}
			}
			for _, one := range rules {
				out = append(out, diag.Change{Words: words, At: at + "." + r.Key, Do: diag.Add, Value: one})
			}
		}
	}
	return result.ChangesOf(out)
}

// Editing is what an edit takes: changes that are made together, or not at all.
type Editing struct {
	Changes []Change `json:"changes"`
}

// Told is what was done, in words. With it come files to be laid onto the desk; those of Gone are to be taken off it.
type Told struct {
	Words string   `json:"words"`
	Gone  []string `json:"gone,omitempty"`
}

// edit changes the project file; all that is not changed stays as it is written.
func edit(a *asked) (given, error) {
	var in Editing
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	if _, _, err := a.project(); err != nil {
		return given{}, err
	}
	changes, err := diagChanges(in.Changes)
	if err != nil {
		return given{}, err
	}
	src, err := a.read(project.FileName)
	if err != nil {
		return given{}, err
	}
	out, err := project.Edited(src, project.FileName, changes)
	if err != nil {
		return given{}, err
	}
	var words []string
	for _, c := range in.Changes {
		if c.Words != "" && (len(words) == 0 || words[len(words)-1] != c.Words) {
			words = append(words, c.Words)
		}
	}
	if len(words) == 0 {
		words = []string{fmt.Sprintf("%s is changed", project.FileName)}
	}
	return given{gives: Told{Words: strings.Join(words, "; ")}, files: []bundle.File{{Path: project.FileName, Data: out}}}, nil
}

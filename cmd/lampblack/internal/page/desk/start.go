package desk

import (
	"fmt"

	"lampblack/cmd/lampblack/internal/starter"
	"lampblack/examples"
)

// Start is what to begin with: "observatory" or "greenhouse", which are the examples, or "empty", a small panel to draw on from.
type Start struct {
	Of string `json:"of"`
}

// start gives the files of a project, each with its path.
func start(a *asked) (given, error) {
	var in Start
	if err := a.with(&in); err != nil {
		return given{}, err
	}
	if in.Of == "empty" {
		files, err := starter.Files()
		return given{gives: struct{}{}, files: files}, err
	}
	files, ok := examples.Named(in.Of)
	if !ok {
		return given{}, fmt.Errorf("there is no example %q", in.Of)
	}
	return given{gives: struct{}{}, files: files}, nil
}

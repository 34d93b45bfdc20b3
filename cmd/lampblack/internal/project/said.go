package project

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

// Said returns the single value that the text of a project file has at a path ("supply.volts", "panels.2.current"), as it is written
// but for quotes; ok is false where nothing single is written there, and of a text that is no YAML.
func Said(src []byte, path string) (value string, ok bool) {
	text, _ := decoded(src)
	file, err := parser.ParseBytes([]byte(text), 0)
	if err != nil {
		return "", false
	}
	var at strings.Builder
	at.WriteByte('$')
	for step := range strings.SplitSeq(path, ".") {
		if _, err := strconv.Atoi(step); err == nil {
			at.WriteString("[" + step + "]")
		} else {
			at.WriteString("." + step)
		}
	}
	p, err := yaml.PathString(at.String())
	if err != nil {
		return "", false
	}
	n, err := p.FilterFile(file)
	if err != nil {
		return "", false
	}
	if s, ok := n.(ast.ScalarNode); ok {
		return s.GetToken().Value, true
	}
	return "", false
}

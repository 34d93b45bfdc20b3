package main

import (
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/export/compare"
	"lampblack/export/result"
	"lampblack/panel/diag"
)

// reference is something that lampblack can tell of what it reads and writes.
type reference struct {
	name, what string
	print      func() []byte
}

// references are all of them; the first is told where none is named.
func references() []reference {
	return []reference{
		{"project", "of " + project.FileName, project.JSONSchema},
		{"result", "of result.json, and of what build --json and check --json print", result.Schema},
		{"survey", "of what survey --json prints", result.SurveySchema},
		{"prices", "of the price list that the project names", project.PriceSchema},
		{"compare", "of what compare --json prints", compare.Schema},
		{"keys", "no schema, but the keys of " + project.FileName + " as a table (Markdown)", project.Keys},
	}
}

func (a *app) schema() *cobra.Command {
	var names, lines []string
	for _, s := range references() {
		names = append(names, s.name)
		lines = append(lines, "  "+s.name+strings.Repeat(" ", 9-len(s.name))+s.what)
	}
	return &cobra.Command{
		Use:   "schema [" + strings.Join(names, "|") + "]",
		Short: "Print the JSON Schema of the project file or of the results",
		Long: `Schema prints a JSON Schema (draft 2020-12):
` + strings.Join(lines, "\n") + `
Without a name it is that of the project file. Editors that know JSON Schema tell by it what a key means, complete
it, and mark what is wrong while you write. --json changes nothing: a schema is JSON.`,
		Example: `  lampblack schema > lampblack.schema.json
  lampblack schema result`,
		ValidArgs: names,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usage("schema takes one name: %s", strings.Join(names, ", "))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			name := names[0]
			if len(args) > 0 {
				name = args[0]
			}
			for _, s := range references() {
				if s.name != name {
					continue
				}
				if _, err := a.out.Write(s.print()); err != nil {
					return failed("writing the schema: %w", err)
				}
				return nil
			}
			if near, ok := diag.Nearest(name, names); ok {
				return usage("there is no schema of %q; did you mean %s?", name, near)
			}
			return usage("there is no schema of %q; there are: %s", name, strings.Join(names, ", "))
		},
	}
}

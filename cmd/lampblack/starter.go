package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/starter"
	"lampblack/export/bundle"
)

func (a *app) starter() *cobra.Command {
	return &cobra.Command{
		Use:   "new DIR",
		Short: "Write a starter project that builds",
		Long: `New writes a small project of one panel, the shutter control of an observatory, into DIR: a drawing
to look at in your CAD program and a lampblack.yaml with the usual keys explained. DIR must be new or
empty.`,
		Example: `  lampblack new my-desk
  lampblack build my-desk`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("new needs one folder: lampblack new my-desk")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			dir := args[0]
			if err := vacant(dir); err != nil {
				return err
			}
			files, err := starter.Files()
			if err != nil {
				return failed("%w", err)
			}
			names := []string{}
			for _, f := range files {
				names = append(names, filepath.Join(dir, f.Path))
			}
			if err := bundle.Fill(dir, files); err != nil {
				return failed("writing %s: %w; name a folder that can be written", dir, cause(err))
			}
			if a.json {
				return a.print(struct {
					Lampblack string   `json:"lampblack"`
					Files     []string `json:"files"`
				}{version, names})
			}
			for _, n := range names {
				fmt.Fprintln(a.out, n)
			}
			fmt.Fprintf(a.out, "Next: lampblack build %s\n", dir)
			return nil
		},
	}
}

// vacant refuses a folder that holds anything.
func vacant(dir string) error {
	if dir == "" {
		return usage("the folder's name is empty")
	}
	st, err := os.Stat(dir)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return failed("%s: %w; name a folder that can be written", dir, cause(err))
	case !st.IsDir():
		return usage("%s is a file; name a new folder", dir)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return failed("%s: %w", dir, cause(err))
	}
	if len(entries) > 0 {
		return usage("%s is not empty; name a new folder", dir)
	}
	return nil
}

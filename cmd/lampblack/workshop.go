package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/page"
	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/cmd/lampblack/internal/page/folder"
	"lampblack/cmd/lampblack/internal/page/local"
)

func (a *app) workshop() *cobra.Command {
	var quiet bool
	c := &cobra.Command{
		Use:   "open [PROJECT or DRAWING...]",
		Short: "Open the workshop page in the browser",
		Long: `Open shows the workshop in the browser: what a drawing is taken for, the light, the boards, the
currents and the files, to look at and to change. It computes here and follows the folder: save in CAD, and
the page shows the new panel. PROJECT and DRAWINGs are as for build; without them it opens the project of the
folder you are in, or, where there is none, an empty desk.

Only the project file and what it names can be reached from the page, at an address of this machine that has a
random token in it. Nothing is written before you click save, but for ` + folder.Draft + ` beside the project,
which keeps what is not saved yet. Stop it with Ctrl-C.`,
		Example: `  lampblack open my-desk
  lampblack open my-sketch.dxf --no-browser`,
		RunE: func(cmd *cobra.Command, args []string) error {
			e := desk.New(version)
			o, err := a.open(args, "")
			switch {
			case err != nil:
				return err
			case o.gone():
				return usage("there is no drawing %s", o.drawings[0])
			case o.unreadable && len(args) > 0:
				return usage("there is no project at %s; without a name, 'lampblack open' begins with an empty desk", args[0])
			case !o.unreadable:
				e = e.At(folder.Of(o.project, o.home))
			}
			s, err := local.Listen(page.Served(), e)
			if err != nil {
				return failed("%w", err)
			}
			fmt.Fprintln(a.out, s.Address())
			if err := a.out.Flush(); err != nil { // it serves for long
				return failed("%w", err)
			}
			done := func() {}
			if !quiet {
				if done, err = browse(s.Address()); err != nil {
					fmt.Fprintln(a.screen.W, "No browser could be opened: open that address in one.")
				}
			}
			defer done()
			if err := s.Serve(cmd.Context(), done); cmd.Context().Err() == nil {
				return failed("%w", err)
			}
			return nil // it was told to end
		},
	}
	c.Flags().BoolVar(&quiet, "no-browser", false, "print the address, open no browser")
	return c
}

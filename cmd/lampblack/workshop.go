package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/page"
	"lampblack/cmd/lampblack/internal/page/desk"
	"lampblack/cmd/lampblack/internal/page/local"
)

func (a *app) workshop() *cobra.Command {
	return &cobra.Command{
		Use:   "open",
		Short: "Open the workshop page in the browser",
		RunE: func(cmd *cobra.Command, _ []string) error {
			s, err := local.Listen(page.Served(), desk.New(version))
			if err != nil {
				return failed("%w", err)
			}
			fmt.Fprintln(a.screen.W, s.Address())
			return s.Serve(cmd.Context())
		},
	}
}

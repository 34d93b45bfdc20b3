package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/panel/diag"
)

// version is told in every file that is written.
const version = flow.Version

// Exit statuses.
const (
	statusGood   = 0
	statusErrors = 1 // in a drawing, the project or a board
	statusUsage  = 2 // the call is wrong
	statusFailed = 3 // a file could not be read or written, the machine failed, or the work was stopped
)

// run is the whole tool: its arguments without the program's name, its streams, and back its exit status. An interrupt ends
// the work; a second one ends the program.
func run(args []string, in io.Reader, out, errw io.Writer) (status int) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop)
	return runUntil(ctx, args, in, out, errw)
}

// runUntil is run for as long as ctx is not done.
func runUntil(ctx context.Context, args []string, in io.Reader, out, errw io.Writer) (status int) {
	buffered := bufio.NewWriter(out)
	a := &app{out: buffered, screen: term.NewScreen(errw, os.Getenv)}
	defer func() {
		if err := buffered.Flush(); err != nil && status < statusFailed {
			fmt.Fprintf(errw, "lampblack: writing the results: %v\n", err)
			status = statusFailed
		}
	}()
	root := a.root()
	root.SetArgs(append([]string{}, args...)) // nil would make cobra read os.Args
	root.SetIn(in)
	root.SetOut(buffered)
	root.SetErr(errw)
	err := root.ExecuteContext(ctx)
	var e *exit
	switch {
	case err == nil:
		return statusGood
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(errw, "lampblack: stopped; nothing was changed")
		return statusFailed
	case errors.As(err, &e):
		if e.err != nil {
			fmt.Fprintf(errw, "lampblack: %v\n", e.err)
		}
		return e.status
	}
	// All that cobra itself refuses is a wrong call.
	fmt.Fprintf(errw, "lampblack: %s\n", strings.TrimSpace(err.Error()))
	fmt.Fprintln(errw, "'lampblack --help' and 'lampblack COMMAND --help' show how to call it")
	return statusUsage
}

// exit ends a command with a status; err, if any, is still to be told.
type exit struct {
	status int
	err    error
}

func (e *exit) Error() string {
	if e.err == nil {
		return fmt.Sprintf("exit status %d", e.status)
	}
	return e.err.Error()
}

func (e *exit) Unwrap() error { return e.err }

func usage(format string, args ...any) error { return &exit{statusUsage, fmt.Errorf(format, args...)} }

func failed(format string, args ...any) error {
	return &exit{statusFailed, fmt.Errorf(format, args...)}
}

// app is what all commands share.
type app struct {
	out    *bufio.Writer
	screen term.Screen
	json   bool
	all    bool
}

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "lampblack",
		Short: "Boards, laser sheets and supply for backlit panels, from your CAD sketch",
		Long: `Lampblack reads the DXF drawings of a console's panels and makes what lights them:
routed two-layer LED boards as packs for a board house, laser sheets, and the
proof that one supply carries the whole console.`,
		Example: `  lampblack new my-desk          a starter project
  lampblack build my-desk        its boards and sheets, into my-desk/out
  lampblack build my-sketch.dxf  without a project: 12 V, 2 A, red 3 mm LEDs at 8 mA
  lampblack relight my-sketch.dxf --count 12  places for LEDs that light evenly
  lampblack inspect out/my-sketch/my-sketch-fab.zip  judges a pack, as a board house would`,
		Version:       version,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknown(cmd, args[0])
			}
			return cmd.Help()
		},
		Args: cobra.ArbitraryArgs,
	}
	root.CompletionOptions.DisableDefaultCmd = true
	root.PersistentFlags().BoolVar(&a.json, "json", false, "print the results as JSON")
	root.PersistentFlags().BoolVar(&a.all, "all", false, fmt.Sprintf("show all findings, not only the gravest %d", term.Cap))
	root.AddCommand(a.build(), a.check(), a.survey(), a.supply(), a.inspect(), a.compare(), a.relight(), a.starter(), a.workshop(), a.schema())
	root.SetFlagErrorFunc(badFlag)
	root.SetHelpCommand(help())
	root.InitDefaultHelpCmd() // so that "lampblack help build" works
	return root
}

// unknown is what there is to say of a command that there is not.
func unknown(root *cobra.Command, name string) error {
	var names []string
	for _, c := range root.Commands() {
		names = append(names, c.Name())
	}
	if near, ok := diag.Nearest(name, names); ok {
		return fmt.Errorf("unknown command %q; did you mean %s?", name, near)
	}
	return fmt.Errorf("unknown command %q", name)
}

// tell shows the findings and returns the exit that they and unreadable files call for, or nil.
func (a *app) tell(l diag.List, unreadable bool) error {
	limit := term.Cap
	if a.all {
		limit = 0
	}
	a.screen.Findings(l, limit)
	switch {
	case unreadable:
		return &exit{status: statusFailed}
	case l.HasErrors():
		return &exit{status: statusErrors}
	}
	return nil
}

// print writes results as JSON.
func (a *app) print(v any) error {
	if err := term.JSON(a.out, v); err != nil {
		return failed("writing the results: %w", err)
	}
	return nil
}

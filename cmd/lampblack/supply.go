package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/project"
	"lampblack/cmd/lampblack/internal/term"
	"lampblack/export/result/tables"
)

// mostConsoles bounds how many consoles one call builds by chance.
const mostConsoles = 100_000

func (a *app) supply() *cobra.Command {
	var whatIf string
	var seed uint64
	var consoles int
	c := &cobra.Command{
		Use:   "supply [PROJECT or DRAWING...]",
		Short: "Show strings, currents, drops and whether the supply holds",
		Long: `Supply shows what the console asks of its power supply: each board's strings and resistors, the
current in every piece of the feed, the voltage that arrives, and the verdict: ok up to 80 % of the
supply's rating, tight up to the rating, over above it, none where nothing can be said, as when its
voltage breaks down. Other loads on the same supply count. Where groups are dimmed, the currents full
on and in the mean are told apart. What switching on another load does to the light is told where the
supply has a resistance, and for the first moment where the load has an inrush.

It also builds the console many times from parts as they are sold, each within its limits by chance,
and shows how far panels then differ: 5 of 100 consoles stay below the low figure, half of them below
the usual one, and 5 come out above the high one.

--what-if shows what a change would do, before and after side by side; nothing is written. What can
be changed:
  ` + strings.Join(flow.ChangeKeys(), "\n  "),
		Example: `  lampblack supply examples/observatory
  lampblack supply examples/observatory --what-if leds=dome:18,current=6mA,volts=24V
  lampblack supply my-sketch.dxf --json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if consoles < 0 || consoles > mostConsoles {
				return usage("--consoles: from 0 to %d", mostConsoles)
			}
			o, err := a.open(args, "")
			if err != nil {
				return err
			}
			run := func(p project.Project, set flow.Settings) (flow.Outcome, error) {
				set.Seed, set.Consoles = seed, consoles
				return flow.Supply(cmd.Context(), p, set)
			}
			if cmd.Flags().Changed("what-if") && !o.findings.HasErrors() {
				return a.whatIf(o, whatIf, run)
			}
			outcome, err := a.work(o, run)
			if err != nil {
				return err
			}
			end := a.tell(outcome.Findings, outcome.Unreadable)
			if a.json {
				if err := a.print(outcome.Result.Sealed()); err != nil {
					return err
				}
				return end
			}
			stringTables(a.out, outcome)
			consoleTables(a.out, outcome)
			if r := outcome.Result.Supply; r != nil && r.Spread != nil {
				term.Table(a.out, tables.Spread(*r.Spread))
			}
			conclude(a.out, outcome)
			return end
		},
	}
	c.Flags().StringVar(&whatIf, "what-if", "", "changes to try, separated by commas: leds=dome:18,current=6mA,volts=24V")
	c.Flags().Uint64Var(&seed, "seed", 1, "seed of the consoles built by chance; the same seed gives the same figures")
	c.Flags().IntVar(&consoles, "consoles", 2000, "consoles to build by chance; 0 builds none")
	return c
}

// conclude is the last line.
func conclude(w io.Writer, o flow.Outcome) {
	if r := o.Result.Supply; r != nil {
		fmt.Fprintf(w, "Supply %s. %s\n", r.Verdict, r.Sentence)
		return
	}
	fmt.Fprintf(w, "no currents computed; %s.\n", term.Tally(o.Findings))
}

package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"lampblack/cmd/lampblack/internal/flow"
	"lampblack/cmd/lampblack/internal/term"
)

func (a *app) supply() *cobra.Command {
	return &cobra.Command{
		Use:   "supply [PROJECT or DRAWING...]",
		Short: "Show strings, currents, drops and whether the supply holds",
		Long: `Supply shows what the console asks of its power supply: each board's strings and resistors, the
current in every piece of the feed, the voltage that arrives, and the verdict: ok up to 80 % of the
supply's rating, tight up to the rating, over above it. Other loads on the same supply count.`,
		Example: `  lampblack supply examples/observatory
  lampblack supply my-sketch.dxf --json`,
		RunE: func(_ *cobra.Command, args []string) error {
			o, err := open(args)
			if err != nil {
				return err
			}
			outcome := a.work(o, flow.Supply)
			end := a.tell(outcome.Findings, outcome.Unreadable)
			if a.json {
				if err := a.print(outcome.Result); err != nil {
					return err
				}
				return end
			}
			stringTables(a.out, outcome)
			consoleTables(a.out, outcome)
			if r := outcome.Result.Supply; r != nil {
				fmt.Fprintln(a.out, verdict(*r))
			} else {
				fmt.Fprintf(a.out, "no currents computed; %s.\n", term.Tally(outcome.Findings))
			}
			return end
		},
	}
}

// verdict is the supply in one sentence, and what to do.
func verdict(r flow.SupplyResult) string {
	total := r.WorstA + r.OtherA
	share := 0.0
	if r.RatedA > 0 {
		share = 100 * total / r.RatedA
	}
	s := fmt.Sprintf("supply %s: at worst %.2f A of %.2f A (%.0f %%)", r.Verdict, total, r.RatedA, share)
	switch r.Verdict {
	case "ok":
		return s + "."
	case "tight":
		return s + fmt.Sprintf("; one of %.1f A or more would run cooler and leave room for starting currents.", total/0.8)
	}
	return s + fmt.Sprintf("; take one of at least %.1f A, lower the LEDs' current, or move other loads to a supply of their own.", total/0.8)
}

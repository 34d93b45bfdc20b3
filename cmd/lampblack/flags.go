package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"lampblack/cmd/lampblack/internal/project"
	"lampblack/led/part"
	"lampblack/panel/diag"
)

// badFlag says in a builder's words what is wrong with a flag; those of the library speak of parsing.
func badFlag(c *cobra.Command, err error) error {
	var (
		none    *pflag.NotExistError
		nothing *pflag.ValueRequiredError
		value   *pflag.InvalidValueError
		syntax  *pflag.InvalidSyntaxError
	)
	help := fmt.Sprintf("'%s --help' lists the flags", c.CommandPath())
	switch {
	case errors.As(err, &none):
		if letters := none.GetSpecifiedShortnames(); letters != "" {
			return usage("there is no flag -%c; %s", []rune(letters)[0], help)
		}
		var names []string
		c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if near, ok := diag.Nearest(none.GetSpecifiedName(), names); ok {
			return usage("there is no flag --%s; did you mean --%s?", none.GetSpecifiedName(), near)
		}
		return usage("there is no flag --%s; %s", none.GetSpecifiedName(), help)
	case errors.As(err, &nothing):
		f := nothing.GetFlag()
		return usage("%s needs a value: %s", flagName(f), f.Usage)
	case errors.As(err, &value):
		f := value.GetFlag()
		return usage("%s %s: %s", flagName(f), strconv.Quote(value.GetValue()), wanted(f, value))
	case errors.As(err, &syntax):
		return usage("%s is no flag; %s", strconv.Quote(syntax.GetSpecifiedFlag()), help)
	}
	return usage("a flag is wrong: %w; %s", err, help)
}

func flagName(f *pflag.Flag) string {
	if f.Shorthand != "" {
		return "-" + f.Shorthand
	}
	return "--" + f.Name
}

// wanted says what value a flag takes.
func wanted(f *pflag.Flag, err *pflag.InvalidValueError) string {
	large := errors.Is(err, strconv.ErrRange)
	switch f.Value.Type() {
	case "int":
		if large {
			return "the number is too large"
		}
		return "write a whole number, such as 40"
	case "uint64":
		if large {
			return "the number is too large"
		}
		return "write a whole number from 0, such as 1"
	case "bool":
		return "write the flag alone, or with =true or =false"
	}
	return err.Unwrap().Error() // a kind of our own
}

// share is a flag's value: a share of a whole, above none and below all.
type share float64

func (s *share) Type() string   { return "share" }
func (s *share) String() string { return strconv.FormatFloat(float64(*s), 'g', -1, 64) }

// Set reads 70%, 70 % or 0.7.
func (s *share) Set(text string) error {
	const how = "write a share between 0 and 1, as 0.7, or in percent, as 70%"
	text = strings.ReplaceAll(strings.TrimSpace(text), ",", ".")
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		if !strings.ContainsAny(text, "%p") {
			return errors.New(how)
		}
		if x, err = part.Percents().Read(text); err != nil {
			return errors.New(how)
		}
	}
	switch {
	case x > 1 && x < 100 && !strings.ContainsAny(text, "%p"):
		return fmt.Errorf("%s; did you mean %s%%?", how, text)
	case !(x > 0 && x < 1):
		return errors.New(how)
	}
	*s = share(x)
	return nil
}

// copies is a flag's value: how many consoles to make; 0: as the project says.
type copies int

// flag gives a command the flag.
func (n *copies) flag(c *cobra.Command) {
	c.Flags().Var(n, "copies", "consoles to count parts, boards, arrays and sheets for (default: the project's, or 1)")
}

func (n *copies) Type() string   { return "N" }
func (n *copies) String() string { return "" }

// Set reads a number of consoles.
func (n *copies) Set(text string) error {
	v, err := strconv.Atoi(text)
	if err != nil || v < 1 || v > project.MostCopies {
		return fmt.Errorf("write a whole number from 1 to %d, such as 10", project.MostCopies)
	}
	*n = copies(v)
	return nil
}

// help is the command that shows the help of another.
func help() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Help about any command",
		RunE: func(c *cobra.Command, args []string) error {
			root := c.Root()
			if len(args) == 0 {
				return root.Help()
			}
			of, _, err := root.Find(args)
			if err != nil || of == root {
				return unknown(root, args[0])
			}
			of.InitDefaultHelpFlag()
			return of.Help()
		},
	}
}

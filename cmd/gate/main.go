// Gate is what .ci/run needs beyond the go command.
//
//	go test -json ./... | gate results    prints what go test prints, then the skipped tests with their reasons
//	gate parallel                         lists the packages that run goroutines, for the race detector
package main

import (
	"fmt"
	"os"
)

func main() {
	good, err := false, error(nil)
	switch {
	case len(os.Args) == 2 && os.Args[1] == "results":
		good, err = results(os.Stdin, os.Stdout)
	case len(os.Args) == 2 && os.Args[1] == "parallel":
		var list []string
		if list, err = parallel(os.DirFS(".")); err == nil {
			good = true
			for _, pkg := range list {
				fmt.Println("./" + pkg)
			}
		}
	default:
		err = fmt.Errorf("usage: gate results | gate parallel")
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "gate:", err)
	}
	if !good {
		os.Exit(1)
	}
}

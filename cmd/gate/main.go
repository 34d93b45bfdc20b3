// Gate is what .ci/run needs beyond the go command.
//
//	go test -json ./... | gate results    prints what go test prints, then the skipped tests with their reasons
//	gate parallel                         lists the packages that run goroutines, for the race detector
//	gate compiles TARGETS PACKAGES        checks that the packages would compile for systems, as windows/arm64,linux/amd64
package main

import (
	"errors"
	"fmt"
	"go/ast"
	"go/token"
	"os"
	"strings"
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
	case len(os.Args) > 3 && os.Args[1] == "compiles":
		c := checker{token.NewFileSet(), map[string]*ast.File{}}
		for target := range strings.SplitSeq(os.Args[2], ",") {
			err = errors.Join(err, c.compiles(".", target, os.Args[3:]...))
		}
		good = err == nil
	default:
		err = fmt.Errorf("usage: gate results | gate parallel | gate compiles TARGETS PACKAGES")
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "gate:", err)
	}
	if !good {
		os.Exit(1)
	}
}

package main

import (
	"bufio"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
)

// event is a line of go test -json: see the documentation of cmd/test2json, and of go help buildjson for the builds.
type event struct {
	Action     string
	Package    string
	ImportPath string // of a build
	Test       string // empty: of the package
	Elapsed    float64
	Output     string
}

// slow is from where on a test is listed for the time it takes, in seconds.
const slow = 5

// name is a test of a package.
type name struct{ pkg, test string }

func byName(a, b name) int {
	return cmp.Or(strings.Compare(a.pkg, b.pkg), strings.Compare(a.test, b.test))
}

// results reads the events of go test -json and writes what go test alone would: a line for each package, and what failing
// tests said. Behind that it lists the skipped tests, each with its reason, and the slow ones. good is false if anything failed.
func results(in io.Reader, out io.Writer) (good bool, err error) {
	good = true
	said := map[name][]string{} // by tests that have not ended
	var skipped, took []string
	r := bufio.NewReader(in)
	for {
		line, readErr := r.ReadString('\n')
		if strings.TrimSpace(line) != "" {
			var e event
			if json.Unmarshal([]byte(line), &e) != nil {
				e = event{Action: "build-output", Output: line} // the go command's own words
			}
			at := name{e.Package, e.Test}
			switch e.Action {
			case "output":
				if e.Test != "" {
					said[at] = append(said[at], e.Output)
				} else if e.Output != "PASS\n" {
					fmt.Fprint(out, e.Output)
				}
			case "build-output":
				fmt.Fprint(out, e.Output)
			case "build-fail":
				good = false
			case "pass", "fail", "skip":
				if e.Action == "fail" {
					good = false
					ended := []name{at}
					if e.Test == "" { // a package that ends ends all its tests
						ended = slices.DeleteFunc(slices.SortedFunc(maps.Keys(said), byName), func(n name) bool { return n.pkg != e.Package })
					}
					for _, n := range ended {
						show(out, said[n])
						delete(said, n)
					}
				}
				if e.Action == "skip" && e.Test != "" {
					skipped = append(skipped, fmt.Sprintf("%s %s: %s", e.Package, e.Test, reason(said[at])))
				}
				if e.Test != "" && e.Elapsed > slow && !strings.Contains(e.Test, "/") {
					took = append(took, fmt.Sprintf("%s %s: %.0f s", e.Package, e.Test, e.Elapsed))
				}
				delete(said, at)
			}
		}
		if readErr == io.EOF {
			break
		}
		if readErr != nil {
			return false, readErr
		}
	}
	list(out, "tests that took more than 5 s", took)
	list(out, "skipped tests", skipped)
	return good, nil
}

func list(out io.Writer, title string, lines []string) {
	if len(lines) == 0 {
		fmt.Fprintf(out, "\nno %s\n", title)
		return
	}
	fmt.Fprintf(out, "\n%s:\n", title)
	for _, l := range lines {
		fmt.Fprintln(out, " ", l)
	}
}

// show prints what a failing test said, without the lines that tell of its coming and going.
func show(out io.Writer, lines []string) {
	for _, l := range lines {
		if !strings.HasPrefix(l, "=== ") {
			fmt.Fprint(out, l)
		}
	}
}

// reason returns why a test was skipped, from what it said: the words of t.Skip, with their place.
func reason(lines []string) string {
	var words []string
	for _, l := range lines {
		if l = strings.TrimSpace(l); l != "" && !strings.HasPrefix(l, "=== ") && !strings.HasPrefix(l, "--- ") {
			words = append(words, l)
		}
	}
	if len(words) == 0 {
		return "(no reason given)"
	}
	return strings.Join(words, " ")
}

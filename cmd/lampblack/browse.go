package main

import (
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"

	"lampblack/export/bundle"
)

// browse has the system open an address in the user's browser. done takes away what that wanted; call it when the browser has asked for
// the page, or at the end.
//
// The address has the token in it, and what a program is called with, other users of the machine can see. So the browser gets a page that
// only the user can read, and that leads to the address; but on Windows, where users do not see each other's programs.
func browse(address string) (done func(), err error) {
	done = func() {}
	what := address
	if runtime.GOOS != "windows" {
		// In the home folder, and not hidden there: browsers that are shut off from the rest of the system read nothing else.
		home, _ := os.UserHomeDir() // none: the system's folder for such
		if what, done, err = bundle.Aside(home, "lampblack-open.html", leadsTo(address)); err != nil {
			return done, err
		}
	}
	c := exec.Command(opener(runtime.GOOS)[0], append(opener(runtime.GOOS)[1:], what)...)
	if err := c.Start(); err != nil {
		return done, err
	}
	return done, c.Process.Release() // nobody waits for it: the address is printed in any case
}

// opener is the system's own way to open an address, or a page on the disk, in the user's browser.
func opener(system string) []string {
	switch system {
	case "windows":
		return []string{filepath.Join(os.Getenv("SystemRoot"), "System32", "rundll32.exe"), "url.dll,FileProtocolHandler"}
	case "darwin":
		return []string{"open"}
	}
	return []string{"xdg-open"}
}

// leadsTo is a page that leads to an address at once.
func leadsTo(address string) []byte {
	a := html.EscapeString(address)
	return []byte(`<!DOCTYPE html><html lang="en"><meta charset="utf-8"><meta name="referrer" content="no-referrer"><title>Lampblack</title>` +
		`<meta http-equiv="refresh" content="0;url=` + a + `"><p><a href="` + a + `">The workshop</a></p></html>` + "\n")
}

// Command release makes all that a release has: the program for each system, packed as that system's users can open it and with the
// licences of what it holds; the workshop's page with the program in it; and their checksums.
//
//	go run ./cmd/release -o dist
//	go run ./cmd/release -targets      tells what the programs are for, as windows/arm64, and makes nothing
//
// It is called in the module's root. The same sources and toolchain give the same bytes, on whatever machine and in whatever folder.
package main

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// A target is what a program is built for.
type target struct{ system, processor string }

func targets() []target {
	var out []target
	for _, system := range []string{"windows", "darwin", "linux"} {
		for _, processor := range []string{"amd64", "arm64"} {
			out = append(out, target{system, processor})
		}
	}
	return out
}

// program is what the program is called there.
func (t target) program() string {
	if t.system == "windows" {
		return "lampblack.exe"
	}
	return "lampblack"
}

// folder is where it lies in the archive.
func (t target) folder() string { return "lampblack-" + t.system + "-" + t.processor }

// archive is the archive's name in a release.
func (t target) archive() string {
	if t.system == "linux" {
		return t.folder() + ".tar.gz"
	}
	return t.folder() + ".zip"
}

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	set := flag.NewFlagSet("release", flag.ContinueOnError)
	dir := set.String("o", "dist", "the folder to write, which must be new or empty")
	tell := set.Bool("targets", false, "tell what the programs are for, and make nothing")
	if err := set.Parse(args); err != nil {
		return err
	}
	if *tell {
		for _, t := range targets() {
			fmt.Println(t.system + "/" + t.processor)
		}
		return nil
	}
	if err := empty(*dir); err != nil {
		return err
	}
	var licences []file
	for _, name := range []string{"LICENSE", "NOTICE"} {
		data, err := os.ReadFile(name)
		if err != nil {
			return fmt.Errorf("%w; call it in the module's root", err)
		}
		licences = append(licences, file{name, data, false})
	}
	var names []string
	for _, t := range targets() {
		data, err := program(t)
		if err == nil {
			data, err = packed(t, append([]file{{t.program(), data, true}}, licences...))
		}
		if err == nil {
			err = os.WriteFile(filepath.Join(*dir, t.archive()), data, 0o644)
		}
		if err != nil {
			return err
		}
		names = append(names, t.archive())
	}
	const page = "lampblack.html"
	if err := goes(nil, "run", "./cmd/lampblack/internal/page/whole", "-o", filepath.Join(*dir, page)); err != nil {
		return err
	}
	sums, err := sums(*dir, append(names, page))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(*dir, "SHA256SUMS"), sums, 0o644)
}

// empty makes a folder, or takes one with nothing in it: what is there would be no part of the release.
func empty(dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	there, err := os.ReadDir(dir)
	if err == nil && len(there) > 0 {
		err = fmt.Errorf("%s holds files already, as %s: name a new folder with -o", dir, there[0].Name())
	}
	return err
}

// program builds the tool. Neither the folder nor the state of the repository is told in it.
func program(t target) ([]byte, error) {
	dir, err := os.MkdirTemp("", "lampblack-release-")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }() // of the system's folder for such things
	at := filepath.Join(dir, t.program())
	err = goes([]string{"GOOS=" + t.system, "GOARCH=" + t.processor, "CGO_ENABLED=0", "GOAMD64=v1", "GOARM64=v8.0"},
		"build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", at, "./cmd/lampblack")
	if err != nil {
		return nil, err
	}
	return os.ReadFile(at)
}

// goes runs the go command.
func goes(env []string, args ...string) error {
	c := exec.Command("go", args...)
	c.Env = append(append(os.Environ(), "GOFLAGS="), env...)
	if said, err := c.CombinedOutput(); err != nil {
		return fmt.Errorf("go %s: %w\n%s", strings.Join(args, " "), err, said)
	}
	return nil
}

// sums are the files' SHA-256, as sha256sum -c takes them.
func sums(dir string, names []string) ([]byte, error) {
	slices.Sort(names)
	var out []byte
	for _, name := range names {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return nil, err
		}
		out = fmt.Appendf(out, "%x  %s\n", sha256.Sum256(b), name)
	}
	return out, nil
}

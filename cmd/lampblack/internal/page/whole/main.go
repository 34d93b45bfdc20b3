// Command whole makes lampblack.html: the workshop's page with the program in it, which needs nothing else and asks nothing of anyone.
//
//	go run ./cmd/lampblack/internal/page/whole -o lampblack.html
//
// The program is built for WebAssembly by the toolchain that runs this, whose loader goes with it. The same sources and
// toolchain give the same bytes.
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/klauspost/compress/zstd"

	"lampblack/cmd/lampblack/internal/page"
)

// most is what lampblack.html may have, bytes.
const most = 12_000_000

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "whole:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	set := flag.NewFlagSet("whole", flag.ContinueOnError)
	to := set.String("o", "lampblack.html", "the file to write")
	if err := set.Parse(args); err != nil {
		return err
	}
	html, err := made()
	if err != nil {
		return err
	}
	if len(html) > most {
		return fmt.Errorf("%s would have %d bytes, more than %d", *to, len(html), most)
	}
	return os.WriteFile(*to, html, 0o644)
}

// made returns the page with the program in it.
func made() ([]byte, error) {
	program, err := built()
	if err != nil {
		return nil, err
	}
	root, err := goes("env", "GOROOT")
	if err != nil {
		return nil, err
	}
	loader, err := os.ReadFile(filepath.Join(strings.TrimSpace(root), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return nil, fmt.Errorf("the toolchain's loader: %w", err)
	}
	licences, err := licences()
	if err != nil {
		return nil, err
	}
	return page.Whole(packed, program, loader, licences), nil
}

// licences are those of this module and of what it holds of others.
func licences() ([]byte, error) {
	root, err := goes("list", "-m", "-f", "{{.Dir}}")
	if err != nil {
		return nil, err
	}
	var out []byte
	for _, name := range []string{"LICENSE", "NOTICE"} {
		text, err := os.ReadFile(filepath.Join(strings.TrimSpace(root), name))
		if err != nil {
			return nil, err
		}
		out = append(append(out, text...), '\n')
	}
	return out, nil
}

// built returns the engine, compiled.
func built() ([]byte, error) {
	dir, err := os.MkdirTemp("", "lampblack-page-")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }() // of the system's folder for such things
	file := filepath.Join(dir, "lampblack.wasm")
	_, err = goes("build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", file, "lampblack/cmd/lampblack/internal/page/wasm")
	if err != nil {
		return nil, err
	}
	return os.ReadFile(file)
}

// goes runs the go command for WebAssembly.
func goes(args ...string) (string, error) {
	c := exec.Command("go", args...)
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=")
	said, err := c.Output()
	if err != nil {
		var why []byte
		if e, ok := err.(*exec.ExitError); ok {
			why = e.Stderr
		}
		return "", fmt.Errorf("go %s: %w\n%s", strings.Join(args, " "), err, why)
	}
	return string(said), nil
}

// packed is what zstd makes of it at its best. One goroutine, or the bytes would depend on the cores.
func packed(b []byte) []byte {
	// The reader in the page takes windows of up to 32 MB.
	w, err := zstd.NewWriter(nil, zstd.WithEncoderLevel(zstd.SpeedBestCompression), zstd.WithWindowSize(32<<20), zstd.WithEncoderConcurrency(1))
	if err != nil {
		panic("whole: options of zstd: " + err.Error())
	}
	return w.EncodeAll(b, nil)
}

// Command bundle makes the workshop's page: it bundles src/main.jsx and src/worker.js with what they import, and puts
// scripts and style into src/page.html.
//
//	go run ./cmd/lampblack/internal/page/bundle          from the module's root; writes built/page.html and built/boot.js
//	go run ./cmd/lampblack/internal/page/bundle -check   fails where these are not what the sources give
//
// It needs npm for the libraries that src/package-lock.json pins, and nothing of a browser.
package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "bundle:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	dir := filepath.Join("cmd", "lampblack", "internal", "page")
	src := filepath.Join(dir, "src")
	if _, err := os.Stat(filepath.Join(src, "node_modules")); err != nil {
		c := exec.Command("npm", "ci", "--no-audit", "--no-fund", "--ignore-scripts")
		c.Dir = src
		if said, err := c.CombinedOutput(); err != nil {
			return fmt.Errorf("npm ci in %s: %w\n%s", src, err, said)
		}
	}
	page, boot, err := bundled(src)
	if err != nil {
		return err
	}
	for name, now := range map[string][]byte{"page.html": page, "boot.js": boot} {
		file := filepath.Join(dir, "built", name)
		if len(args) > 0 && args[0] == "-check" {
			if old, err := os.ReadFile(file); err != nil || !bytes.Equal(old, now) {
				return fmt.Errorf("%s is not what the sources give: go run ./%s", file, filepath.ToSlash(filepath.Join(dir, "bundle")))
			}
			continue
		}
		if err := os.WriteFile(file, now, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// bundled returns the page of the sources in a folder, and the script that begins where the page's own is packed.
func bundled(src string) (page, boot []byte, err error) {
	r := api.Build(api.BuildOptions{
		EntryPoints: []string{filepath.Join(src, "main.jsx"), filepath.Join(src, "worker.js"), filepath.Join(src, "boot.js")}, Bundle: true, Outdir: src, Format: api.FormatIIFE, Target: api.ES2022,
		MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true, LegalComments: api.LegalCommentsInline, Charset: api.CharsetASCII,
		JSX: api.JSXAutomatic, JSXImportSource: "preact", Loader: map[string]api.Loader{".css": api.LoaderCSS},
	})
	for _, m := range r.Errors {
		return nil, nil, fmt.Errorf("%s", strings.Join(api.FormatMessages([]api.Message{m}, api.FormatMessagesOptions{}), ""))
	}
	made := map[string][]byte{}
	for _, f := range r.OutputFiles {
		// A closing tag in a string would end the element.
		made[filepath.Base(f.Path)] = bytes.ReplaceAll(f.Contents, []byte("</script"), []byte(`<\/script`))
	}
	html, err := os.ReadFile(filepath.Join(src, "page.html"))
	if err != nil {
		return nil, nil, err
	}
	for mark, file := range map[string]string{"/*STYLE*/": "main.css", "/*WORKER*/": "worker.js", "/*SCRIPT*/": "main.js"} {
		html = bytes.Replace(html, []byte(mark), made[file], 1)
	}
	return html, made["boot.js"], nil
}

// Package page has the workshop's page as the bundler made it from src: one HTML file with its styles and its script in it. `go run
// ./cmd/lampblack/internal/page/bundle` makes it anew.
//
// What a browser gets has a policy in it, by which the page can ask nothing of anyone: not even a fault of ours, or a drawing that is
// made for it, can have it send something away.
package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/ascii85"
	"encoding/base64"
)

//go:embed built/page.html
var html []byte

//go:embed built/boot.js
var boot []byte

// Served is the page for an engine behind its own address.
func Served() []byte { return filled(html, "", "connect-src 'self'; ", nil) }

// Whole is the page with the engine in it: the program for WebAssembly and the loader of the toolchain that built it. pack packs as zstd
// does. The page's own script is packed too; what unpacks it is trusted to run it. The licences of what is in it go with it, wherever it is copied.
func Whole(pack func([]byte) []byte, program, loader, licences []byte) []byte {
	element := func(id string, text []byte) string {
		return `<script type="text/plain" id="` + id + `">` + string(text) + "</script>\n"
	}
	at, end := script(html)
	packed := bytes.Join([][]byte{html[:at-len(begin)], []byte(element("script", Letters(pack(html[at:end])))), []byte(begin), boot, html[end:]}, nil)
	return filled(packed, "'strict-dynamic' ", "", []byte(element("licences", licences)+element("program", Letters(pack(program)))+
		element("loader", bytes.ReplaceAll(loader, []byte("</script"), []byte(`<\/script`)))))
}

// Letters are bytes as text that can stand in a page's element: base 85 as Adobe's, but for "<", in whose place "v" stands. It takes
// up 15/16 of what base 64 does.
func Letters(b []byte) []byte {
	out := make([]byte, ascii85.MaxEncodedLen(len(b)))
	return bytes.ReplaceAll(out[:ascii85.Encode(out, b)], []byte("<"), []byte("v"))
}

// filled puts the policy and what else is in the page into it.
func filled(html []byte, trust, more string, in []byte) []byte {
	html = bytes.Replace(html, []byte("<!--PROGRAM-->\n"), in, 1)
	return bytes.Replace(html, []byte("<!--POLICY-->"), []byte(`<meta http-equiv="Content-Security-Policy" content="`+policy(html, trust, more)+`">`), 1)
}

const begin = "<script>"

// script returns where the script that runs, the last one, begins and ends.
func script(html []byte) (from, to int) {
	from = bytes.LastIndex(html, []byte(begin)) + len(begin)
	return from, from + bytes.Index(html[from:], []byte("</script>"))
}

// policy allows the page's own script by its hash, with trust what that one runs, workers and programs that it makes, and pictures that
// are in the page. Styles are not told apart: the editor makes them as it goes, and they can reach nothing.
func policy(html []byte, trust, more string) string {
	from, to := script(html)
	sum := sha256.Sum256(html[from:to])
	return "default-src 'none'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "' " + trust + "'wasm-unsafe-eval'; worker-src blob:; " +
		more + "style-src 'unsafe-inline'; img-src data: blob:; font-src data:; frame-src blob:; base-uri 'none'; form-action 'none'"
}

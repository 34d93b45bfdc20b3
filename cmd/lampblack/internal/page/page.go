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

// Served is the page for an engine behind its own address.
func Served() []byte { return filled(html, "connect-src 'self'; ", nil) }

// Whole is the page with the engine in it: the program for WebAssembly, packed as zstd does, and the loader of the toolchain that
// built it.
func Whole(packed, loader []byte) []byte {
	var in bytes.Buffer
	in.WriteString(`<script type="text/plain" id="program">`)
	in.Write(Letters(packed))
	in.WriteString("</script>\n" + `<script type="text/plain" id="loader">`)
	in.Write(bytes.ReplaceAll(loader, []byte("</script"), []byte(`<\/script`)))
	in.WriteString("</script>\n")
	return filled(html, "", in.Bytes())
}

// Letters are bytes as text that can stand in a page's element: base 85 as Adobe's, but for "<", in whose place "v" stands. It takes
// up 15/16 of what base 64 does.
func Letters(b []byte) []byte {
	out := make([]byte, ascii85.MaxEncodedLen(len(b)))
	return bytes.ReplaceAll(out[:ascii85.Encode(out, b)], []byte("<"), []byte("v"))
}

// filled puts the policy and what else is in the page into it.
func filled(html []byte, more string, in []byte) []byte {
	html = bytes.Replace(html, []byte("<!--PROGRAM-->\n"), in, 1)
	return bytes.Replace(html, []byte("<!--POLICY-->"), []byte(`<meta http-equiv="Content-Security-Policy" content="`+policy(html, more)+`">`), 1)
}

// policy allows the page's own script by its hash, workers and programs that this script makes, and pictures that are in the page.
// Styles are not told apart: the editor makes them as it goes, and they can reach nothing.
func policy(html []byte, more string) string {
	const begin, end = "<script>", "</script>"
	at := bytes.LastIndex(html, []byte(begin)) + len(begin)
	sum := sha256.Sum256(html[at : at+bytes.Index(html[at:], []byte(end))])
	return "default-src 'none'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "' 'wasm-unsafe-eval'; worker-src blob:; " +
		more + "style-src 'unsafe-inline'; img-src data: blob:; font-src data:; frame-src blob:; base-uri 'none'; form-action 'none'"
}

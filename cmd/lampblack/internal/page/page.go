// Package page has the workshop's page as the bundler made it from src: one HTML file with its styles and its script in it. `go run
// ./cmd/lampblack/internal/page/bundle` makes it anew.
package page

import _ "embed"

//go:embed built/page.html
var html []byte

// HTML is the page, for an engine behind an address. In a release the engine is put into it.
func HTML() []byte { return html }

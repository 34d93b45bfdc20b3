package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/export/report"
	"lampblack/export/table"
)

// At the laser one sees the sheets before their tables; a table of few rows is printed on one page with its title, and one that may be
// long is not held together, as no page might hold it.
func TestLaserPicturesBeforeTables(t *testing.T) {
	few, many := table.New("Screws", table.Text("panel")), table.New("Sheets", table.Text("panel"))
	few.Add("dome")
	for range 60 {
		many.Add("dome")
	}
	page := string(report.LaserHTML(nil, report.Laser{Name: "Desk", Tables: []table.Table{few, many},
		Panels: []report.Picture{{Path: "dome/sheets.svg", Caption: "dome: its sheets"}}}))
	require.Less(t, strings.Index(page, "dome: its sheets"), strings.Index(page, "<table>"))
	require.Contains(t, page, `<div class="scroll short" tabindex="0" role="group" aria-label="Screws">`)
	require.Contains(t, page, `<div class="scroll" tabindex="0" role="group" aria-label="Sheets">`)
}

package table

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestHeadings(t *testing.T) {
	require.Equal(t, "width mm", Number("width", "mm").Heading(" "))
	require.Equal(t, "width, mm", Number("width", "mm").Heading(", "))
	require.Equal(t, "LEDs", Number("LEDs", "").Heading(", "))
	require.Equal(t, "ohm", Number("", "ohm").Heading(", "))
}

// RFC 4180, 2.1: lines end in CRLF; 2.5 to 2.7: commas, quotes and line breaks in quotes, quotes doubled.
func TestCSV(t *testing.T) {
	tab := New("Boards", Text("board"), Number("inner width", "mm"), Long("note"))
	tab.Add("dome", 1.5, `a "b", c`)
	tab.Add("", 2, "")
	require.Equal(t, "board,inner_width_mm,note\r\ndome,1.5,\"a \"\"b\"\", c\"\r\n,2,\r\n", string(tab.CSV()))
}

func TestWith(t *testing.T) {
	tab := New("Parts", Text("part"), Number("quantity", ""), Long("note"))
	tab.Add("R1", 1, "x")
	more := New("Screws", Number("quantity", ""), Text("part"))
	more.Add(4, "M3")
	require.Equal(t, [][]string{{"R1", "1", "x"}, {"M3", "4", ""}}, tab.With(more).Rows)
	require.Len(t, tab.Rows, 1, "the table itself stays")
	require.Panics(t, func() { more.With(tab) })
}

func TestArranged(t *testing.T) {
	tab := New("Boards", Text("board"), Number("width", "mm"), Long("note"))
	tab.Add("dome", 1.5, "x")
	want := Table{Title: "Boards", Columns: []Column{Long("note"), Text("board")}, Rows: [][]string{{"x", "dome"}}, Reading: "One a row."}
	require.Equal(t, want, tab.Read("One a row.").Arranged("note", "board"))
	require.Panics(t, func() { tab.Arranged("height") })
}

func TestEveryColumnHasItsCell(t *testing.T) {
	tab := New("Boards", Text("board"), Text("note"))
	require.Panics(t, func() { tab.Add("dome") })
}

func TestNumbers(t *testing.T) {
	require.Equal(t, "0.20", Fixed(0.2, 2))
	require.Equal(t, "0.000", Fixed(-0.0002, 3))
	require.Equal(t, "-0.20", Fixed(-0.2, 2))
	require.Equal(t, "12", Plain(12))
	require.Equal(t, "0.333333", Plain(1.0/3))
}

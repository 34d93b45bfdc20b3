package main

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// The words of go test, as it prints them without -json; then the skipped and the slow tests.
func TestResults(t *testing.T) {
	const good = `{"Action":"start","Package":"m/a"}
{"Action":"run","Package":"m/a","Test":"TestA"}
{"Action":"output","Package":"m/a","Test":"TestA","Output":"=== RUN   TestA\n"}
{"Action":"output","Package":"m/a","Test":"TestA","Output":"    a_test.go:7: no simulator here\n"}
{"Action":"output","Package":"m/a","Test":"TestA","Output":"--- SKIP: TestA (0.00s)\n"}
{"Action":"skip","Package":"m/a","Test":"TestA","Elapsed":0}
{"Action":"output","Package":"m/a","Test":"TestB","Output":"=== RUN   TestB\n"}
{"Action":"output","Package":"m/a","Test":"TestB","Output":"    a_test.go:9: all is well\n"}
{"Action":"pass","Package":"m/a","Test":"TestB","Elapsed":7.4}
{"Action":"skip","Package":"m/a","Test":"TestC","Elapsed":0}
{"Action":"output","Package":"m/a","Output":"PASS\n"}
{"Action":"output","Package":"m/a","Output":"ok  \tm/a\t7.500s\n"}
{"Action":"pass","Package":"m/a","Elapsed":7.5}
{"Action":"output","Package":"m/b","Output":"?   \tm/b\t[no test files]\n"}
{"Action":"skip","Package":"m/b","Elapsed":0}
`
	var out strings.Builder
	ok, err := results(strings.NewReader(good), &out)
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, `ok  	m/a	7.500s
?   	m/b	[no test files]

tests that took more than 5 s:
  m/a TestB: 7 s

skipped tests:
  m/a TestA: a_test.go:7: no simulator here
  m/a TestC: (no reason given)
`, out.String())

	// A failure is told in the test's words; so is what tests said that a panic ended, and a package that does not build.
	const bad = `{"Action":"output","Package":"m/a","Test":"TestA","Output":"=== RUN   TestA\n"}
{"Action":"output","Package":"m/a","Test":"TestA","Output":"    a_test.go:7: wrong\n"}
{"Action":"output","Package":"m/a","Test":"TestA","Output":"--- FAIL: TestA (0.00s)\n"}
{"Action":"fail","Package":"m/a","Test":"TestA","Elapsed":0}
{"Action":"output","Package":"m/a","Test":"TestB","Output":"panic: oh\n"}
{"Action":"output","Package":"m/a","Output":"FAIL\tm/a\t0.100s\n"}
{"Action":"fail","Package":"m/a","Elapsed":0.1}
{"ImportPath":"m/c","Action":"build-output","Output":"c.go:1: syntax error\n"}
{"ImportPath":"m/c","Action":"build-fail"}
pattern ./...: no such thing
`
	out.Reset()
	ok, err = results(strings.NewReader(bad), &out)
	require.NoError(t, err)
	require.False(t, ok)
	require.Equal(t, `    a_test.go:7: wrong
--- FAIL: TestA (0.00s)
FAIL	m/a	0.100s
panic: oh
c.go:1: syntax error
pattern ./...: no such thing

no tests that took more than 5 s

no skipped tests
`, out.String())
}

func TestParallel(t *testing.T) {
	list, err := parallel(fstest.MapFS{
		"a/a.go":          {Data: []byte("package a\nfunc f() { go f() }")},
		"b/b.go":          {Data: []byte("package b\nimport \"sync\"\nfunc f() { var w sync.WaitGroup; w.Go(f) }")},
		"b/c.go":          {Data: []byte("package b\nfunc g() { go f() }")},
		"c/c.go":          {Data: []byte("package c\nimport w \"lampblack/panel/work\"\nvar _ = w.Each(1)")},
		"f/f.go":          {Data: []byte("package f\nimport \"lampblack/panel/work\"\nfunc g(w *work.Watch) { work.Until(g) }")},
		"d/d.go":          {Data: []byte("package d\nfunc f() {}")},
		"d/d_test.go":     {Data: []byte("package d\nfunc g() { go g() }")},
		"g/g.go":          {Data: []byte("//go:build js && wasm\n\npackage g\nfunc f() { go f() }")},
		"h/h.go":          {Data: []byte("//go:build !js\n\npackage h\nfunc f() { go f() }")},
		"e/testdata/e.go": {Data: []byte("package e\nfunc f() { go f() }")},
	})
	require.NoError(t, err)
	require.Equal(t, []string{"a", "b", "c", "h"}, list)
}

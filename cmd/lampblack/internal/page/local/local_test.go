package local

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lampblack/cmd/lampblack/internal/page/talk"
)

type echo struct{}

func (echo) Answer(_ context.Context, f talk.Frame, say func(talk.Frame)) { say(f) }

// What does not come from the page at its own address learns nothing: not even that there is a page.
func TestWhoIsLetIn(t *testing.T) {
	s, err := Listen([]byte("the page"), echo{})
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan error, 1)
	opened := 0
	go func() { done <- s.Serve(ctx, func() { opened++ }) }()
	host := s.listener.Addr().String()
	_, port, _ := strings.Cut(host, ":")
	frame := talk.Frame{Head: []byte("{}")}.Bytes()
	ask := func(method, path, as, origin string) (int, string) {
		r, err := http.NewRequest(method, "http://"+host+"/", bytes.NewReader(frame))
		require.NoError(t, err)
		r.URL.Opaque = path // as it is: a client would clean it
		r.Host = as
		if origin != "" {
			r.Header.Set("Origin", origin)
		}
		a, err := http.DefaultTransport.RoundTrip(r)
		require.NoError(t, err)
		defer func() { require.NoError(t, a.Body.Close()) }()
		b, err := io.ReadAll(a.Body)
		require.NoError(t, err)
		return a.StatusCode, string(b)
	}
	own := "/" + s.token + "/"
	for _, c := range []struct {
		name, method, path, host, origin string
		code                             int
	}{
		{"the page", "GET", own, host, "", 200},
		{"by its other name", "GET", own, "localhost:" + port, "", 200},
		{"an ask of the page", "POST", own + "ask", host, "http://" + host, 200},
		{"another host", "GET", own, "example.org", "", 404},
		{"a name that was made to mean this machine", "POST", own + "ask", "example.org:" + port, "http://example.org:" + port, 404},
		{"another port", "GET", own, "127.0.0.1:1", "", 404},
		{"no port", "GET", own, "127.0.0.1", "", 404},
		{"another origin", "POST", own + "ask", host, "https://example.org", 404},
		{"no origin worth the name", "POST", own + "ask", host, "null", 404},
		{"the other name's origin", "POST", own + "ask", host, "http://localhost:" + port, 404},
		{"no token", "GET", "/", host, "", 404},
		{"half a token", "GET", "/" + s.token[:16] + "/", host, "", 404},
		{"a longer one", "GET", "/" + s.token + "0/", host, "", 404},
		{"past the page", "GET", own + "../../etc/passwd", host, "", 404},
		{"past it in other letters", "GET", own + "%2e%2e/%2e%2e/etc/passwd", host, "", 404},
		{"an ask that asks nothing", "GET", own + "ask", host, "", 404},
		{"a page that is told", "POST", own, host, "", 404},
	} {
		code, said := ask(c.method, c.path, c.host, c.origin)
		require.Equal(t, c.code, code, c.name)
		if c.code == 404 {
			require.Equal(t, "there is nothing here\n", said, c.name)
		}
	}
	require.True(t, strings.HasPrefix(host, "127.0.0.1:"), "only this machine reaches it")
	require.Len(t, s.token, 32)
	stop()
	require.ErrorIs(t, <-done, context.Canceled)
	require.Equal(t, 1, opened, "told once, of several")
}

// late says once more after its answer, as a build does that was stopped.
type late struct{ say func(talk.Frame) }

func (l *late) Answer(_ context.Context, f talk.Frame, say func(talk.Frame)) {
	l.say = say
	say(f)
}

// What is said after an answer is no part of it, and of no other: connections are used again.
func TestNothingAfterTheAnswer(t *testing.T) {
	engine := &late{}
	s, err := Listen(nil, engine)
	require.NoError(t, err)
	defer func() { require.NoError(t, s.listener.Close()) }()
	frame := talk.Frame{Head: []byte("{}")}
	w := httptest.NewRecorder()
	r := httptest.NewRequest(http.MethodPost, "/"+s.token+"/ask", bytes.NewReader(frame.Bytes()))
	r.Host = s.listener.Addr().String()
	s.ServeHTTP(w, r)
	require.Equal(t, frame.Bytes(), w.Body.Bytes())
	engine.say(talk.Frame{Head: []byte(`{"step":{}}`)})
	require.Equal(t, frame.Bytes(), w.Body.Bytes())
}

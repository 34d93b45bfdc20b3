// Package local serves the page and its engine from an address of this machine.
//
// The address is on the loopback interface, at a port that the system chooses, and has a random token in it: who does not know the
// token gets nothing. Host and Origin of each request are checked, so that neither another page in the same browser nor a name that
// someone has resolve to this machine reaches the engine.
package local

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"fmt"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"lampblack/cmd/lampblack/internal/page/talk"
)

// Answerer answers a frame: say is called for each frame of the answer, and perhaps once more after an answer that was stopped.
type Answerer interface {
	Answer(ctx context.Context, f talk.Frame, say func(talk.Frame))
}

// Server serves one page. Its Address is known before it Serves.
type Server struct {
	listener net.Listener
	token    string
	page     []byte
	engine   Answerer
	opened   func()
}

// Listen takes an address of this machine.
func Listen(page []byte, engine Answerer) (*Server, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, fmt.Errorf("an address of this machine for the page: %w", err)
	}
	var b [16]byte
	if _, err := rand.Read(b[:]); err != nil {
		_ = l.Close()
		return nil, fmt.Errorf("a random token: %w", err)
	}
	return &Server{l, hex.EncodeToString(b[:]), page, engine, func() {}}, nil
}

// Address is what a browser opens.
func (s *Server) Address() string {
	return "http://" + s.listener.Addr().String() + "/" + s.token + "/"
}

// Serve serves until ctx is done, whose error it then returns. opened is called when a browser has got the page for the first time.
func (s *Server) Serve(ctx context.Context, opened func()) error {
	s.opened = sync.OnceFunc(opened)
	h := &http.Server{Handler: s, ReadHeaderTimeout: 10 * time.Second, BaseContext: func(net.Listener) context.Context { return ctx }}
	stop := context.AfterFunc(ctx, func() { _ = h.Close() })
	defer stop()
	err := h.Serve(s.listener)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return err
}

// ServeHTTP serves the page at the token's folder, and asks below it.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	host := s.listener.Addr().String()
	_, port, _ := net.SplitHostPort(host)
	token, what, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	o := r.Header.Get("Origin")
	switch {
	case r.Host != host && r.Host != "localhost:"+port, o != "" && o != "http://"+r.Host,
		subtle.ConstantTimeCompare([]byte(token), []byte(s.token)) != 1:
		http.Error(w, "there is nothing here", http.StatusNotFound)
		return
	}
	head := w.Header()
	head.Set("Cache-Control", "no-store")
	head.Set("Referrer-Policy", "no-referrer")
	head.Set("X-Content-Type-Options", "nosniff")
	switch {
	case what == "" && (r.Method == http.MethodGet || r.Method == http.MethodHead):
		head.Set("Content-Type", "text/html; charset=utf-8")
		if _, err := w.Write(s.page); err == nil {
			s.opened()
		}
	case what == "ask" && r.Method == http.MethodPost:
		s.ask(w, r)
	default:
		http.Error(w, "there is nothing here", http.StatusNotFound)
	}
}

// ask writes the frames of the answer as they come.
func (s *Server) ask(w http.ResponseWriter, r *http.Request) {
	f, err := talk.Next(r.Body)
	if err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	flush, _ := w.(http.Flusher)
	var mu sync.Mutex
	over := false // then what is written would go into the next answer on the same connection
	s.engine.Answer(r.Context(), f, func(f talk.Frame) {
		mu.Lock()
		defer mu.Unlock()
		if over {
			return
		}
		_, _ = w.Write(f.Bytes()) // of a page that is gone the context tells
		if flush != nil {
			flush.Flush()
		}
	})
	mu.Lock()
	defer mu.Unlock()
	over = true
}

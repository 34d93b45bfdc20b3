// Package talk is the words between the page and an engine: the same whether the engine is in the page, as WebAssembly in a worker,
// or behind an address of this machine.
//
// The page asks one thing at a time or several; each ask is a Frame, and each answer a row of Frames of which the last is no Step and no Beat.
// A Frame is a head in JSON and a body of bytes, the contents of the files that the head lists, one after another:
//
//	4 bytes   length of the head, little-endian
//	4 bytes   length of the body, little-endian
//	head      JSON
//	body      bytes
//
// Over HTTP the frame of an ask is the request's body (POST), the frames of its answer are the response's, written as they come.
// Between page and worker each frame is one message. To leave off an ask, the page ends the request, or the worker.
//
// # Files
//
// The page has the project: its files are a Desk, from paths with slashes to ids of contents. A content never changes, so that an id
// names the same bytes for good; going back is asking with the desk as it was. An engine has contents, and no state beside: where an ask
// names one that it lacks, the answer is Lacks, and the page hands it over (Have) and asks again. An engine that is begun anew
// simply lacks everything. Ids that the page gives out begin with "p", an engine's are the SHA-256 of the content in hex.
//
// # What can be asked
//
// Package desk has a type for what each ask takes and one for what it gives; the word in Ask.Do is beside it in Verbs.
package talk

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
)

// Desk is the files of a project as the page has them now: ids of contents by path.
type Desk map[string]string

// Content is a file in the body of a frame. Contents stand in it in the order of the list.
type Content struct {
	ID   string `json:"id,omitempty"`
	Path string `json:"path,omitempty"`
	Size int    `json:"size"`
}

// Ask is the head of what the page asks.
type Ask struct {
	Do    string          `json:"do"`              // a word of desk's Verbs
	Desk  Desk            `json:"desk,omitempty"`  // what it is asked of
	With  json.RawMessage `json:"with,omitempty"`  // what it takes
	Files []Content       `json:"files,omitempty"` // in the body
}

// Answer is the head of a frame of an answer. One field is there but Files.
type Answer struct {
	Step  *Step     `json:"step,omitempty"`  // work goes on; further frames come
	Beat  bool      `json:"beat,omitempty"`  // the same, about each second, where there is no step to tell
	Gives any       `json:"gives,omitempty"` // it is done
	Lacks []string  `json:"lacks,omitempty"` // contents that are to be handed over first
	Wrong string    `json:"wrong,omitempty"` // it cannot be done, in a builder's words
	Files []Content `json:"files,omitempty"` // in the body
}

// Step is how far the work is.
type Step struct {
	Done  int    `json:"done"`
	Total int    `json:"total"`
	What  string `json:"what"`
}

// Most bounds a frame's head and body, bytes: a file of 64 MB and what comes with it.
const Most = 256 << 20

// Frame is a head and a body.
type Frame struct{ Head, Body []byte }

// Bytes is the frame as it is sent.
func (f Frame) Bytes() []byte {
	out := make([]byte, 0, 8+len(f.Head)+len(f.Body))
	out = binary.LittleEndian.AppendUint32(out, uint32(len(f.Head)))
	out = binary.LittleEndian.AppendUint32(out, uint32(len(f.Body)))
	return append(append(out, f.Head...), f.Body...)
}

// Next reads a frame. Its error is io.EOF where there is none, and tells of one that is broken or over Most.
func Next(r io.Reader) (Frame, error) {
	var long [8]byte
	if _, err := io.ReadFull(r, long[:]); err != nil {
		return Frame{}, err
	}
	head, body := binary.LittleEndian.Uint32(long[:]), binary.LittleEndian.Uint32(long[4:])
	if head > Most || body > Most {
		return Frame{}, fmt.Errorf("a frame of %d and %d bytes: at most %d each", head, body, Most)
	}
	f := Frame{make([]byte, head), make([]byte, body)}
	if _, err := io.ReadFull(r, f.Head); err != nil {
		return Frame{}, fmt.Errorf("a frame is cut short: %w", err)
	}
	if _, err := io.ReadFull(r, f.Body); err != nil {
		return Frame{}, fmt.Errorf("a frame is cut short: %w", err)
	}
	return f, nil
}

// Of reads an ask with the contents of its files.
func (f Frame) Of() (Ask, [][]byte, error) {
	var a Ask
	if err := json.Unmarshal(f.Head, &a); err != nil {
		return a, nil, fmt.Errorf("the head of an ask: %w", err)
	}
	var all [][]byte
	rest := f.Body
	for _, c := range a.Files {
		if c.Size < 0 || c.Size > len(rest) {
			return a, nil, fmt.Errorf("the ask %q lists more than its body holds", a.Do)
		}
		all, rest = append(all, rest[:c.Size:c.Size]), rest[c.Size:]
	}
	return a, all, nil
}

// Framed is an answer with the contents of its files, as a frame. Sizes are filled in.
func Framed(a Answer, contents ...[]byte) Frame {
	var body []byte
	for i := range a.Files {
		a.Files[i].Size = len(contents[i])
		body = append(body, contents[i]...)
	}
	head, err := json.Marshal(a)
	if err != nil {
		panic("talk: an answer that is no JSON: " + err.Error())
	}
	return Frame{head, body}
}

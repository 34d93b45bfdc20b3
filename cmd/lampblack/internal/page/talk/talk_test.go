package talk

import (
	"bytes"
	"encoding/json"
	"io"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFrames(t *testing.T) {
	f := Framed(Answer{Gives: 7, Files: []Content{{Path: "a"}, {Path: "b"}}}, []byte("one"), nil)
	r := bytes.NewReader(append(f.Bytes(), Framed(Answer{Step: &Step{1, 2, "x"}}).Bytes()...))
	got, err := Next(r)
	require.NoError(t, err)
	require.Equal(t, "one", string(got.Body))
	require.JSONEq(t, `{"gives":7,"files":[{"path":"a","size":3},{"path":"b","size":0}]}`, string(got.Head))
	_, err = Next(r)
	require.NoError(t, err)
	_, err = Next(r)
	require.Equal(t, io.EOF, err)
}

func TestAsk(t *testing.T) {
	head, err := json.Marshal(Ask{Do: "have", Files: []Content{{ID: "p1", Size: 2}, {ID: "p2", Size: 3}}})
	require.NoError(t, err)
	a, all, err := Frame{head, []byte("abcde")}.Of()
	require.NoError(t, err)
	require.Equal(t, "have", a.Do)
	require.Equal(t, [][]byte{[]byte("ab"), []byte("cde")}, all)
	_, _, err = Frame{head, []byte("abcd")}.Of()
	require.ErrorContains(t, err, "more than its body holds")
}

// What is no frame is told, and takes no more memory than it has bytes.
func FuzzNext(f *testing.F) {
	f.Add(Framed(Answer{Wrong: "w"}).Bytes())
	f.Add([]byte{255, 255, 255, 255, 0, 0, 0, 0})
	f.Fuzz(func(t *testing.T, b []byte) {
		r := bytes.NewReader(b)
		for {
			got, err := Next(r)
			if err != nil {
				return
			}
			_, _, _ = got.Of()
		}
	})
}

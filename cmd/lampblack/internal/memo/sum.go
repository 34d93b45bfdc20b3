package memo

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash"
	"math"
	"reflect"
	"slices"
	"time"

	"lampblack/panel/work"
)

// Sum is the SHA-256 of a value's content.
type Sum [sha256.Size]byte

// String returns the sum in hexadecimal digits.
func (s Sum) String() string { return hex.EncodeToString(s[:]) }

// SumOf returns the sum of what v holds: equal content gives equal sums, on every machine and in every run. Its loops ask the
// watch.
//
// Structs count by their fields in order, exported or not, slices and maps by length and elements (maps in the order of
// their keys' content), pointers by what they point to, interfaces by the name of the type inside and its value, numbers
// by their bits. Nil and empty slices differ. A Kept counts by the sum it has. Functions, channels and
// cycles have no content: they are faults of ours and panic.
func SumOf(watch *work.Watch, v any) Sum {
	w := &writer{watch: watch, to: sha256.New()}
	w.value(reflect.ValueOf(&v).Elem(), 0)
	w.flush()
	return Sum(w.to.Sum(nil))
}

// deepest bounds how deep a value is nested: beyond it lies a cycle.
const deepest = 64

// writer gathers the encoding of a value before it is hashed.
type writer struct {
	watch *work.Watch
	to    hash.Hash
	buf   [4096]byte
	n     int
}

func (w *writer) flush() {
	w.to.Write(w.buf[:w.n])
	w.n = 0
}

func (w *writer) uint(u uint64) {
	if w.n+8 > len(w.buf) {
		w.flush()
	}
	binary.LittleEndian.PutUint64(w.buf[w.n:], u)
	w.n += 8
}

func (w *writer) text(s string) {
	w.uint(uint64(len(s)))
	for len(s) > 0 {
		if w.n == len(w.buf) {
			w.flush()
		}
		k := copy(w.buf[w.n:], s)
		w.n += k
		s = s[k:]
	}
}

// atATime is how many bytes are hashed between two looks at the watch: some milliseconds, even without the processor's help.
const atATime = 1 << 20

func (w *writer) raw(b []byte) {
	w.uint(uint64(len(b)))
	w.flush()
	for len(b) > 0 {
		w.watch.Look()
		n := min(len(b), atATime)
		w.to.Write(b[:n])
		b = b[n:]
	}
}

// value writes v. Since the type is known to who reads, the encoding needs lengths and marks of nil alone to be unambiguous.
func (w *writer) value(v reflect.Value, depth int) {
	if depth > deepest {
		panic("memo: a value that refers to itself has no sum: " + v.Type().String())
	}
	depth++
	w.watch.Step()
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			w.uint(1)
		} else {
			w.uint(0)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		w.uint(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		w.uint(v.Uint())
	case reflect.Float32, reflect.Float64:
		w.uint(math.Float64bits(v.Float()))
	case reflect.Complex64, reflect.Complex128:
		w.uint(math.Float64bits(real(v.Complex())))
		w.uint(math.Float64bits(imag(v.Complex())))
	case reflect.String:
		w.text(v.String())
	case reflect.Struct:
		w.fields(v, depth)
	case reflect.Array:
		for i := range v.Len() {
			w.value(v.Index(i), depth)
		}
	case reflect.Slice:
		w.slice(v, depth)
	case reflect.Map:
		w.mapped(v, depth)
	case reflect.Pointer:
		if v.IsNil() {
			w.uint(0)
			return
		}
		w.uint(1)
		w.value(v.Elem(), depth)
	case reflect.Interface:
		if v.IsNil() {
			w.text("")
			return
		}
		w.text(v.Elem().Type().String())
		w.value(v.Elem(), depth)
	default:
		panic("memo: a " + v.Type().String() + " has no content to take the sum of")
	}
}

func (w *writer) fields(v reflect.Value, depth int) {
	n := v.NumField()
	switch {
	case n == 2 && v.Field(1).Type() == reflect.TypeFor[Sum]() && v.Type().Implements(reflect.TypeFor[summed]()):
		sum := v.Field(1)
		for i := range sum.Len() {
			w.uint(sum.Index(i).Uint())
		}
		return
	case n == 3 && v.Type() == reflect.TypeFor[time.Time]():
		if !v.CanInterface() {
			panic("memo: a time in an unexported field has no sum")
		}
		at := v.Interface().(time.Time)
		_, zone := at.Zone()
		w.uint(uint64(at.Unix()))
		w.uint(uint64(at.Nanosecond()))
		w.uint(uint64(zone))
		return
	}
	for i := range n {
		w.value(v.Field(i), depth)
	}
}

func (w *writer) slice(v reflect.Value, depth int) {
	if v.IsNil() {
		w.uint(math.MaxUint64)
		return
	}
	if v.Type().Elem().Kind() == reflect.Uint8 {
		w.raw(v.Bytes())
		return
	}
	w.uint(uint64(v.Len()))
	if t := reflect.TypeFor[[]float64](); v.Type().Elem().Kind() == reflect.Float64 && v.CanInterface() { // rasters
		for _, x := range v.Convert(t).Interface().([]float64) {
			w.watch.Step()
			w.uint(math.Float64bits(x))
		}
		return
	}
	for i := range v.Len() {
		w.value(v.Index(i), depth)
	}
}

// mapped writes a map in the order of its keys' content, which needs no order on the keys themselves.
func (w *writer) mapped(v reflect.Value, depth int) {
	if v.IsNil() {
		w.uint(math.MaxUint64)
		return
	}
	type pair struct{ key, value []byte }
	pairs := make([]pair, 0, v.Len())
	for it := v.MapRange(); it.Next(); {
		pairs = append(pairs, pair{w.content(it.Key(), depth), w.content(it.Value(), depth)})
	}
	slices.SortFunc(pairs, func(a, b pair) int { return bytes.Compare(a.key, b.key) })
	w.uint(uint64(len(pairs)))
	for _, p := range pairs {
		w.raw(p.key)
		w.raw(p.value)
	}
}

// content returns the sum of a key or a value of a map.
func (w *writer) content(v reflect.Value, depth int) []byte {
	own := &writer{watch: w.watch, to: sha256.New()}
	own.value(v, depth)
	own.flush()
	return own.to.Sum(nil)
}

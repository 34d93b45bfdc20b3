package memo

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"reflect"
	"time"

	"lampblack/panel/diag"
)

// Encoded returns what v holds as bytes, for the same program elsewhere: Decoded gives a value of equal content (SumOf), nil and empty
// slices told apart, fields that are not exported included. What has no sum cannot be encoded either; of interfaces, only those that hold
// a type of loose can be.
func Encoded(v any) (b []byte, err error) {
	defer caught(&err)
	e := coder{}
	e.put(reflect.ValueOf(v), 0)
	return e.b, nil
}

// Decoded returns the value that Encoded was given. Bytes that are none are an error.
func Decoded[T any](b []byte) (v T, err error) {
	defer caught(&err)
	c := coder{b}
	c.take(reflect.ValueOf(&v).Elem(), 0)
	if len(c.b) > 0 {
		return v, errors.New("memo: more bytes than the value has")
	}
	return v, nil
}

// uncoded is why a value cannot be encoded or decoded, on its way out of the depths.
type uncoded string

func caught(err *error) {
	switch p := recover().(type) {
	case nil:
	case uncoded:
		*err = errors.New("memo: " + string(p))
	default:
		panic(p)
	}
}

// loose are the types that an interface may hold, by their names.
func loose(name string) reflect.Type {
	for _, t := range []reflect.Type{
		reflect.TypeFor[string](), reflect.TypeFor[bool](), reflect.TypeFor[int](), reflect.TypeFor[float64](),
		reflect.TypeFor[[]any](), reflect.TypeFor[diag.Pairs](), // what a finding's advice sets
	} {
		if t.String() == name {
			return t
		}
	}
	panic(uncoded("an interface holds a " + name))
}

// coder appends to its bytes, or takes them from the front.
type coder struct{ b []byte }

func (c *coder) uint(u uint64) { c.b = binary.AppendUvarint(c.b, u) }

func (c *coder) bytes(b []byte) {
	c.uint(uint64(len(b)))
	c.b = append(c.b, b...)
}

// put appends v. As in SumOf, the type is known to who reads; 0 stands for nil and lengths are one more.
func (c *coder) put(v reflect.Value, depth int) {
	if depth++; depth > deepest {
		panic(uncoded("a " + v.Type().String() + " refers to itself"))
	}
	switch v.Kind() {
	case reflect.Bool:
		c.b = append(c.b, 0)
		if v.Bool() {
			c.b[len(c.b)-1] = 1
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		c.b = binary.AppendVarint(c.b, v.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		c.uint(v.Uint())
	case reflect.Float32, reflect.Float64:
		c.b = binary.LittleEndian.AppendUint64(c.b, math.Float64bits(v.Float()))
	case reflect.String:
		c.bytes([]byte(v.String()))
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			if !v.CanInterface() {
				panic(uncoded("a time in a field that is not exported"))
			}
			b, err := v.Interface().(time.Time).MarshalBinary()
			if err != nil {
				panic(uncoded(err.Error()))
			}
			c.bytes(b)
			return
		}
		for i := range v.NumField() {
			c.put(v.Field(i), depth)
		}
	case reflect.Array:
		for i := range v.Len() {
			c.put(v.Index(i), depth)
		}
	case reflect.Slice:
		if v.IsNil() {
			c.uint(0)
			return
		}
		c.uint(uint64(v.Len()) + 1)
		if v.Type().Elem().Kind() == reflect.Uint8 {
			c.b = append(c.b, v.Bytes()...)
			return
		}
		for i := range v.Len() {
			c.put(v.Index(i), depth)
		}
	case reflect.Map:
		if v.IsNil() {
			c.uint(0)
			return
		}
		c.uint(uint64(v.Len()) + 1)
		for it := v.MapRange(); it.Next(); {
			c.put(it.Key(), depth)
			c.put(it.Value(), depth)
		}
	case reflect.Pointer:
		if v.IsNil() {
			c.uint(0)
			return
		}
		c.uint(1)
		c.put(v.Elem(), depth)
	case reflect.Interface:
		if v.IsNil() {
			c.bytes(nil)
			return
		}
		name := v.Elem().Type().String()
		loose(name)
		c.bytes([]byte(name))
		c.put(v.Elem(), depth)
	default:
		panic(uncoded("a " + v.Type().String() + " has no content"))
	}
}

func (c *coder) next(n uint64) []byte {
	if n > uint64(len(c.b)) {
		panic(uncoded("the bytes end early"))
	}
	b := c.b[:n]
	c.b = c.b[n:]
	return b
}

func (c *coder) number() uint64 {
	u, n := binary.Uvarint(c.b)
	if n <= 0 {
		panic(uncoded("the bytes are none of a number"))
	}
	c.b = c.b[n:]
	return u
}

// long is the length of a slice or a map, or -1 for nil. What is told to be longer than there are bytes is refused before there is room
// made for it.
func (c *coder) long(least int) int {
	n := c.number()
	if n > uint64(len(c.b)/max(least, 1))+1 {
		panic(uncoded("the bytes end early"))
	}
	return int(n) - 1
}

// take fills v, which can be set.
func (c *coder) take(v reflect.Value, depth int) {
	if depth++; depth > deepest {
		panic(uncoded("a " + v.Type().String() + " refers to itself"))
	}
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(c.next(1)[0] != 0)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		i, n := binary.Varint(c.b)
		if n <= 0 || v.OverflowInt(i) {
			panic(uncoded("the bytes are none of a number"))
		}
		c.b = c.b[n:]
		v.SetInt(i)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		v.SetUint(c.number())
	case reflect.Float32, reflect.Float64:
		v.SetFloat(math.Float64frombits(binary.LittleEndian.Uint64(c.next(8))))
	case reflect.String:
		v.SetString(string(c.next(c.number())))
	case reflect.Struct:
		c.fields(v, depth)
	case reflect.Array:
		for i := range v.Len() {
			c.take(v.Index(i), depth)
		}
	case reflect.Slice:
		n := c.long(1) // each element has a byte at least, but for structs of nothing
		if n < 0 {
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		if v.Type().Elem().Kind() == reflect.Uint8 {
			copy(v.Bytes(), c.next(uint64(n)))
			return
		}
		for i := range n {
			c.take(v.Index(i), depth)
		}
	case reflect.Map:
		n := c.long(2)
		if n < 0 {
			return
		}
		v.Set(reflect.MakeMapWithSize(v.Type(), n))
		for range n {
			key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
			c.take(key, depth)
			c.take(value, depth)
			v.SetMapIndex(key, value)
		}
	case reflect.Pointer:
		if c.number() == 0 {
			return
		}
		v.Set(reflect.New(v.Type().Elem()))
		c.take(v.Elem(), depth)
	case reflect.Interface:
		name := string(c.next(c.number()))
		if name == "" {
			return
		}
		in := reflect.New(loose(name)).Elem()
		c.take(in, depth)
		v.Set(in)
	default:
		panic(uncoded(fmt.Sprintf("a %s has no content", v.Type())))
	}
}

func (c *coder) fields(v reflect.Value, depth int) {
	if v.Type() == reflect.TypeFor[time.Time]() {
		var t time.Time
		if err := t.UnmarshalBinary(c.next(c.number())); err != nil {
			panic(uncoded(err.Error()))
		}
		v.Set(reflect.ValueOf(t))
		return
	}
	for i := range v.NumField() {
		f := v.Field(i)
		if !f.CanSet() { // it is not exported; a result is to be whole all the same
			f = reflect.NewAt(f.Type(), f.Addr().UnsafePointer()).Elem()
		}
		c.take(f, depth)
	}
}

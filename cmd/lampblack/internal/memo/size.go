package memo

import (
	"reflect"

	"lampblack/panel/work"
)

// What Go keeps beside the content, in bytes; measured on 64-bit machines.
const (
	mapEntry = 16  // a map's share of control bytes and empty slots, for each entry
	perEntry = 256 // the memory's own record of a result
)

// SizeOf estimates how many bytes v keeps from being collected: itself and all that it refers to, whole backing arrays
// included. What two references within v share counts once; what v shares with other values counts in each. Its loops
// ask the watch.
func SizeOf(watch *work.Watch, v any) int64 {
	m := meter{watch: watch, seen: map[uintptr]bool{}}
	return m.value(reflect.ValueOf(&v).Elem(), 0) + 16
}

type meter struct {
	watch *work.Watch
	seen  map[uintptr]bool
}

// value returns the bytes that v refers to, without those it stands in itself.
func (m *meter) value(v reflect.Value, depth int) int64 {
	if depth > deepest {
		panic("memo: a value that refers to itself has no size: " + v.Type().String())
	}
	depth++
	m.watch.Step()
	sum := int64(0)
	switch v.Kind() {
	case reflect.String:
		sum = int64(v.Len())
	case reflect.Struct:
		for i := range v.NumField() {
			sum += m.value(v.Field(i), depth)
		}
	case reflect.Array:
		if !plain(v.Type().Elem()) {
			for i := range v.Len() {
				sum += m.value(v.Index(i), depth)
			}
		}
	case reflect.Slice:
		if v.Cap() == 0 || m.known(v.Pointer()) {
			return 0
		}
		sum = int64(v.Cap()) * int64(v.Type().Elem().Size())
		if !plain(v.Type().Elem()) {
			for i := range v.Len() {
				sum += m.value(v.Index(i), depth)
			}
		}
	case reflect.Map:
		if v.IsNil() || m.known(v.Pointer()) {
			return 0
		}
		each := int64(v.Type().Key().Size()) + int64(v.Type().Elem().Size()) + mapEntry
		for it := v.MapRange(); it.Next(); {
			sum += each + m.value(it.Key(), depth) + m.value(it.Value(), depth)
		}
	case reflect.Pointer:
		if v.IsNil() || m.known(v.Pointer()) {
			return 0
		}
		sum = int64(v.Type().Elem().Size()) + m.value(v.Elem(), depth)
	case reflect.Interface:
		if v.IsNil() {
			return 0
		}
		sum = int64(v.Elem().Type().Size()) + m.value(v.Elem(), depth)
	}
	return sum
}

func (m *meter) known(at uintptr) bool {
	if m.seen[at] {
		return true
	}
	m.seen[at] = true
	return false
}

// plain reports whether values of a type refer to nothing.
func plain(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			if !plain(t.Field(i).Type) {
				return false
			}
		}
		return true
	case reflect.Array:
		return plain(t.Elem())
	case reflect.String, reflect.Slice, reflect.Map, reflect.Pointer, reflect.Interface, reflect.Func, reflect.Chan, reflect.UnsafePointer:
		return false
	}
	return true
}

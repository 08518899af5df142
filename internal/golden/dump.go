package golden

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
)

// Dump is a value as text: the exported fields that are not zero, the members of
// a slice of structs one a line, numbers to four decimals. Text stays as it is.
func Dump(value any) []byte {
	switch v := value.(type) {
	case []byte:
		return v
	case string:
		return []byte(v)
	case error:
		return []byte(v.Error())
	}
	var b bytes.Buffer
	dump(&b, reflect.ValueOf(value), 0)
	return b.Bytes()
}

// deepest ends what points at itself.
const deepest = 12

func dump(b *bytes.Buffer, v reflect.Value, depth int) {
	if depth > deepest || !v.IsValid() {
		return
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		dump(b, v.Elem(), depth+1)
	case reflect.Struct:
		fields(b, v, depth)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			dump(b, v.Index(i), depth+1)
			b.WriteString(after(v.Type().Elem()))
		}
	case reflect.Map:
		pairs(b, v, depth)
	case reflect.Float32, reflect.Float64:
		fmt.Fprintf(b, "%.4f", rounded(v.Float()))
	case reflect.String:
		fmt.Fprintf(b, "%q", v.String())
	case reflect.Func, reflect.Chan:
	default:
		fmt.Fprintf(b, "%v", v)
	}
}

func fields(b *bytes.Buffer, v reflect.Value, depth int) {
	b.WriteByte('{')
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if !f.IsExported() || v.Field(i).IsZero() {
			continue
		}
		fmt.Fprintf(b, "%s:", f.Name)
		dump(b, v.Field(i), depth+1)
		b.WriteByte(' ')
	}
	b.WriteByte('}')
}

// pairs are a map's, in the order of their text.
func pairs(b *bytes.Buffer, v reflect.Value, depth int) {
	var all [][]byte
	for _, k := range v.MapKeys() {
		var one bytes.Buffer
		dump(&one, k, depth+1)
		one.WriteByte('=')
		dump(&one, v.MapIndex(k), depth+1)
		all = append(all, one.Bytes())
	}
	slices.SortFunc(all, func(a, b []byte) int { return cmp.Compare(string(a), string(b)) })
	b.Write(bytes.Join(all, []byte(" ")))
}

// after parts the members of a slice.
func after(member reflect.Type) string {
	for member.Kind() == reflect.Pointer {
		member = member.Elem()
	}
	if member.Kind() == reflect.Struct || member.Kind() == reflect.Slice {
		return "\n"
	}
	return " "
}

// rounded has no negative zero, and no ties that a last bit turns over.
func rounded(v float64) float64 {
	return math.Round(1e4*v+1e-6)/1e4 + 0
}

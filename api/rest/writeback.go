package rest

import (
	"net/http"
	"reflect"
	"slices"
)

// writtenBack are the names that requests of a type may hold because answers hold them at
// the same place: what was read can be written back. They are left aside, by their
// type.
type writtenBack map[reflect.Type]map[string]bool

// writtenBackIn finds, for every thing that can be read and written at one address,
// what its answer holds beyond the request.
func writtenBackIn(routes []Route) writtenBack {
	w := writtenBack{}
	for _, put := range routes {
		if put.Method != http.MethodPut {
			continue
		}
		if i := slices.IndexFunc(routes, func(r Route) bool { return r.Method == http.MethodGet && r.Path == put.Path }); i >= 0 {
			w.beyond(reflect.TypeOf(routes[i].Out), reflect.TypeOf(put.In))
		}
	}
	return w
}

// beyond collects the names of the answer out that the request in does not know.
func (w writtenBack) beyond(out, in reflect.Type) {
	out, in = withoutPointer(out), withoutPointer(in)
	switch {
	case out == in || out.Kind() != in.Kind():
	case in.Kind() == reflect.Slice || in.Kind() == reflect.Map:
		w.beyond(out.Elem(), in.Elem())
	case in.Kind() == reflect.Struct:
		known := membersOf(in)
		for name, t := range memberMap(out) {
			if inner, ok := known(name); ok {
				w.beyond(t, inner)
				continue
			}
			if w[in] == nil {
				w[in] = map[string]bool{}
			}
			w[in][name] = true
		}
	}
}

func withoutPointer(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t
}

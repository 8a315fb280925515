package rest

import (
	"context"
	"fmt"
	"net/url"
	"reflect"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"thole/api/store"
	"thole/api/wire"
)

// Bounds of what a page of a list holds, by our own judgement: a club of 500 has its
// athletes on one page.
const (
	usualPage   = 500
	largestPage = 1000
)

// Names in the address of a page of a list.
const (
	limitParameter = "limit"
	afterParameter = "after"
)

// Paged lets a list be read page by page: limit and after in the address, and the
// address of the next page in the header Link. The list is the first in the answer.
func (r Route) Paged() Route {
	r.paged = true
	return r
}

// ownQuery reports whether the request itself has a value in the address.
func (r *Route) ownQuery(name string) bool {
	t := reflect.TypeOf(r.In)
	for i := range t.NumField() {
		if t.Field(i).Tag.Get("query") == name {
			return true
		}
	}
	return false
}

// paged asks a use case for an answer and cuts its list to the page that is asked for.
// A use case may read the rows of that page alone, if its list is where the page before
// left it.
func paged[Out any](c echo.Context, r *Route, use func(context.Context) (Out, error)) (Out, error) {
	ctx := c.Request().Context()
	if !r.paged {
		return use(ctx)
	}
	w, err := r.windowOf(c)
	if err != nil {
		return *new(Out), err
	}
	if w != nil {
		out, err := use(store.WithWindow(ctx, &w.Window))
		if err != nil || w.cut(c, reflect.ValueOf(&out).Elem()) {
			return out, err
		}
		if !w.Taken { // the use case has no part for itself: the list is whole
			return out, r.page(c, &out)
		}
	}
	out, err := use(ctx)
	if err == nil {
		err = r.page(c, &out)
	}
	return out, err
}

// window is the part of a list that a page needs: from the item that the page before
// ended with to the one after the page.
type window struct {
	store.Window
	limit int
	key   string // of the item before the page
}

// windowOf reads which part of its list a request asks for; nil where the list is cut
// in another way, or the mark cannot be read, which [Route.page] tells.
func (r *Route) windowOf(c echo.Context) (*window, error) {
	if r.ownQuery(limitParameter) || r.ownQuery(afterParameter) {
		return nil, nil
	}
	limit, err := limitOf(c.QueryParam(limitParameter))
	if err != nil {
		return nil, err
	}
	mark := c.QueryParam(afterParameter)
	if mark == "" {
		return &window{store.Window{Offset: 0, Count: limit + 1}, limit, ""}, nil
	}
	place, key, ok := readMark(mark)
	if !ok {
		return nil, nil
	}
	return &window{store.Window{Offset: place - 1, Count: limit + 2}, limit, key}, nil
}

// cut cuts what was read to the page, and reports whether it is the page: it is not
// where the list was read whole, or has moved since the page before.
func (w *window) cut(c echo.Context, v reflect.Value) bool {
	if !w.Taken {
		return false
	}
	list, start := listIn(v), 0
	if w.key != "" {
		if list.Len() == 0 || keyAt(list, 0) != w.key {
			return false
		}
		start = 1
	}
	end := min(start+w.limit, list.Len())
	if end < list.Len() {
		link(c, afterParameter, fmt.Sprintf("%d-%s", w.Offset+end, keyAt(list, end-1)))
	}
	list.Set(list.Slice(start, end))
	return true
}

// page cuts the list in an answer to the page that is asked for, and says where the
// next one is. Out is a pointer to the answer.
func (r *Route) page(c echo.Context, out any) error {
	v := reflect.ValueOf(out).Elem()
	if r.ownQuery(limitParameter) { // the use case has cut it
		if next := v.FieldByName("Next"); next.IsValid() && next.Int() != 0 {
			link(c, "before", fmt.Sprint(next.Int()))
		}
		return nil
	}
	limit, err := limitOf(c.QueryParam(limitParameter))
	if err != nil {
		return err
	}
	list := listIn(v)
	if r.ownQuery(afterParameter) { // what follows a version; those of one stay together
		end := min(limit, list.Len())
		for end < list.Len() && versionAt(list, end) == versionAt(list, end-1) {
			end++
		}
		if end < list.Len() {
			link(c, afterParameter, fmt.Sprint(versionAt(list, end-1)))
		}
		list.Set(list.Slice(0, end))
		return nil
	}
	start, err := follow(list, c.QueryParam(afterParameter))
	if err != nil {
		return err
	}
	end := min(start+limit, list.Len())
	if end < list.Len() {
		link(c, afterParameter, markAt(list, end-1))
	}
	list.Set(list.Slice(start, end))
	return nil
}

func limitOf(text string) (int, error) {
	if text == "" {
		return usualPage, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > largestPage {
		return 0, wire.At(limitParameter).Invalid(fmt.Sprintf("Say a whole number from 1 to %d.", largestPage))
	}
	return n, nil
}

// listIn is the list of an answer.
func listIn(v reflect.Value) reflect.Value {
	for i := range v.NumField() {
		if f := v.Field(i); f.Kind() == reflect.Slice {
			return f
		}
	}
	panic("rest: a page of what has no list: " + v.Type().String())
}

func versionAt(list reflect.Value, i int) int64 {
	return list.Index(i).FieldByName("Version").Int()
}

// keyAt names an item of a list.
func keyAt(list reflect.Value, i int) string {
	for _, name := range []string{"ID", "Name"} {
		if f := list.Index(i).FieldByName(name); f.IsValid() {
			return fmt.Sprint(f.Interface())
		}
	}
	return ""
}

// markAt is how a page names the item that it ends with: the item, and its place for
// when it was removed meanwhile.
func markAt(list reflect.Value, i int) string { return fmt.Sprintf("%d-%s", i+1, keyAt(list, i)) }

// readMark takes a mark apart.
func readMark(mark string) (place int, key string, ok bool) {
	text, key, ok := strings.Cut(mark, "-")
	place, err := strconv.Atoi(text)
	return place, key, ok && key != "" && err == nil && place >= 1
}

// follow returns where a list goes on after a mark.
func follow(list reflect.Value, mark string) (int, error) {
	if mark == "" {
		return 0, nil
	}
	n, key, ok := readMark(mark)
	if !ok {
		return 0, wire.At(afterParameter).Invalid("Take the address of the next page from the header Link.")
	}
	if n <= list.Len() && keyAt(list, n-1) == key {
		return n, nil
	}
	for i := range list.Len() {
		if keyAt(list, i) == key {
			return i + 1, nil
		}
	}
	return min(n-1, list.Len()), nil // it is gone, and the next one in its place
}

// link says where the next page is (RFC 8288).
func link(c echo.Context, name, value string) {
	query := url.Values{}
	for known, values := range c.QueryParams() {
		query[known] = values
	}
	query.Set(name, value)
	c.Response().Header().Set("Link", "<"+c.Request().URL.Path+"?"+query.Encode()+`>; rel="next"`)
}

// limitQuery and afterQuery are how an address asks for a page of a list.
type limitQuery struct {
	Limit int `query:"limit" validate:"gte=1,lte=1000" default:"500" description:"How many at most. Where more follow, the header Link has the address of the next page."`
}

type afterQuery struct {
	After string `query:"after" validate:"max=200" description:"Where the page begins, as the header Link of the page before has it."`
}

// describePaging describes how a list is read page by page.
func (d *describer) describePaging(r *Route) {
	if !r.paged {
		return
	}
	if !r.ownQuery(limitParameter) {
		d.op.AddReqStructure(limitQuery{})
	}
	if !r.ownQuery(limitParameter) && !r.ownQuery(afterParameter) {
		d.op.AddReqStructure(afterQuery{})
	}
}

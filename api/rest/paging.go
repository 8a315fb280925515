package rest

import (
	"fmt"
	"net/url"
	"reflect"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

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
		for end > 0 && end < list.Len() && versionAt(list, end) == versionAt(list, end-1) {
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

// follow returns where a list goes on after a mark.
func follow(list reflect.Value, mark string) (int, error) {
	if mark == "" {
		return 0, nil
	}
	place, key, ok := strings.Cut(mark, "-")
	n, err := strconv.Atoi(place)
	if !ok || err != nil || n < 1 {
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

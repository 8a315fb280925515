package rest

import (
	"reflect"
	"strconv"

	"github.com/labstack/echo/v4"

	"thole/api/wire"
)

// bindAddress fills the fields of a request that stand in its address: those
// tagged path from the path's parameters and those tagged query from the
// query. A path that names nothing that can be on record is not found; a query that does
// not fit, or breaks the limits of its field, is an *Invalid; names not known in the query are refused
// as they are in a body. The name of the format belongs to a route that answers
// tables, too, and those of a page to a list.
func (r *Route) bindAddress(c echo.Context, into any) error {
	v := reflect.ValueOf(into).Elem()
	if v.Kind() != reflect.Struct {
		return nil
	}
	var p wire.Problems
	known := map[string]bool{formatParameter: r.Tables, limitParameter: r.paged, afterParameter: r.paged}
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if name := f.Tag.Get("path"); name != "" && !(parseInto(v.Field(i), c.Param(name)) && holds(f, v.Field(i))) {
			return wire.ErrNotFound
		}
		name := f.Tag.Get("query")
		known[name] = true
		switch text := c.QueryParam(name); {
		case name == "" || text == "":
		case !parseInto(v.Field(i), text):
			p.Add(wire.At(name).Problem("“" + text + "” does not fit here."))
		default:
			p.CheckField(wire.At(name), f, v.Field(i))
		}
	}
	for name := range c.QueryParams() {
		if !known[name] {
			p.Add(wire.At(name).Problem("This name is not known here."))
		}
	}
	return p.OrNil()
}

// holds reports whether a value keeps the limits of its field.
func holds(f reflect.StructField, v reflect.Value) bool {
	var p wire.Problems
	p.CheckField(wire.Place{}, f, v)
	return p.OrNil() == nil
}

// parseInto reads text as the kind of the field; false when it does not fit.
func parseInto(field reflect.Value, text string) bool {
	if field.Kind() == reflect.Pointer {
		field.Set(reflect.New(field.Type().Elem()))
		field = field.Elem()
	}
	switch field.Kind() {
	case reflect.String:
		field.SetString(text)
	case reflect.Bool:
		v, err := strconv.ParseBool(text)
		field.SetBool(v)
		return err == nil
	case reflect.Int, reflect.Int64:
		v, err := strconv.ParseInt(text, 10, 64)
		field.SetInt(v)
		return err == nil
	case reflect.Float64:
		v, err := strconv.ParseFloat(text, 64)
		field.SetFloat(v)
		return err == nil
	default:
		panic("api: no way to read a " + field.Kind().String() + " from an address")
	}
	return true
}

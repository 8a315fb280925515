package db

import "context"

// Window is the part of a list that is read: so many rows from a place on. The list
// that reads it so says that it is taken.
type Window struct {
	Offset, Count int
	Taken         bool
}

type (
	windowKey struct{} // a window that may be taken
	pagedKey  struct{} // one that the next list takes
)

// WithWindow returns a context for a use case that may read only a part of its list.
func WithWindow(ctx context.Context, w *Window) context.Context {
	return context.WithValue(ctx, windowKey{}, w)
}

// Paged returns a context in which a list reads only the window that was asked for of
// it, if any.
func Paged(ctx context.Context) context.Context {
	w, _ := ctx.Value(windowKey{}).(*Window)
	return context.WithValue(ctx, pagedKey{}, w)
}

// Page is [List] of the window under which the transaction runs.
func Page[T any](t *Tx, columns func(*T) []Column, rest string, args ...any) ([]T, error) {
	w, _ := t.Ctx.Value(pagedKey{}).(*Window)
	if w == nil {
		return List(t, columns, rest, args...)
	}
	w.Taken = true
	return List(t, columns, rest+" LIMIT ? OFFSET ?", append(args, w.Count, w.Offset)...)
}

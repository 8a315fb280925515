package store

import "context"

type signerKey struct{}

// SignedBy returns a context in which everything that is written is signed with
// a name, whatever name comes with it: that of the account that writes.
func SignedBy(ctx context.Context, name string) context.Context {
	return context.WithValue(ctx, signerKey{}, name)
}

// name is who signs in a transaction.
func (b *By) name(t *tx) string { return t.signer(b.Name) }

// signer is the name that the context signs with, or else the one given.
func (t *tx) signer(otherwise string) string {
	if name, ok := t.ctx.Value(signerKey{}).(string); ok {
		return name
	}
	return otherwise
}

type exampleKey struct{}

// AsExample returns a context in which the athletes, boats, oars and squads that
// are added are marked as examples.
func AsExample(ctx context.Context) context.Context {
	return context.WithValue(ctx, exampleKey{}, true)
}

// marked appends the mark of an example where the context asks for it.
func (t *tx) marked(table string, columns []column) []column {
	if on, _ := t.ctx.Value(exampleKey{}).(bool); !on {
		return columns
	}
	switch table {
	case "athletes", "boats", "oar_sets", "squads":
		return append(columns, column{"example", true})
	}
	return columns
}

package db

import "context"

type signerKey struct{}

// SignedBy returns a context in which everything that is written is signed with
// a name, whatever name comes with it: that of the account that writes.
func SignedBy(ctx context.Context, name string) context.Context {
	return context.WithValue(ctx, signerKey{}, name)
}

// name is who signs in a transaction.
func (b *By) Signer(t *Tx) string { return t.Signer(b.Name) }

// Signer is the name that the context signs with, or else the one given.
func (t *Tx) Signer(otherwise string) string {
	if name, ok := t.Ctx.Value(signerKey{}).(string); ok {
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

// Marked appends the mark of an example where the context asks for it.
func (t *Tx) Marked(table string, columns []Column) []Column {
	if on, _ := t.Ctx.Value(exampleKey{}).(bool); !on {
		return columns
	}
	switch table {
	case "athletes", "boats", "oar_sets", "squads":
		return append(columns, Column{"example", true})
	}
	return columns
}

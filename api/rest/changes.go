package rest

import (
	"context"
	"strings"

	"thole/api/records"
	"thole/api/table"
	"thole/api/wire"
)

var changeColumns = []table.Column{
	table.Moments("When", "At the club's clock."), table.Texts("What", "Which field, with the seat, piece or day it belongs to."),
	table.Texts("From", "Blank for no value."), table.Texts("To", "Blank for no value."), table.Texts("Who", "Who changed it."),
	table.Numbers("Version", 0, "Of the record, after the change."),
}

// ChangeTable is the history of a record, oldest first.
func ChangeTable(list records.Changes) table.Table {
	t := table.New("History", changeColumns...)
	for i := range list.Changes {
		c := &list.Changes[i]
		t.Add(c.At, plainField(c.What), c.From, c.To, c.By, c.Version)
	}
	return t
}

// plainField writes the name of a field as people do: seat 3 Span, hull mass kg.
func plainField(what string) string {
	words := strings.Fields(what)
	for i, word := range words {
		if label := wire.SettingLabel(word); label != "" {
			words[i] = label
			continue
		}
		words[i] = strings.ReplaceAll(word, "_", " ")
	}
	return strings.Join(words, " ")
}

// ChangesTabled lets the history of a record be had as a table.
func ChangesTabled(r Route, use func(context.Context, records.ChangesRequest) (records.Changes, error)) Route {
	return Tabled(r, Columns{First: changeColumns}, func(ctx context.Context, in records.ChangesRequest) (table.Table, string, error) {
		list, err := use(ctx, in)
		return ChangeTable(list), "history", err
	})
}

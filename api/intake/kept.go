package intake

import (
	"context"
	"encoding/json"
	"slices"
	"strings"

	"thole/api/columns"
	"thole/api/records"
	"thole/api/store"
)

// keptReading is a way to read files as it is kept: by the headings of the columns,
// so that it fits the next file of the same kind.
type keptReading struct {
	Columns  []keptColumn `json:"columns"`
	DayOrder string       `json:"day_order"`
	Sides    string       `json:"sides"`
}

type keptColumn struct {
	Heading string          `json:"heading"`
	Meaning columns.Meaning `json:"meaning"`
	Unit    string          `json:"unit"`
}

// keep keeps how a file was read under a name, in place of what has the name; ""
// keeps nothing.
func (s *Service) keep(ctx context.Context, kind columns.Kind, name string, look *Look) error {
	if name = strings.TrimSpace(name); name == "" {
		return nil
	}
	k := keptReading{DayOrder: look.How.DayOrder, Sides: look.How.Sides}
	for _, c := range look.Columns {
		k.Columns = append(k.Columns, keptColumn{c.Heading, c.Meaning, c.Unit})
	}
	text, err := json.Marshal(k)
	if err != nil {
		return err
	}
	return records.RecordError(s.Store.SaveTableMapping(ctx, store.TableMapping{Kind: string(kind), Name: name, Mapping: string(text)}))
}

// kept finds the way to read a file of a kind whose headings are those of the file;
// nil for none.
func (s *Service) kept(ctx context.Context, kind columns.Kind, headings []string) (*columns.How, string, error) {
	all, err := s.Store.TableMappings(ctx, string(kind))
	if err != nil {
		return nil, "", records.RecordError(err)
	}
	for i := range all {
		var k keptReading
		if json.Unmarshal([]byte(all[i].Mapping), &k) != nil {
			continue
		}
		if how, fits := k.under(headings); fits {
			return how, all[i].Name, nil
		}
	}
	return nil, "", nil
}

// under is the way to read a file with these headings; false where one of them is
// not known or one is missing.
func (k *keptReading) under(headings []string) (*columns.How, bool) {
	how := &columns.How{DayOrder: k.DayOrder, Sides: k.Sides}
	if len(headings) != len(k.Columns) {
		return nil, false
	}
	for _, heading := range headings {
		i := slices.IndexFunc(k.Columns, func(c keptColumn) bool { return c.Heading == strings.TrimSpace(heading) })
		if i < 0 {
			return nil, false
		}
		how.Uses = append(how.Uses, columns.Use{Meaning: k.Columns[i].Meaning, Unit: k.Columns[i].Unit})
	}
	return how, true
}

package page

import (
	"context"
	"strconv"

	"thole/api/club"
)

// SquadChoice lets a page show one squad, or everybody. It is empty where the club
// has no squads.
type SquadChoice struct {
	ID      int64 // 0 for everybody
	Name    string
	Asked   string   // value of the choice; "" where there is nothing to choose
	Options []Option // everybody first
}

// Among names the squad in addresses and forms.
const Among = "among"

// Everybody is the choice of no squad.
const Everybody = "all"

type squadKey struct{}

// WithSquad returns a context in which a squad, or everybody, is chosen where an
// address asks for none.
func WithSquad(ctx context.Context, choice string) context.Context {
	return context.WithValue(ctx, squadKey{}, choice)
}

// ChooseSquad reads which squad is asked for, or else was chosen last in this browser;
// one that was removed is everybody.
func ChooseSquad(ctx context.Context, service *club.Service, asked string) (SquadChoice, error) {
	if asked == "" {
		asked, _ = ctx.Value(squadKey{}).(string)
	}
	all, err := service.Squads(ctx, struct{}{})
	if err != nil || len(all.Squads) == 0 {
		return SquadChoice{}, err
	}
	c := SquadChoice{Asked: Everybody, Options: []Option{{Value: Everybody, Label: "everybody"}}}
	for i := range all.Squads {
		q := &all.Squads[i]
		o := Option{Value: strconv.FormatInt(q.ID, 10), Label: q.Name}
		if c.Options = append(c.Options, o); o.Value == asked {
			c.ID, c.Name, c.Asked = q.ID, q.Name, o.Value
		}
	}
	return c, nil
}

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
	Options []Option // everybody first
}

// Among names the squad in addresses and forms.
const Among = "among"

// ChooseSquad reads which squad is asked for; one that was removed is everybody.
func ChooseSquad(ctx context.Context, service *club.Service, asked string) (SquadChoice, error) {
	all, err := service.Squads(ctx, struct{}{})
	if err != nil || len(all.Squads) == 0 {
		return SquadChoice{}, err
	}
	c := SquadChoice{Options: []Option{{Value: "", Label: "everybody"}}}
	for i := range all.Squads {
		q := &all.Squads[i]
		o := Option{Value: strconv.FormatInt(q.ID, 10), Label: q.Name}
		if c.Options = append(c.Options, o); o.Value == asked {
			c.ID, c.Name = q.ID, q.Name
		}
	}
	return c, nil
}

// Asked is the value of the choice, "" for everybody.
func (c SquadChoice) Asked() string {
	if c.ID == 0 {
		return ""
	}
	return strconv.FormatInt(c.ID, 10)
}

package page

import (
	"context"
	"net/http"
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

// everybody is the choice of no squad.
const everybody = "all"

// squadCookie remembers the squad that was chosen last, until the browser is closed.
const squadCookie = "thole_squad"

type squadKey struct{}

// rememberSquad keeps the squad that an address asks for, for the pages that are
// opened without one, and returns the request with the squad to show there.
func rememberSquad(w http.ResponseWriter, r *http.Request) *http.Request {
	asked := r.URL.Query().Get(Among)
	c, err := r.Cookie(squadCookie)
	switch {
	case asked != "" && (err != nil || c.Value != asked) && isSquad(asked):
		http.SetCookie(w, &http.Cookie{Name: squadCookie, Value: asked, Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode})
	case asked == "" && err == nil:
		return r.WithContext(context.WithValue(r.Context(), squadKey{}, c.Value))
	}
	return r
}

// isSquad tells whether a choice can be one of a squad, or is that of everybody.
func isSquad(choice string) bool {
	_, err := strconv.ParseUint(choice, 10, 63)
	return err == nil || choice == everybody
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
	c := SquadChoice{Options: []Option{{Value: everybody, Label: "everybody"}}}
	for i := range all.Squads {
		q := &all.Squads[i]
		o := Option{Value: strconv.FormatInt(q.ID, 10), Label: q.Name}
		if c.Options = append(c.Options, o); o.Value == asked {
			c.ID, c.Name = q.ID, q.Name
		}
	}
	return c, nil
}

// Asked is the value of the choice; "" where there is nothing to choose.
func (c SquadChoice) Asked() string {
	switch {
	case len(c.Options) == 0:
		return ""
	case c.ID == 0:
		return everybody
	}
	return strconv.FormatInt(c.ID, 10)
}

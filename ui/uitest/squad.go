package uitest

import (
	"thole/api/club"
	"thole/api/records"
)

// AthleteNamed is an athlete of the club by name and birth date.
func (c *ClubSite) AthleteNamed(name, born string) club.AthleteSummary {
	c.T.Helper()
	list, err := c.Service.Club.Athletes(c.T.Context(), records.ListRequest{Name: name, Archived: true})
	if err != nil {
		c.T.Fatal(err)
	}
	for _, a := range list.Athletes {
		if a.Name == name && (a.BirthDate == nil && born == "" || a.BirthDate != nil && *a.BirthDate == born) {
			return a
		}
	}
	c.T.Fatalf("no athlete %s, born %q", name, born)
	return club.AthleteSummary{}
}

// Edit changes an athlete as somebody else would.
func (c *ClubSite) Edit(name, born string, change func(*club.AthleteFields)) {
	c.T.Helper()
	a, err := c.Service.Club.Athlete(c.T.Context(), club.AthleteRequest{ID: c.AthleteNamed(name, born).ID})
	if err != nil {
		c.T.Fatal(err)
	}
	change(&a.AthleteFields)
	if _, err := c.Service.Club.UpdateAthlete(c.T.Context(), club.AthleteEdit{ID: a.ID, Version: a.Version, AthleteFields: a.AthleteFields, By: "Bert"}); err != nil {
		c.T.Fatal(err)
	}
}

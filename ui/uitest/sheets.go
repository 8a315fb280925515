package uitest

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/setup"
)

// BoatNamed finds a boat of the demo club.
func (c *ClubSite) BoatNamed(name string) fleet.Boat {
	c.T.Helper()
	list, err := c.Service.Fleet.Boats(c.T.Context(), records.ListRequest{Name: name})
	if err != nil || len(list.Boats) == 0 {
		c.T.Fatalf("no boat %s: %v", name, err)
	}
	boat, err := c.Service.Fleet.Boat(c.T.Context(), records.IDRequest{ID: list.Boats[0].ID})
	if err != nil {
		c.T.Fatal(err)
	}
	return boat
}

// SpringEight is a crew for the demo club's eight.
var SpringEight = []string{"Lotte Brandvold", "Maeve Tarrant", "Ruth Amsel", "Aurel Dascalu", "Kofi Mensah-Bright", "Chiamaka Obiora", "Yuki Tanabe", "Ingrid Sollberg"}

// CrewQuery asks to set a boat up for a crew, bow first.
func CrewQuery(boat fleet.Boat, crew ...string) url.Values {
	q := url.Values{"boat": {fmt.Sprint(boat.ID)}}
	for i, name := range crew {
		q.Set(fmt.Sprintf("s%d", i+1), name)
	}
	return q
}

func (c *ClubSite) Eight() url.Values { return CrewQuery(c.BoatNamed("Nightjar"), SpringEight...) }

func (c *ClubSite) Single() url.Values { return CrewQuery(c.BoatNamed("Halcyon"), "Nell Ashgrove") }

// Made makes a work sheet and returns its address.
func (c *ClubSite) Made(q url.Values) string {
	c.T.Helper()
	boat, err := c.Service.Fleet.Boat(c.T.Context(), records.IDRequest{ID: Number(q.Get("boat"))})
	if err != nil {
		c.T.Fatal(err)
	}
	p := c.Post("/sheets", url.Values{"setup": {q.Encode()}, "boat_version": {fmt.Sprint(boat.Version)}, "by": {"Bram"}, "note": {"<b>spring</b>"}})
	if p.Status != http.StatusSeeOther {
		c.T.Fatalf("%d: %.2000s", p.Status, p.Body)
	}
	return p.Header.Get("Location")
}

func Number(text string) (n int64) {
	_, _ = fmt.Sscan(text, &n)
	return n
}

func (c *ClubSite) SheetAt(address string) setup.Sheet {
	c.T.Helper()
	h, err := c.Service.Setup.Sheet(c.T.Context(), records.IDRequest{ID: Number(strings.TrimPrefix(address, "/sheets/"))})
	if err != nil {
		c.T.Fatal(err)
	}
	return h
}

package setup

import (
	"fmt"
	"html/template"
	"net/http"
	"slices"

	"thole/ui/page"
)

// Seat cards: a work sheet cut up by seat, four cards on a page of paper.

// cardsPage is the cards of a sheet.
type cardsPage struct {
	*sheetPage
	Cards []seatCard
}

// seatCard is one seat of a sheet.
type seatCard struct {
	Number            int
	Side, Name, Words string
	First             string // what is to be measured before anything is moved
	Moves, Stay       []paperMore
	Finish, Catch     string
	Heed              []string
	Code              template.HTML
}

func (s *site) sheetCards(w http.ResponseWriter, r *http.Request) error {
	id := page.PathID(r, "id")
	sheet, err := s.findSheet(r, id)
	if err != nil {
		return s.Fail(w, err)
	}
	p := cardsPage{sheetPage: sheet}
	for i := range sheet.Seats {
		card := newSeatCard(sheet, &sheet.Seats[i])
		card.Code = codeOf(r, fmt.Sprintf("/sheets/%d#seat-%d", id, card.Number))
		p.Cards = append(p.Cards, card)
	}
	return s.Pages.Show(w, http.StatusOK, "sheet_cards", p)
}

func newSeatCard(p *sheetPage, s *workSeat) seatCard {
	c := seatCard{Number: s.Number, Side: s.Side, Name: s.Name, Words: page.LowerFirst(s.Words), Finish: s.Check.Finish, Catch: s.Check.Catch}
	if s.Check.First {
		c.First = "height"
	}
	for _, l := range s.Moving {
		m := paperMore{Label: l.Label, Found: tenth(l.Found), Set: withUnit(tenth(l.Want), l.Unit), Move: moveAlone(l.Text), Value: l.Value, Unit: l.Unit}
		if l.Own != "" {
			m.Move += ", " + l.Own
		}
		c.Moves = append(c.Moves, m)
	}
	for _, l := range s.Still {
		if l.Found != "–" {
			c.Stay = append(c.Stay, paperMore{Label: page.LowerFirst(l.Label), Found: withUnit(l.Found, l.Unit)})
		}
	}
	for i := range p.Sheet.Cautions {
		if a := &p.Sheet.Cautions[i]; a.Weight == "warning" && slices.Contains(a.Seats, s.Number) {
			c.Heed = append(c.Heed, a.Text)
		}
	}
	return c
}

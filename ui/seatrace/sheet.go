package seatrace

import (
	"cmp"
	"crypto/rand"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"unicode"

	"thole/api/records"
	"thole/api/rest"
	"thole/api/seatrace"
	"thole/api/wire"
	"thole/ui/page"
)

// The results of all pieces at once, a line a piece, as they stand on the paper that
// went out with the launch.

// resultSheet takes the results of the pieces to come.
type resultSheet struct {
	Key, By string
	Lines   []resultLine
	Open    bool
	Confirm string // set where the times can be confirmed
}

// resultLine is the field of one piece.
type resultLine struct {
	Number         int
	Name, Crews    string
	Value, Problem string
}

// Offered reports whether the lines save anything over the form of one piece.
func (s *resultSheet) Offered() bool { return len(s.Lines) > 1 || s.Open }

// addSheet adds the lines of the pieces to come, and of those that were refused.
func (p *racePage) addSheet(refused map[int]error) {
	p.Sheet = &resultSheet{Key: rand.Text()}
	for i := range p.Pieces {
		if v := &p.Pieces[i]; v.Piece.State == "planned" || refused[v.Piece.Number] != nil {
			p.Sheet.Lines = append(p.Sheet.Lines, resultLine{Number: v.Piece.Number, Name: fmt.Sprintf("p%d", v.Piece.Number), Crews: strings.Join(v.Crews, " · ")})
		}
	}
}

// enterSheet saves the pieces whose lines are filled, one after another; those that
// cannot be saved are shown again.
func (s *site) enterSheet(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.Broken(w)
	}
	race, err := s.service.Seatrace.Race(r.Context(), records.IDRequest{ID: raceID(r)})
	if err != nil {
		return s.raceFault(w, err)
	}
	refused := map[int]error{}
	for n := 1; n <= len(race.Pieces); n++ {
		if line := r.PostForm.Get(fmt.Sprintf("p%d", n)); strings.TrimSpace(line) != "" {
			if _, err := s.service.Seatrace.RecordPiece(r.Context(), lineRequest(race.ID, n, line, r.PostForm)); err != nil {
				refused[n] = err
			}
		}
	}
	if len(refused) > 0 {
		return s.refuseSheet(w, r, refused)
	}
	http.Redirect(w, r, fmt.Sprintf("/seat-races/%d#latest", race.ID), http.StatusSeeOther)
	return nil
}

// lineRequest reads the line of a piece: a time or a margin a boat, parted by blanks.
func lineRequest(race int64, number int, line string, typed url.Values) seatrace.PieceResultRequest {
	q := seatrace.PieceResultRequest{
		ID: race, Number: number, State: "raced", By: strings.TrimSpace(typed.Get("by")), TimesChecked: typed.Get("times_checked") != "",
	}
	if key := typed.Get("key"); key != "" {
		q.Key = fmt.Sprintf("%s-%d", key, number)
	}
	parted := func(r rune) bool { return unicode.IsSpace(r) || r == ';' || r == '/' }
	q.Typed = strings.FieldsFunc(strings.ReplaceAll(line+" ", ", ", " "), parted)
	return q
}

// refuseSheet shows the lines that were not saved, each with what is wrong.
func (s *site) refuseSheet(w http.ResponseWriter, r *http.Request, refused map[int]error) error {
	p, err := s.racePage(r)
	if err != nil {
		return s.raceFault(w, err)
	}
	p.addSheet(refused)
	p.Sheet.Open, p.Sheet.By = true, r.PostForm.Get("by")
	for i := range p.Sheet.Lines {
		line := &p.Sheet.Lines[i]
		line.Value = r.PostForm.Get(line.Name)
		err := refused[line.Number]
		if err == nil {
			continue
		}
		problem := rest.Explain(err)
		if problem.Status >= http.StatusInternalServerError {
			return err
		}
		line.Problem = p.Sheet.complain(&problem, err)
		p.Problems = append(p.Problems, page.Problem{Field: line.Name, Label: fmt.Sprintf("Piece %d", line.Number), Text: line.Problem})
	}
	return s.Pages.Show(w, http.StatusUnprocessableEntity, "seatrace", p)
}

// complain puts what is wrong with a line into words, and offers to confirm its times
// where that is enough.
func (s *resultSheet) complain(problem *wire.Problem, err error) string {
	if moved := new(records.Conflict); errors.As(err, &moved) {
		return "Somebody else has entered this piece in the meantime: open it in the schedule below to correct it."
	}
	var texts []string
	for _, f := range problem.Errors {
		if f.Place().First() == "times_checked" {
			s.Confirm = f.Detail
			continue
		}
		text := f.Detail
		if b, _, ok := f.Place().ItemOf(wire.At("typed")); ok {
			text = fmt.Sprintf("Boat %d: %s", b+1, text)
		}
		texts = append(texts, text)
	}
	return cmp.Or(strings.Join(texts, " "), problem.Detail)
}

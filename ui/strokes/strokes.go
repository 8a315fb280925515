package strokes

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	files "thole/ui/strokefile"

	"thole/api/access"
	"thole/api/exports"
	"thole/api/strokes"
	"thole/ui/page"
)

// strokePages lists the pages of measured strokes.
func (s *site) strokePages() map[string]page.Route {
	return map[string]page.Route{
		"GET /recordings":                      page.For(access.Coaches.Narrowed("athlete_id"), s.strokes),
		"GET /recordings/compare":              page.For(access.Coaches, s.strokeCompare),
		"GET /catch":                           page.For(access.Everyone, s.catch),
		"GET /recordings/squad":                page.For(access.Coaches, s.strokeSquad),
		"GET /recordings/{recording}":          page.For(access.Coaches.OrOwn(access.Recording, "recording").SharedAs("recording"), s.stroke),
		"POST /recordings/{recording}":         page.For(access.Coaches.OrOwn(access.Alone, "recording"), s.strokeChange),
		"POST /recordings/posture/{recording}": page.For(access.Coaches, s.strokePosture),
	}
}

// strokesPage lists what is on record.
type strokesPage struct {
	Recordings []strokes.RecordingSummary
	Athletes   []strokes.RecordingSummary // the newest of each, to compare
	Kept       string
	Own        bool // an athlete looks at theirs
	Files      *page.Files
}

func (s *site) strokes(w http.ResponseWriter, r *http.Request) error {
	athlete, _ := strconv.ParseInt(r.URL.Query().Get("athlete_id"), 10, 64) // 0 is everybody's
	list, err := s.service.Strokes.Recordings(r.Context(), strokes.RecordingsRequest{AthleteID: athlete})
	if err != nil {
		return s.Fail(w, err)
	}
	p := &strokesPage{Recordings: list.Recordings, Kept: r.URL.Query().Get("kept"), Own: files.SelfOf(r) != 0, Files: page.NewFiles(r.URL, "recordings",
		page.FileOf(r.Context(), "recordings", "Recordings", exports.Recordings{Service: s.service.Strokes}.RecordingTable, strokes.RecordingsRequest{AthleteID: athlete}))}
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "strokes", p)
}

// recordingLabel names a recording in a choice.
func recordingLabel(r *strokes.RecordingSummary) string {
	parts := []string{r.Athlete, r.Boat}
	if r.Athlete == "" {
		parts[0] = files.SeatLabel(r.Seat)
	} else if r.Boat != "" && r.Seat != "" {
		parts[1] += " " + r.Seat
	}
	parts = append(parts, r.Side, page.Day(r.RecordedOn))
	return strings.Join(strings.FieldsFunc(strings.Join(parts, "\x00"), func(c rune) bool { return c == 0 }), ", ")
}

// recordingOptions lists recordings to choose from.
func recordingOptions(list []strokes.RecordingSummary) []page.Option {
	var options []page.Option
	for i := range list {
		options = append(options, page.Option{Value: fmt.Sprint(list[i].ID), Label: recordingLabel(&list[i])})
	}
	return options
}

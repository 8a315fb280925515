package ui_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"html"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"thole/api/access"
	"thole/api/seatrace"
	"thole/api/strokes"
	"thole/api/table"
	"thole/ui"
	"thole/ui/uitest"
)

var (
	filesPart = regexp.MustCompile(`(?s)<p class="files".*?</p>`)
	fileLink  = regexp.MustCompile(`href="([^"]+)" download`)
)

// TestTablesOfPagesAreSaved follows every link at the foot of every page that has
// tables: CSV that spreadsheets take for UTF-8, and a spreadsheet with a sheet
// for each table, its heading frozen.
func TestTablesOfPagesAreSaved(t *testing.T) {
	c := uitest.DemoClub(t)
	boat := c.BoatNamed("Nightjar").ID
	sheet := c.Made(c.Eight())
	saved := c.SaveLineup("4-")
	race := racedOnce(t, c)
	for path, tables := range map[string]int{
		"/athletes": 2, "/athletes/1": 3, "/boats": 1, fmt.Sprintf("/boats/%d", boat): 2, fmt.Sprintf("/boats/%d/history", boat): 2, "/oars": 1,
		"/setup?" + c.Eight().Encode(): 1, "/sheets": 1, sheet: 1, "/recordings": 1, "/recordings/1": 4, "/recordings/compare?a=1&b=2": 3, "/recordings/squad": 3, "/catch": 2,
		"/squad": 2, "/line-ups?class=4-&search=1": 2, "/line-ups/saved": 1, saved: 1, "/seat-races": 1, race: 2,
	} {
		part := filesPart.FindAllString(c.Get(path).Body, -1)
		if len(part) != 1 {
			t.Errorf("%s: files are offered %d times", path, len(part))
			continue
		}
		links := fileLink.FindAllStringSubmatch(part[0], -1)
		if len(links) != tables+1 {
			t.Errorf("%s: %d links, want %d", path, len(links), tables+1)
		}
		for _, link := range links {
			checkSaved(t, c, path, html.UnescapeString(link[1]), tables)
		}
	}
}

// racedOnce puts a seat race with one result on record and returns its address.
func racedOnce(t *testing.T, c *uitest.ClubSite) string {
	t.Helper()
	pieces := []seatrace.RaceScheduledPiece{{Crews: [][]string{{"Ann", "Bea"}, {"Cy", "Di"}}}, {Crews: [][]string{{"Ann", "Cy"}, {"Bea", "Di"}}}}
	race, err := c.Service.Seatrace.CreateRace(t.Context(), seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{
		Name: "Pairs", BoatClass: "2-", Athletes: []seatrace.RaceParticipant{{Name: "Ann"}, {Name: "Bea"}, {Name: "Cy"}, {Name: "Di"}}, Pieces: pieces, By: "Ines",
	}})
	if err == nil {
		_, err = c.Service.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: race.ID, Number: 1, Key: "one", Typed: []string{"3:42.4", "3:44.1"}})
	}
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("/seat-races/%d", race.ID)
}

func checkSaved(t *testing.T, c *uitest.ClubSite, page, address string, tables int) {
	t.Helper()
	answer, err := c.Client.Get(c.URL + address)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode != http.StatusOK {
		t.Errorf("%s: %s: %d %v", page, address, answer.StatusCode, err)
		return
	}
	switch kind, _, _ := strings.Cut(answer.Header.Get("Content-Type"), ";"); kind {
	case table.CSV.Media:
		text, marked := bytes.CutPrefix(body, []byte(table.ByteOrderMark))
		rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
		if err != nil || !marked || len(rows) < 2 {
			t.Errorf("%s: %s: mark %v, %d rows, %v", page, address, marked, len(rows), err)
		}
	case table.XLSX.Media:
		checkBook(t, page, body, tables)
	default:
		t.Errorf("%s: %s is %s", page, address, kind)
	}
}

// checkBook opens a spreadsheet as other programs do.
func checkBook(t *testing.T, page string, body []byte, tables int) {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(body))
	if err != nil {
		t.Errorf("%s: %v", page, err)
		return
	}
	defer f.Close()
	sheets := f.GetSheetList()
	if len(sheets) != tables {
		t.Errorf("%s: sheets %q, want %d", page, sheets, tables)
	}
	for _, sheet := range sheets {
		if panes, err := f.GetPanes(sheet); err != nil || !panes.Freeze || panes.YSplit != 1 {
			t.Errorf("%s, %s: %+v %v", page, sheet, panes, err)
		}
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		if err != nil || len(rows) < 2 {
			t.Errorf("%s, %s: %d rows, %v", page, sheet, len(rows), err)
			continue
		}
		checkTyped(t, f, page, sheet, rows)
	}
}

// onlyTexts are sheets that hold no figures.
var onlyTexts = []string{}

// checkTyped wants numbers among the cells, and no number kept as a text in a
// column that a unit heads.
func checkTyped(t *testing.T, f *excelize.File, page, sheet string, rows [][]string) {
	t.Helper()
	numbers := 0
	for i := 1; i < len(rows); i++ {
		for j := range rows[i] {
			at, _ := excelize.CoordinatesToCellName(j+1, i+1)
			kind, err := f.GetCellType(sheet, at)
			if err != nil {
				t.Fatal(err)
			}
			if kind == excelize.CellTypeUnset || kind == excelize.CellTypeNumber {
				numbers++
				continue
			}
			if heading := rows[0][j]; regexp.MustCompile(`, (cm|kg|s|W|m|°|N)$`).MatchString(heading) {
				t.Errorf("%s, %s: %s under %q is a text: %q", page, sheet, at, heading, rows[i][j])
			}
		}
	}
	if numbers == 0 && !slices.Contains(onlyTexts, sheet) {
		t.Errorf("%s, %s: no cell is a number", page, sheet)
	}
}

// TestTablesKeepToTheRulesOfThePage: who works on boats gets no ergometer tests
// with the list of athletes, and an athlete no recording of another.
func TestTablesKeepToTheRulesOfThePage(t *testing.T) {
	c := uitest.DemoClub(t)
	pages, err := ui.New(nil, c.Service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	ask := func(v *access.Viewer, address string) string {
		w := httptest.NewRecorder()
		r := httptest.NewRequest(http.MethodGet, address, nil)
		pages.ServeHTTP(w, r.WithContext(access.With(r.Context(), v)))
		return w.Body.String()
	}
	coach, boatman := &access.Viewer{Role: access.Coach, Account: 1}, &access.Viewer{Role: access.Boatman, Account: 2}
	const tests = "/athletes?csv=tests"
	if !strings.Contains(ask(coach, tests), "test_time") || strings.Contains(ask(boatman, tests), "test_time") {
		t.Error("the tests are not for coaches alone")
	}
	checkBook(t, "/athletes for a boatman", []byte(ask(boatman, "/athletes?xlsx=all")), 1)
	all, err := c.Service.Strokes.Recordings(t.Context(), strokes.RecordingsRequest{})
	if err != nil || len(all.Recordings) < 2 {
		t.Fatal(len(all.Recordings), err)
	}
	own := all.Recordings[0]
	table := ask(&access.Viewer{Role: access.Athlete, Account: 3, Athlete: *own.AthleteID}, "/recordings?csv=recordings")
	for _, r := range all.Recordings {
		if shown := strings.Contains(table, r.Athlete); shown != (r.Athlete == own.Athlete) {
			t.Errorf("%s of %s: shown %v", r.RecordedOn, r.Athlete, shown)
		}
	}
}

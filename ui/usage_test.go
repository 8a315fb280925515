package ui_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/ui/uitest"
)

// strays are what a reader with feet and inches, pounds, stroke side, the month first and
// a decimal comma must not meet.
var strays = []*regexp.Regexp{
	regexp.MustCompile(`(^|[^r][\s(\d])kg\b($|[^·/])`), // but for watts per kg
	regexp.MustCompile(`(?i)\b(port|starboard)s?\b|^P$`),
	regexp.MustCompile(`\b\d{1,2} (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b`),
	regexp.MustCompile(`\b[cm]m\b|centimetre|millimetre`),
	regexp.MustCompile(`(^|[^.\d])\d+\.\d+($|[^.\d])`), // numbers of versions and addresses have several points
	dayOfFiles,
}

// dayOfFiles is a day as files have it, which nobody reads but who asked for that order.
var dayOfFiles = regexp.MustCompile(`\b\d{4}-\d\d-\d\d\b`)

// inRecords are pages whose subject is what the records and files hold, or the words
// themselves.
var inRecords = regexp.MustCompile(`^/(settings|api|sources|guide|glossary|notices|server|athletes/import|boats/import|oars/import|squad/import|recordings/import|import)`)

// stays are texts of other pages that stay as they are: how a day can be typed, and a unit
// of physics.
var stays = regexp.MustCompile(`^The day or the year: |^[\d,]* ?W/kg$`)

// theirChoice is the most different choice that there is.
var theirChoice = url.Values{"body_lengths": {"ft_in"}, "rig_lengths": {"in"}, "masses": {"lb"}, "sides": {"stroke_bow"}, "days": {"mdy"}, "decimals": {"comma"}}

// TestPagesHoldTheReadersUnits walks every page as somebody who has all of it otherwise.
func TestPagesHoldTheReadersUnits(t *testing.T) {
	site := uitest.SeasonClub(t)
	uitest.GoesTo(t, site.Post("/settings", theirChoice), "/settings?saved=own")
	feet, inches, pounds, bowside, commas := 0, 0, 0, 0, 0
	decimal := regexp.MustCompile(`\d,\d`)
	pages := walk(t, site.Look, func(address, body string) {
		if inRecords.MatchString(address) {
			return
		}
		texts, _ := textsOf(t, body)
		texts = append(texts, numbersIn(body)...)
		said := map[string]bool{}
		for _, text := range texts {
			for _, stray := range strays {
				if stray.MatchString(text) && !said[text] && !stays.MatchString(text) {
					said[text] = true
					t.Errorf("%s: %.160q", address, text)
				}
			}
			feet += strings.Count(text, "″")
			inches += strings.Count(text, " in")
			pounds += strings.Count(text, " lb")
			bowside += strings.Count(text, "ow side")
			commas += len(decimal.FindAllString(text, -1))
		}
	})
	if pages < 60 || feet < 20 || inches < 200 || pounds < 20 || bowside < 20 || commas < 500 {
		t.Errorf("%d pages, %d feet, %d inches, %d pounds, %d sides, %d decimals: hardly anything is changed", pages, feet, inches, pounds, bowside, commas)
	}
}

// numbersIn are the numbers that stand in the fields of a page.
func numbersIn(body string) (list []string) {
	for _, m := range regexp.MustCompile(`<input (?:[^>]* )?name="([^":]+)" value="([−-]?[\d:.]+)"([^>]*)`).FindAllStringSubmatch(body, -1) {
		if !strings.Contains(m[0], `type="hidden"`) && !strings.Contains(m[3], `type=`) {
			list = append(list, m[2])
		}
	}
	return list
}

// TestNoPageHasDaysAsInFiles walks every page as somebody who chose nothing.
func TestNoPageHasDaysAsInFiles(t *testing.T) {
	site := uitest.SeasonClub(t)
	walk(t, site.Look, func(address, body string) {
		if inRecords.MatchString(address) {
			return
		}
		texts, _ := textsOf(t, body)
		for _, text := range texts {
			if dayOfFiles.MatchString(text) {
				t.Errorf("%s: %.160q", address, text)
			}
		}
	})
}

// rigUsages are the ways to have measures of rigs.
var rigUsages = []url.Values{
	{"rig_lengths": {"mm"}}, {"rig_lengths": {"in"}}, {"rig_lengths": {"in_fractions"}}, {"rig_lengths": {"in_fractions"}, "decimals": {"comma"}}, theirChoice,
}

// TestFormsSentBackAsShownChangeNothing: whoever opens a form of a boat, a seat, its
// ranges, a set of oars or an athlete and saves it untouched leaves every value where it
// was, to the last digit, and no trace in the history, in all units.
func TestFormsSentBackAsShownChangeNothing(t *testing.T) {
	site := uitest.DemoClub(t)
	ctx := t.Context()
	boat, err := site.Service.Fleet.Boat(ctx, records.IDRequest{ID: 3})
	if err != nil {
		t.Fatal(err)
	}
	// Values that no tape in inches shows.
	odd := fleet.RigEdit{ID: 3, Version: boat.Version, By: "Ines", Settings: []fleet.RigSetting{
		{Seat: 1, Setting: "span_cm", Value: new(159.37)}, {Seat: 1, Setting: "heel_to_pin_cm", Value: new(23.91)}, {Seat: 2, Setting: "gate_difference_cm", Value: new(-0.33)},
	}}
	if _, err := site.Service.Fleet.UpdateRig(ctx, odd); err != nil {
		t.Fatal(err)
	}
	onRecord := func() string {
		boat, err := site.Service.Fleet.Boat(ctx, records.IDRequest{ID: 3})
		if err != nil {
			t.Fatal(err)
		}
		boat.Version = 0
		history, err := site.Service.Fleet.RigHistory(ctx, fleet.RigHistoryRequest{ID: 3})
		if err != nil {
			t.Fatal(err)
		}
		oars, err := site.Service.Fleet.OarSet(ctx, records.IDRequest{ID: 1})
		if err != nil {
			t.Fatal(err)
		}
		athlete, err := site.Service.Club.Athlete(ctx, club.AthleteRequest{ID: 8})
		if err != nil {
			t.Fatal(err)
		}
		athlete.Version, oars.Version = 0, 0
		all, err := json.Marshal([]any{boat, history, oars, athlete})
		if err != nil {
			t.Fatal(err)
		}
		return string(all)
	}
	before := onRecord()
	for _, u := range rigUsages {
		site.Post("/settings", u)
		for page, form := range map[string]string{
			"/boats/3/edit": "/boats/3", "/boats/3/table": "", "/boats/3/seats/1": "", "/boats/3/seats/2": "", "/boats/3/seats/1/ranges": "", "/oars/1": "", "/athletes/8/edit": "/athletes/8",
		} {
			sent := site.Form(page)
			if form == "" {
				form = page
			}
			shown := 0
			for name := range sent {
				if strings.HasPrefix(name, "was:") {
					shown++
				}
			}
			sent.Set("by", "Ines")
			if p := site.Post(form, sent); p.Status != http.StatusSeeOther || shown == 0 && (form != "/athletes/8" || u.Has("masses")) {
				t.Errorf("%v, %s: %d, %d fields in other units", u, page, p.Status, shown)
			}
			if after := onRecord(); after != before {
				t.Fatalf("%v, %s:\n%s\n%s", u, page, before, after)
			}
		}
	}
}

// TestMeasuresAreTakenInTheReadersUnit: typed in one's own unit or with another behind it,
// into the form of a seat and on a work sheet; what is refused is refused in that unit.
func TestMeasuresAreTakenInTheReadersUnit(t *testing.T) {
	site := uitest.DemoClub(t)
	span := func() float64 {
		boat, err := site.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: 3})
		if err != nil {
			t.Fatal(err)
		}
		return *boat.Seats[0].Seat.SpanCm
	}
	for _, c := range []struct {
		u     url.Values
		typed string
		cm    float64
	}{
		{nil, "62 1/2 in", 158.75}, {nil, "1595 mm", 159.5}, {nil, "159,5 cm", 159.5}, {nil, `5' 3"`, 160.02}, {theirChoice, "62,6", 159.004}, {theirChoice, "62 1/2", 158.75},
		{theirChoice, "159.5 cm", 159.5}, {rigUsages[0], "1587", 158.7}, {rigUsages[2], "62 5/8", 159.0675},
	} {
		site.Post("/settings", c.u)
		if p := site.Post("/boats/3/seats/1", site.Form("/boats/3/seats/1", "seat1_span_cm", c.typed, "by", "Ines")); p.Status != http.StatusSeeOther {
			t.Errorf("%q: %d", c.typed, p.Status)
		}
		if got := span(); got != c.cm {
			t.Errorf("%v: %q is kept as %v, want %v", c.u, c.typed, got, c.cm)
		}
	}
	site.Post("/settings", theirChoice)
	p := site.Post("/boats/3/seats/1", site.Form("/boats/3/seats/1", "seat1_span_cm", "20", "by", "Ines"))
	if p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, `value="20"`) || !regexp.MustCompile(`id="e-seat1_span_cm">[^<]*43,31 (in )?to 74,8 in`).MatchString(p.Body) {
		t.Errorf("20 in: %d %s", p.Status, regexp.MustCompile(`id="e-seat1_span_cm">[^<]*`).FindString(p.Body))
	}
}

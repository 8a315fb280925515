package ui_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// strays are what a reader with feet, pounds, stroke side and the month first must not
// meet.
var strays = []*regexp.Regexp{
	regexp.MustCompile(`(^|[^r][\s(\d])kg\b($|[^·/])`), // but for watts per kg
	regexp.MustCompile(`(?i)\b(port|starboard)\b|^P$`),
	regexp.MustCompile(`\b\d{1,2} (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) \d{4}\b`),
}

// inRecords are pages whose subject is what the records and files hold, or the words
// themselves.
var inRecords = regexp.MustCompile(`^/(settings|api|sources|guide|glossary|notices|athletes/import|boats/import|oars/import|squad/import)`)

// TestPagesHoldTheReadersUnits walks every page as somebody who has feet and inches,
// pounds, stroke side and bow side and the month first.
func TestPagesHoldTheReadersUnits(t *testing.T) {
	club := uitest.DemoClub(t)
	uitest.GoesTo(t, club.Post("/settings", url.Values{"body_lengths": {"ft_in"}, "masses": {"lb"}, "sides": {"stroke_bow"}, "days": {"mdy"}}), "/settings?saved=own")
	feet, pounds, bowside := 0, 0, 0
	pages := walk(t, club.Look, func(address, body string) {
		if inRecords.MatchString(address) {
			return
		}
		texts, _ := textsOf(t, body)
		said := map[string]bool{}
		for _, text := range texts {
			for _, stray := range strays {
				if stray.MatchString(text) && !said[text] {
					said[text] = true
					t.Errorf("%s: %.160q", address, text)
				}
			}
			if strings.HasPrefix(address, "/athletes") && !strings.HasSuffix(address, "/progress") && regexp.MustCompile(`\bcm\b`).MatchString(text) && !said[text] {
				said[text] = true
				t.Errorf("%s: %.160q", address, text)
			}
			feet += strings.Count(text, "″")
			pounds += strings.Count(text, " lb")
			bowside += strings.Count(text, "ow side")
		}
	})
	if pages < 60 || feet < 20 || pounds < 20 || bowside < 20 {
		t.Errorf("%d pages, %d feet, %d pounds, %d sides: hardly anything is changed", pages, feet, pounds, bowside)
	}
	if p := club.Post("/settings", url.Values{}); p.Status != http.StatusSeeOther {
		t.Errorf("back to the usual: %d", p.Status)
	}
}

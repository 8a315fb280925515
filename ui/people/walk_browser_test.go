package people_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"thole/ui/uitest"
)

// TestFromTheFirstStartToAnAthletesPhone walks in a browser from the link of the
// first start to an athlete who sees what is theirs, with every page on the way
// checked for accessibility.
func TestFromTheFirstStartToAnAthletesPhone(t *testing.T) {
	s := newServer(t, false)
	tab := uitest.NewTab(t)
	looks := []uitest.Look{{Scheme: "light", Width: 390}, {Scheme: "dark", Width: 1280}}
	first, _, err := s.service.People.FirstLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	join := func(link, name string) {
		t.Helper()
		tab.Axe(s.url+link, looks...)
		tab.Open(s.url + link)
		tab.Write("#name", name)
		tab.Write("#password", secret)
		tab.Do(chromedp.Click(chromedp.CSS("main form button")))
		tab.Until("location.pathname == '/' && document.querySelector('.account')")
	}
	join("/join/"+first.Secret, "Carla")
	for _, path := range []string{"/people", "/people/invite", "/account", "/links", "/tasks", "/seat", "/setup?boat=1"} {
		tab.Axe(s.url+path, looks...)
	}
	own := s.rowed()
	tab.Open(s.url + "/people/invite")
	tab.Do(chromedp.Click(chromedp.CSS(fmt.Sprintf("input[value='%d']", own.ID))), chromedp.Click(chromedp.CSS("main form button")))
	tab.Until("document.querySelector('.address')")
	link := strings.TrimPrefix(tab.Text(".p-cards .address"), s.url)

	tab.Show("light", 390)
	tab.Open(s.url + fmt.Sprintf("/athletes/%d/link", own.ID))
	tab.Do(chromedp.Click(chromedp.CSS("main form button")))
	tab.Until("document.querySelector('.address')")
	measuring := strings.TrimPrefix(tab.Text(".p-cards .address"), s.url)

	join(link, "anna")
	addsARecording(t, s, tab, looks)
	tab.Open(s.url + fmt.Sprintf("/athletes/%d", own.ID))
	if says := tab.Text("main"); !strings.Contains(says, own.Name) || strings.Contains(says, "Save the test") {
		t.Errorf("own page: %.300s", says)
	}
	if shown := uitest.Ask[bool](tab, "[...document.querySelectorAll('[name=measured_by]')].some(e => e.checkVisibility())"); shown {
		t.Error("who has signed in is asked for a name")
	}
	if wide := uitest.Ask[bool](tab, "document.documentElement.scrollWidth > innerWidth"); wide {
		t.Error("wider than a phone")
	}
	if names := tab.Text("body"); strings.Contains(names, "Line-ups") || strings.Contains(names, "Selection") {
		t.Error("the navigation leads where athletes are refused")
	}
	tab.Axe(s.url+measuring, looks...)
	tab.Open(s.url + measuring)
	tab.Write("#stature_cm", "17")
	tab.Do(chromedp.Click(chromedp.CSS("main form button")))
	tab.Until("document.activeElement.id == 'stature_cm' && document.querySelector('#e-stature_cm').textContent")
	tab.Write("#stature_cm", "181")
	tab.Do(chromedp.Click(chromedp.CSS("main form button")))
	tab.Until("document.querySelector('.told')")
}

// addsARecording goes from the start page of an athlete to a recording of their own, with
// a file of two rowers, and corrects it.
func addsARecording(t *testing.T, s *server, tab *uitest.Tab, looks []uitest.Look) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "outing.csv")
	if err := os.WriteFile(file, []byte(pairFile()), 0o600); err != nil {
		t.Fatal(err)
	}
	press := func(selector, then string) {
		t.Helper()
		tab.Do(chromedp.Click(chromedp.CSS(selector)))
		tab.Until(then)
	}
	check := func() { // and back to where it was
		t.Helper()
		at := uitest.Ask[string](tab, "location.href")
		tab.Axe(at, looks...)
		tab.Show("light", 390)
		if wide := uitest.Ask[bool](tab, "document.documentElement.scrollWidth > innerWidth"); wide {
			t.Errorf("%s is wider than a phone", at)
		}
		tab.Open(at)
	}
	press("main a.job[href='/recordings/import']", "document.querySelector('#file')")
	check()
	tab.Do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{file}))
	press("form.recordform button", "document.querySelector('#own_seat')")
	check()
	uitest.Ask[any](tab, "document.querySelector('#force').value = 'handle'")
	uitest.Ask[any](tab, "document.querySelector('#own_seat').value = '2'")
	press("form.mapping .actions button", "document.querySelector('.strokeplot') && document.querySelector('#recorded_on')")
	check()
	press("form.recordform button", `location.pathname.match(/recordings\/\d+$/) && document.querySelector("#correct")`)
	check()
	press("#correct summary", "document.querySelector('#c-note').checkVisibility()")
	tab.Write("#c-note", "headwind")
	press("#correct form button", "location.hash == '#correct' && document.querySelector('.about .typed:last-child')?.textContent == 'headwind'")
	tab.Open(s.url + "/recordings")
	if says := tab.Text("main"); !strings.Contains(says, "outing.csv") || !strings.Contains(says, "Add a recording") {
		t.Errorf("my recordings: %.300s", says)
	}
}

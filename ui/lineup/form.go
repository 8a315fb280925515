package lineup

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/lineup"
	"thole/api/wire"
	"thole/ui/page"
)

// What the form of the line-ups asks for, and how it becomes a request.

// memberRow is one athlete of the squad with the coach's rule.
type memberRow struct {
	lineup.BoatCandidate
	Here  bool
	Role  string
	Roles []page.Option
	Rows  string // sides in words
}

// sideRow is the side of one seat, set by hand.
type sideRow struct {
	Seat  int
	Value string // P or S
}

// pairRow is a rule about two athletes.
type pairRow struct {
	N                   int
	Kind, First, Second string
}

// preferenceRow is what the coach thinks an athlete loses in a seat.
type preferenceRow struct {
	N               int
	Who, Seat, Cost string
	Problem         string
}

// lineupFields are the numbers the page asks for.
var lineupFields = page.WithDefaults(lineup.LineupsRequest{}, []page.Field{
	{Name: "likeness", Path: "weights.likeness_s", Label: "Curve match is worth", Unit: "s", Help: "Force curves with nothing in common against identical ones."},
	{Name: "yaw", Path: "weights.yaw_s", Label: "No yaw is worth", Unit: "s", Help: "Against the steering moment of the alternating rig."},
	{Name: "rerig", Path: "rerig_s", Label: "A seat that changes sides counts", Unit: "s", Help: "The work on its rigger, as you judge it."},
	{Name: "cox", Path: "cox_mass_kg", Label: "Cox mass", Unit: "kg"},
	{Name: "mean_mass", Path: "mass.mean_max_kg", Label: "Crew’s mean mass at most", Unit: "kg"},
	{Name: "max_mass", Path: "mass.max_kg", Label: "Each athlete’s mass at most", Unit: "kg"},
	{Name: "women", Path: "women_min", Label: "Women at least", Unit: ""},
	{Name: "men", Path: "men_min", Label: "Men at least", Unit: ""},
})

// withoutTicks writes the ticks of a form as one list of those not available, so that
// addresses stay short.
func withoutTicks(typed url.Values) url.Values {
	kept := url.Values{}
	listed := strings.Split(typed.Get("squad"), ".")
	var out []string
	for _, id := range listed {
		if id != "" && !typed.Has("a"+id) {
			out = append(out, id)
		}
	}
	for name, values := range typed {
		if id, tick := strings.CutPrefix(name, "a"); !tick || !slices.Contains(listed, id) {
			kept.Set(name, values[0])
		}
	}
	if typed.Has("squad") {
		kept.Del("squad")
		kept.Set("out", strings.Join(out, "."))
	}
	return kept
}

// read turns the form into a request.
func (p *lineupPage) read() {
	p.request = lineup.LineupsRequest{Count: 1, Fold: true, PowerCovariance: p.squad.PowerCovarianceW2}
	o := &p.request.LineupProblem
	o.BoatClass = p.Class.Code
	p.enter("Boat", p.boatName())
	p.readPattern(o)
	if p.Boat != nil {
		p.Boat.Row(o)
	}
	p.readNumbers(o)
	out := strings.Split(p.typed.Get("out"), ".")
	for _, m := range p.squad.Candidates {
		o.Candidates = append(o.Candidates, m.Candidate)
		p.names[m.ID], p.short[m.ID], p.masses[m.ID], p.powers[m.ID] = m.Name, m.Label, m.MassKg, m.PowerW
		p.readMember(o, m, !slices.Contains(out, m.ID))
	}
	p.readCox(o)
	p.readPairs(o)
	p.readPreferences(o)
}

// enter adds a line to what was asked for, on paper.
func (p *lineupPage) enter(label, value string) {
	p.Entered = append(p.Entered, page.Entry{Label: label, Value: value})
}

func (p *lineupPage) readPattern(o *lineup.LineupProblem) {
	if p.Class.Scull {
		return
	}
	p.Patterns = []page.Option{
		{Value: "", Label: "alternating, bow on starboard"}, {Value: "mirror", Label: "alternating, bow on port"},
		{Value: "free", Label: "any, as many on each side"}, {Value: "own", Label: "seat by seat, as below"},
	}
	if p.Boat != nil {
		p.Patterns = []page.Option{
			{Value: "", Label: "as it stands: " + sideLetters(p.Boat.Rigged)}, {Value: "free", Label: "any that its riggers allow, each change counted"},
			{Value: "own", Label: "seat by seat, as below"},
		}
	}
	for seat := 1; seat <= p.Class.Rowers; seat++ {
		side := "SP"[(seat+1)%2 : (seat+1)%2+1]
		if p.Pattern == "mirror" {
			side = "PS"[(seat+1)%2 : (seat+1)%2+1]
		}
		if p.Boat != nil {
			side = strings.ToUpper(p.Boat.Rigged[seat-1][:1])
		}
		if g := p.typed.Get(fmt.Sprintf("g%d", seat)); p.Pattern == "own" && (g == "P" || g == "S") {
			side = g
		}
		p.Sides = append(p.Sides, sideRow{seat, side})
	}
	p.sides(o)
	for _, choice := range p.Patterns {
		if choice.Value == p.Pattern {
			p.enter("Sides", choice.Label)
		}
	}
}

// sides states the sides of the seats; the alternating ones need no statement.
func (p *lineupPage) sides(o *lineup.LineupProblem) {
	switch p.Pattern {
	case "free":
		o.PatternFree = true
	case "mirror", "own":
		for _, row := range p.Sides {
			o.Pattern = append(o.Pattern, map[string]string{"P": "port", "S": "starboard"}[row.Value])
		}
	}
}

func (p *lineupPage) readNumbers(o *lineup.LineupProblem) {
	o.Weights, o.Mass = &lineup.OrderWeights{}, &lineup.MassRules{}
	count := func(into *int) func(float64) { return func(v float64) { *into = int(v) } }
	place := func(into **float64) func(float64) { return func(v float64) { *into = &v } }
	set := map[string]func(float64){
		"likeness": place(&o.Weights.LikenessS), "yaw": place(&o.Weights.YawS), "rerig": place(&o.RerigS), "cox": place(&o.CoxMassKg),
		"mean_mass": place(&o.Mass.MeanMaxKg), "max_mass": place(&o.Mass.MaxKg), "women": count(&o.WomenMin), "men": count(&o.MenMin),
	}
	for _, f := range lineupFields {
		if f.Name == "cox" && !p.Class.Coxed || f.Name == "yaw" && p.Class.Scull || f.Name == "rerig" && (p.Boat == nil || p.Class.Scull) {
			continue
		}
		in := page.Input{Field: f, Value: p.typed.Get(f.Name)}
		p.number(&in, set[f.Name])
		p.Fields = append(p.Fields, in)
	}
}

// number reads one number of the form; what counts rowers is whole.
func (p *lineupPage) number(in *page.Input, set func(float64)) {
	text := strings.TrimSpace(in.Value)
	if text == "" {
		return
	}
	v, complaint := wire.ReadNumber(text)
	whole := in.Unit == ""
	switch {
	case complaint != "":
		in.Problem = complaint
	case whole && (v != math.Trunc(v) || v < 0 || v > float64(p.Class.Rowers)):
		in.Problem = fmt.Sprintf("Give a whole number from 0 to %d.", p.Class.Rowers)
	default:
		set(v)
		p.enter(in.Label, strings.TrimSpace(text+" "+in.Unit))
		return
	}
	p.Problems = append(p.Problems, page.Problem{Field: in.Name, Label: in.Label, Text: in.Problem})
}

// readMember reads the coach's rule for one athlete.
func (p *lineupPage) readMember(o *lineup.LineupProblem, m lineup.BoatCandidate, here bool) {
	row := memberRow{BoatCandidate: m, Here: here, Role: p.typed.Get("r" + m.ID), Roles: append([]page.Option{{Value: "", Label: "may row"}, {Value: "must", Label: "must row"}}, p.SeatNames()...)}
	if m.Sides != nil {
		row.Rows = page.CostWords(m.Sides)
	}
	p.Members = append(p.Members, row)
	seat, err := strconv.Atoi(row.Role)
	switch {
	case !here:
		o.Out = append(o.Out, m.ID)
		p.enter("Not available", m.Name)
	case row.Role == "must":
		o.Must = append(o.Must, m.ID)
		p.enter("Must row", m.Name)
	case err == nil && seat >= 1 && seat <= p.Class.Rowers:
		o.Pins = append(o.Pins, lineup.SeatPin{Seat: seat, ID: m.ID})
		p.enter("Seat "+row.Role, m.Name)
	}
}

// seatName is the number of a seat, bow and stroke by name.
func seatName(seat, of int) string {
	switch seat {
	case 1:
		return "1, bow"
	case of:
		return strconv.Itoa(seat) + ", stroke"
	}
	return "seat " + strconv.Itoa(seat)
}

// SeatNames lists the seats of the boat.
func (p *lineupPage) SeatNames() []page.Option {
	var list []page.Option
	for seat := 1; seat <= p.Class.Rowers; seat++ {
		list = append(list, page.Option{Value: strconv.Itoa(seat), Label: seatName(seat, p.Class.Rowers)})
	}
	return list
}

// Blank lines that the page offers beyond those filled in, and the most there
// may be; our judgement.
const (
	spareRows = 2
	mostRows  = 40
)

// filled calls take for the lines n = 1, 2 … of which one of the fields holds
// something, then for some blank ones.
func (p *lineupPage) filled(names []string, take func(n int, values []string)) {
	next := 1
	for n := 1; n <= mostRows; n++ {
		values, some := make([]string, len(names)), false
		for i, name := range names {
			values[i] = strings.TrimSpace(p.typed.Get(fmt.Sprintf(name, n)))
			some = some || values[i] != "" && i != 1 // the second is a choice that always holds something
		}
		if some {
			take(next, values)
			next++
		}
	}
	for range spareRows {
		take(next, make([]string, len(names)))
		next++
	}
}

// pairWords are the rules about two athletes.
var pairWords = map[string]string{"apart": "not a neighbour of", "adjacent": "next to", "never": "not in one boat with"}

func (p *lineupPage) readPairs(o *lineup.LineupProblem) {
	lists := map[string]*[][]string{"apart": &o.Apart, "adjacent": &o.Adjacent, "never": &o.Never}
	p.filled([]string{"p%da", "p%dk", "p%db"}, func(n int, v []string) {
		row := pairRow{N: n, First: v[0], Kind: v[1], Second: v[2]}
		if lists[row.Kind] == nil {
			row.Kind = "apart"
		}
		p.Pairs = append(p.Pairs, row)
		if !p.inSquad(row.First) || !p.inSquad(row.Second) {
			return
		}
		*lists[row.Kind] = append(*lists[row.Kind], []string{row.First, row.Second})
		p.enter(p.names[row.First], pairWords[row.Kind]+" "+p.names[row.Second])
	})
}

func (p *lineupPage) readPreferences(o *lineup.LineupProblem) {
	p.filled([]string{"c%da", "c%ds", "c%dv"}, func(n int, v []string) {
		row := preferenceRow{N: n, Who: v[0], Seat: v[1], Cost: v[2]}
		if row.Cost != "" && p.inSquad(row.Who) {
			p.preference(o, &row)
		}
		p.Preferences = append(p.Preferences, row)
	})
}

// preference reads one line of the coach's seat preference.
func (p *lineupPage) preference(o *lineup.LineupProblem, row *preferenceRow) {
	cost, complaint := wire.ReadNumber(row.Cost)
	ok := complaint == ""
	seat, err := strconv.Atoi(row.Seat)
	if !ok {
		row.Problem = complaint
		p.Problems = append(p.Problems, page.Problem{Field: fmt.Sprintf("c%dv", row.N), Label: "Seat preference, " + p.names[row.Who], Text: row.Problem})
	}
	if !ok || err != nil || seat < 1 || seat > p.Class.Rowers {
		return
	}
	o.SeatCosts = append(o.SeatCosts, lineup.SeatCostItem{ID: row.Who, Seat: seat, CostS: cost})
	p.enter(p.names[row.Who]+" in seat "+row.Seat, "preference "+row.Cost+" s")
}

// inSquad reports whether an athlete can be placed in this boat; a rule that
// names another is not used, which the page says.
func (p *lineupPage) inSquad(id string) bool {
	_, ok := p.names[id]
	if !ok && id != "" {
		p.Notes = append(p.Notes, "One rule is not used: it names an athlete who cannot be placed in this boat.")
	}
	return ok
}
